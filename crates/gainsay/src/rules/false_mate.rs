use crate::{Severity, rule::rule};

rule! {
    /// A mate that the text claims is not there.
    ///
    /// "Mate in two", "mate next move", "is mate", a cited move with `#` or the word mate
    /// behind it. Whether the text counts a check just given, speaks of an alternative to
    /// the move played, or of the other side: every plausible reading is tried, and the
    /// claim fails only if all of them fail. The evidence is the defence that breaks it.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Kd2 h6 {Now 2.Ra8 is mate.} *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Kd2 {White had mate in one.} h6 {Now 2.Ra8+ Kh7 is safe.} *
    /// ```
    RULE = "false-mate", Severity::Error
}
