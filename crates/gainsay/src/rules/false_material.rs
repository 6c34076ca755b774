use crate::{Severity, rule::rule};

rule! {
    /// The balance of material is not what the text says.
    ///
    /// Counted by pieces, and by the scale pawn 1, knight and bishop 3, rook 5, queen 9
    /// (common practice, no source), within eight plies of the comment and in the lines it
    /// cites.
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
