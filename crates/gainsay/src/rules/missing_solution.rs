//! Exercises without a solution.

use std::ops::Range;

use crate::{
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// An exercise has no solution among the solutions of the text.
    ///
    /// Told where the text has a chapter of solutions by numbers, and most of them belong to its exercises.
    ///
    /// ```markdown before
    /// 1. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1`
    /// 2. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1`
    /// 3. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1`
    /// 4. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/1R2K3 w - - 0 1`
    ///
    /// # Solutions
    ///
    /// 1. 1.Ra8#
    /// 2. 1.Rd8#
    /// 3. 1.Rc8#
    /// ```
    ///
    /// ```markdown after
    /// 1. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1`
    /// 2. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1`
    /// 3. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1`
    /// 4. White to move and mate in one. `6k1/5ppp/8/8/8/8/8/1R2K3 w - - 0 1`
    ///
    /// # Solutions
    ///
    /// 1. 1.Ra8#
    /// 2. 1.Rd8#
    /// 3. 1.Rc8#
    /// 4. 1.Rb8#
    /// ```
    RULE = "missing-solution", Severity::Information
}

/// The finding about an exercise with this number.
pub(crate) fn finding(number: u32, span: &Range<usize>) -> Finding {
    let message = format!("The solutions have none with the number {number}.");
    Finding::new(&RULE, span, message)
}
