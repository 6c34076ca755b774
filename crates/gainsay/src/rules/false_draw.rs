use crate::{Severity, rule::rule};

rule! {
    /// A stalemate that the text claims is none.
    ///
    /// Said of the end of a cited line, and told only where no stalemate comes up within two
    /// plies of it either.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1"]
    ///
    /// 1. Kf7 {Not 1.Qg8+, stalemate.} Kh7 2. Qg7# *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1"]
    ///
    /// 1. Kf7 {Not 1.Qg6, stalemate.} Kh7 2. Qg7# *
    /// ```
    RULE = "false-draw", Severity::Error
}
