use super::faults;
use crate::{Finding, Severity, Sink, View, rule::rule};
use gainsay_notation::FaultKind;

rule! {
    /// A side-line is opened and never closed.
    ///
    /// The finding points at the opening parenthesis. All that follows up to the end of
    /// the game is read as part of the side-line.
    ///
    /// ```pgn before
    /// 1. e4 (1. d4 d5 1... e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 (1. d4 d5) 1... e5 *
    /// ```
    RULE = "unclosed-side-line", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::UnclosedSideLine) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                "The side-line that opens here is never closed: add \")\" behind its last move.",
            )
            .in_game(view),
        );
    }
}
