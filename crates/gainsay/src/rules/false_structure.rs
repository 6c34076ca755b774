use crate::{Severity, rule::rule};

rule! {
    /// A file is not open or closed, a pawn is not passed, isolated, doubled or backward, there
    /// are not so many of them, a side has no majority, outpost, pair of bishops or rook on the
    /// seventh rank, the bishops are not of opposite colours, a side has not castled, the king
    /// is not in the corner.
    ///
    /// Definitions after Nimzowitsch, *My System* (1925), each in its widest sense. A file counts
    /// as open where one side has no pawn on it, and as closed where any pawn stands. A wing is
    /// three files or four. A pawn that a pawn defends is not backward, and a square that a pawn
    /// attacks, or could after one step, is no outpost. So many pawns are too few, never too
    /// many; pawn islands are counted exactly. "No passed pawns" is wrong where there is one all
    /// around the comment. The rule speaks only where the statement is true nowhere within eight
    /// plies of the comment, in a line it cites, or after any move from its position. Whether a side
    /// has castled is told by the moves of the game, and only where the game begins before it
    /// can have castled; where the text names the number of the move ("castled on move 12"), it
    /// must be that one.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The open a-file matters.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 Qxd5 {The open e-file matters.} 3. Nc3 *
    /// ```
    RULE = "false-structure", Severity::Warning
}
