use crate::{Severity, rule::rule};

rule! {
    /// A move that is called best is not, or a move to avoid is.
    ///
    /// Decided by forced mates only: where there is one, a move that does not mate as
    /// quickly is not the best.
    ///
    /// ```epd before
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra7;
    /// ```
    ///
    /// ```epd after
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - bm Ra8#;
    /// ```
    RULE = "not-the-best-move", Severity::Warning
}
