use crate::{Severity, rule::rule};

rule! {
    /// A draw by the rules that the text claims is none.
    ///
    /// A stalemate, or too little material to mate, said of the end of a cited line, is told
    /// only where it does not come up within two plies of it either. That a game ended by
    /// repetition or by the fifty-move rule is told to be wrong where its last position gives
    /// no such claim, and that a side has only perpetual check where it mates by force.
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
