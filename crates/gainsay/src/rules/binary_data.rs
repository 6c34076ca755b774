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
    // Damage comes in many pieces; one finding a game tells enough.
    let mut pieces = faults(view, FaultKind::Binary);
    let Some(first) = pieces.next() else {
        return;
    };
    let bytes = pieces.fold(first.len(), |sum, span| sum + span.len());
    sink.push(
        Finding::new(
            &RULE,
            first,
            match bytes {
                1 => "A byte of no text here: was the file damaged?".to_owned(),
                many => format!("{many} bytes of no text in this game: is this a game file?"),
            },
        )
        .in_game(view),
    );
}
