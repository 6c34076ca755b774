use crate::{Severity, rule::rule};

rule! {
    /// A line that is said to refute a move does not: the other side is winning in it.
    ///
    /// Behind the first move of the refutation the other side gets its best defence, found by
    /// search. The rule speaks only where that side is winning beyond doubt, the more so where
    /// the refutation gives up something first.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {Not 2...d6, which fails to 3.Ba6.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {Not 2...Qg5, which fails to 3.Nxg5.} 3. Bb5 *
    /// ```
    RULE = "line-does-not-refute", Severity::Warning
}
