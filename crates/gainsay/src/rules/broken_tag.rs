use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
use gainsay_notation::FaultKind;

rule! {
    /// A tag pair lacks its name, its value, a quote or its bracket.
    ///
    /// A tag pair is written `[Name "value"]` (PGN standard, 8.1); what can be read of it
    /// is used.
    ///
    /// ```pgn before
    /// [Event "Club evening]
    ///
    /// 1. e4 *
    /// ```
    ///
    /// ```pgn after
    /// [Event "Club evening"]
    ///
    /// 1. e4 *
    /// ```
    RULE = "broken-tag", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::BrokenTag) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                "This tag pair is not complete: it is written [Name \"value\"].",
            )
            .in_game(view),
        );
    }
}
