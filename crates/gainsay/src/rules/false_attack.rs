use crate::{Severity, rule::rule};

rule! {
    /// A piece is said to attack, defend, cover or fork what it does not, or a move to give a
    /// double or discovered check; or a side is said to threaten to fork or pin what two moves
    /// running cannot.
    ///
    /// The rule speaks only where the piece is named with its square, and nothing of the kind
    /// is true within eight plies of the comment, in a line it cites, or after any move from
    /// its position; where all pieces are named with their squares, after any capture.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on f3 attacks the rook on h8.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on f3 attacks the pawn on e5.} 3. Bc4 *
    /// ```
    RULE = "false-attack", Severity::Warning
}
