use crate::{Severity, rule::rule};

rule! {
    /// "The only legal move" is one of several.
    ///
    /// "The only move" alone often means the only sensible one and is never called false; "the
    /// only legal move" is meant to the letter.
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
