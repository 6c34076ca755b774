use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
use gainsay_notation::FaultKind;

rule! {
    /// A brace is opened inside a comment.
    ///
    /// Comments do not nest (PGN standard, 5): the first closing brace ends the comment,
    /// and what follows is read as moves.
    ///
    /// ```pgn before
    /// 1. e4 {best {by test} e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 {best (by test)} e5 *
    /// ```
    RULE = "nested-comment", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    // A comment that is never closed is told as such, whatever it holds.
    let unclosed = faults(view, FaultKind::UnclosedComment)
        .next()
        .map_or(u32::MAX, |span| span.start);
    for span in faults(view, FaultKind::NestedComment).take_while(|span| span.start < unclosed) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                "A comment cannot hold another: the next \"}\" closes both.",
            )
            .in_game(view)
            .perhaps("Write a parenthesis", span, "("),
        );
    }
}
