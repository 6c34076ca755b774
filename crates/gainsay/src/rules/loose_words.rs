use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
use gainsay_notation::FaultKind;

rule! {
    /// Words stand among the moves without braces around them.
    ///
    /// They are passed over; other programs may stop at them.
    ///
    /// ```pgn before
    /// 1. e4 a good start e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 {a good start} e5 *
    /// ```
    RULE = "loose-words", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::LooseWords) {
        let words = view.words(span);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "\"{}\" is no move: words for the reader stand in braces.",
                    shortened(&words)
                ),
            )
            .in_game(view)
            .perhaps("Put it in braces", span, format!("{{{words}}}")),
        );
    }
}

/// The beginning of a text that may be long.
fn shortened(words: &str) -> String {
    const MOST: usize = 40;
    if words.chars().count() <= MOST {
        return words.to_owned();
    }
    let mut short: String = words.chars().take(MOST).collect();
    short.push('…');
    short
}
