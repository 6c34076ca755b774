use crate::{Severity, rule::rule};

rule! {
    /// A mate does not show what its name stands for.
    ///
    /// Authors stretch the names of mates, so a name is doubted only where the mate lacks
    /// the very piece or the very place of the king that it stands for: a smothered mate
    /// without a knight, a back-rank mate in the middle of the board. Of a mate to come ("a
    /// smothered mate follows") this must be so in every line of the shortest mate.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Ra8# {A smothered mate.} 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// 1. Ra8# {A back-rank mate.} 1-0
    /// ```
    RULE = "misnamed-mate", Severity::Warning
}
