use crate::{Severity, rule::rule};

rule! {
    /// A numbered move cited in prose gives check or mate without its sign.
    ///
    /// Many authors leave the sign out in prose, so this is a matter of style.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Bc4 Nf6 {Now 3.Bxf7 Kxf7 is bad.} 3. d3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Bc4 Nf6 {Now 3.Bxf7+ Kxf7 is bad.} 3. d3 *
    /// ```
    RULE = "unsigned-citation", Severity::Hint
}
