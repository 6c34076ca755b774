use crate::{Severity, rule::rule};

rule! {
    /// "The only move" is one of several that are as good.
    ///
    /// "The only move" mostly means the only sensible one. It is doubted where, by two
    /// searches, another move is as good in a position that is level, whichever of the moves
    /// around the comment is meant. "The only way to stop the mate" and the like say more
    /// than that and are left alone; "the only winning move" is doubted where by two searches
    /// another wins beyond dispute.
    ///
    /// ```pgn before
    /// 1. d4 d5 2. Nf3 Nf6 3. e3 e6 {The only move.} 4. Bd3 Bd6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. d4 d5 2. Nf3 Nf6 3. e3 e6 {A sound move.} 4. Bd3 Bd6 *
    /// ```
    RULE = "other-moves-hold", Severity::Warning
}
