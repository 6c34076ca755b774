use crate::{Severity, rule::rule};

rule! {
    /// The balance of material is not what the text says.
    ///
    /// Counted by pieces, and by the scale pawn 1, knight and bishop 3, rook 5, queen 9
    /// (common practice, no source), within eight plies of the comment and in the lines it
    /// cites. What a line or a side is said to win, and the exchange above all, is told only
    /// where searches of two sizes leave the winner no more than it had, and nothing of the kind
    /// is taken; that the exchange is given, where no rook of the giver can be taken.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 {White is a rook up.} Nf6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 3. Nxe5 {White is a pawn up.} Nxe5 *
    /// ```
    RULE = "false-material", Severity::Warning
}
