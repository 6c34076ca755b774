use gainsay_notation::{FaultKind, Span};

use super::{faults, result_spelling::meant};
use crate::{Finding, Severity, Sink, View, rule::rule};

rule! {
    /// A game does not end with a result.
    ///
    /// The movetext of a game ends with `1-0`, `0-1`, `1/2-1/2` or `*` (PGN standard,
    /// 8.2.6). A fragment without any tags is not asked for it.
    ///
    /// ```pgn before
    /// [Event "Club evening"]
    /// [Result "1-0"]
    ///
    /// 1. e4 e5
    /// ```
    ///
    /// ```pgn after
    /// [Event "Club evening"]
    /// [Result "1-0"]
    ///
    /// 1. e4 e5 1-0
    /// ```
    RULE = "missing-result", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    if view.replay.result.is_some() || view.game.tags.is_empty() {
        return;
    }
    let Some(last) = view.game.elements.last() else {
        return;
    };
    // A comment that is never closed has swallowed it.
    if faults(view, FaultKind::UnclosedComment).next().is_some() {
        return;
    }
    let result = view
        .game
        .tag(view.text, "Result")
        .and_then(|tag| meant(&view.words(tag.value)))
        .unwrap_or("*");
    sink.push(
        Finding::new(
            &RULE,
            last.span,
            format!("The game does not end with a result: {result} belongs behind its last move."),
        )
        .in_game(view)
        .mended(
            format!("Add {result}"),
            Span::new(last.span.end, last.span.end),
            format!(" {result}"),
        ),
    );
}
