//! Numbers of exercises that come twice, or in no order.

use std::ops::Range;

use crate::{
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// An exercise has the number of another, or stands behind a greater number.
    ///
    /// Its solution cannot be found by its number. Every chapter may begin anew.
    ///
    /// ```markdown before
    /// **Exercise 1.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 2.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 2.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    /// ```
    ///
    /// ```markdown after
    /// **Exercise 1.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 2.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/3RK3 w - - 0 1
    /// ~~~
    ///
    /// **Exercise 3.** White to move and mate in one.
    ///
    /// ~~~fen
    /// 6k1/5ppp/8/8/8/8/8/2R1K3 w - - 0 1
    /// ~~~
    /// ```
    RULE = "repeated-number", Severity::Warning
}

/// The finding about a number; `behind` is the greater one that stands before it.
pub(crate) fn finding(number: u32, span: &Range<usize>, behind: Option<u32>) -> Finding {
    let message = match behind {
        None => format!("An exercise before this one has the number {number} too."),
        Some(before) => format!("Exercise {number} stands behind exercise {before}."),
    };
    Finding::new(&RULE, span, message)
}
