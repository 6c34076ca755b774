use crate::{Severity, rule::rule};

rule! {
    /// A verdict on the position that the position contradicts.
    ///
    /// Found by search, and told only where the side that is called better, or the equal
    /// position, is clearly lost: two pawns and more. Nothing that authors argue about.
    ///
    /// A side that is called winning in words has nothing, besides, where both have the same
    /// pieces and pawns and more than a rook and a minor piece each, nothing can be taken with
    /// profit, and searches of three sizes give it less than half a pawn.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {White is winning.} *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {Black is winning.} *
    /// ```
    RULE = "false-verdict", Severity::Warning
}
