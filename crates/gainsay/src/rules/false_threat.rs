use crate::{Severity, rule::rule};

rule! {
    /// A threat of mate that the text claims is not there.
    ///
    /// A threat is what would happen if the other side passed: the side to move passes,
    /// and the mate is looked for. A defence against the threat does not make it false.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Bc4 Nc6 {Now White threatens mate in two.} 3. Nf3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Bc4 Nc6 3. Qh5 {White threatens mate.} g6 *
    /// ```
    RULE = "false-threat", Severity::Error
}
