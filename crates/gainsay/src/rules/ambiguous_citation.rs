use crate::{Severity, rule::rule};

rule! {
    /// A move cited in prose can be made by several pieces.
    ///
    /// The reader must guess which is meant. Only numbered moves are looked at, and only if
    /// they are ambiguous wherever their line can start.
    ///
    /// ```pgn before
    /// 1. Nf3 Nf6 2. d4 d5 {Now 3.Nd2 is solid.} 3. c4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. Nf3 Nf6 2. d4 d5 {Now 3.Nbd2 is solid.} 3. c4 *
    /// ```
    RULE = "ambiguous-citation", Severity::Information
}
