use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
use gainsay_notation::FaultKind;

rule! {
    /// A comment is opened and never closed.
    ///
    /// The finding points at the opening brace. Everything up to the next game belongs
    /// to the comment, so moves may be missing from the game; reading goes on with the
    /// next game.
    ///
    /// ```pgn before
    /// 1. e4 {the old main move e5 2. Nf3 Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 {the old main move} e5 2. Nf3 Nc6 *
    /// ```
    RULE = "unclosed-comment", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::UnclosedComment) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                "The comment that opens here is never closed: add \"}\" where it ends.",
            )
            .in_game(view),
        );
    }
}
