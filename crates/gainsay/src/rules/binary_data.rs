use super::faults;
use crate::{Finding, Severity, Sink, View, rule::rule};
use gainsay_notation::FaultKind;

rule! {
    /// The file holds bytes that are no text.
    ///
    /// Either it is no game file at all, or it was damaged.
    ///
    /// ```pgn before
    /// 1. e4  e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 *
    /// ```
    RULE = "binary-data", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::Binary) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "{} of no text here: is this a game file?",
                    match span.len() {
                        1 => "A byte".to_owned(),
                        many => format!("{many} bytes"),
                    }
                ),
            )
            .in_game(view),
        );
    }
}
