use crate::{Severity, rule::rule};

rule! {
    /// A piece is called trapped, dominated, overloaded or hanging, and is not.
    ///
    /// Definitions are common practice, no source. A piece is not trapped if wherever the
    /// comment can look it may roam, no move of the other side takes its squares away, and it
    /// has a move that loses nothing by exchange and by search. It is not overloaded if it
    /// guards one square at most at which the other side could take, check, promote or come
    /// near the king, and that side wins nothing by search were it to move. It does not hang if
    /// every way to take it loses material, by exchange and by search. A piece that nothing
    /// attacks at all is a matter of the rule `false-attack`.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "4k3/5ppp/8/4N3/3P4/8/5PPP/6K1 b - - 0 20"]
    ///
    /// 20... h6 {White's knight is trapped.} 21. Kf1 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5pp1/7p/8/8/1P6/b1P2PPP/2K5 w - - 0 20"]
    ///
    /// 20. Kb2 {Black's bishop is trapped.} h5 *
    /// ```
    RULE = "false-danger", Severity::Warning
}
