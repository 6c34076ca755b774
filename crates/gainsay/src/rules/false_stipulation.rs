use crate::{Severity, rule::rule};

rule! {
    /// What an exercise asks for does not fit its position.
    ///
    /// "Black to play and win" over a position in which it is White's turn. It is told only
    /// where a position is set up and the text stands before the first move.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {Black to play.} 1. Ra8# 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White to play.} 1. Ra8# 1-0
    /// ```
    RULE = "false-stipulation", Severity::Warning
}
