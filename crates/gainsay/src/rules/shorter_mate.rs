use crate::{Severity, rule::rule};

rule! {
    /// A mate comes sooner than the text says.
    ///
    /// "Mate in three" where two moves do it. Whether a check just given is counted or not,
    /// and whether the author counts by a line that is shown, is tried first. The evidence is
    /// the shorter mate.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White mates in three.} 1. Kd2 h6 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White mates in one.} 1. Kd2 h6 *
    /// ```
    RULE = "shorter-mate", Severity::Warning
}
