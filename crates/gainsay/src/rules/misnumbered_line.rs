use crate::{Severity, rule::rule};

rule! {
    /// A line cited in a comment can be played, but only with another number.
    ///
    /// A wrong number, or the wrong dots, is the commonest slip in cited lines.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 {Better was 2...f4 exf4.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 {Better was 2.f4 exf4.} Nc6 *
    /// ```
    RULE = "misnumbered-line", Severity::Warning
}
