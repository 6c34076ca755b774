use crate::{Severity, rule::rule};

rule! {
    /// "The only legal move" is one of several, or another move mates as well.
    ///
    /// "The only move" alone often means the only sensible one and is never called false; "the
    /// only legal move" is meant to the letter, and so is a number of legal moves. "Only 24.Qh5
    /// mates" is false where another move mates as soon, "only 24.Qh5 wins" where another
    /// forces mate within three moves.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Qh5 Ke7 {The only legal move.} 3. Qxe5# *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Qh5 Ke7 {Hardly the best.} 3. Qxe5# *
    /// ```
    RULE = "not-the-only-move", Severity::Error
}
