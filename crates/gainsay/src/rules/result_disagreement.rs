use super::result_spelling::meant;
use shakmaty::Position;

use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
    spelling::apart,
};

rule! {
    /// The tag Result and the result behind the moves do not agree.
    ///
    /// ```pgn before
    /// [Result "1-0"]
    ///
    /// 1. e4 e5 0-1
    /// ```
    ///
    /// ```pgn after
    /// [Result "0-1"]
    ///
    /// 1. e4 e5 0-1
    /// ```
    RULE = "result-disagreement", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let (Some(tag), Some((element, result))) =
        (view.game.tag(view.text, "Result"), view.replay.result)
    else {
        return;
    };
    let value = tag.value.of(view.text);
    if value == result.as_str().as_bytes() {
        return;
    }
    let Some(said) = meant(&view.words(tag.value)) else {
        return;
    };
    if said == result.as_str() || decided(view) {
        return;
    }
    let marker = view.span(element);
    sink.push(
        Finding::new(
            &RULE,
            marker,
            format!(
                "The game ends with {}, but its tag Result says {said}.",
                result.as_str()
            ),
        )
        .in_game(view)
        .related(tag.value, "the tag Result")
        .perhaps(
            format!("Write {} in the tag", result.as_str()),
            tag.value,
            result.as_str(),
        )
        .perhaps(
            format!("Write {said} behind the moves"),
            marker,
            apart(view, marker.range(), said),
        ),
    );
}

/// Whether the board itself decides the game; another rule then tells which of the
/// two is right.
fn decided(view: &View<'_>) -> bool {
    view.replay
        .at(view.replay.last)
        .is_some_and(|position| position.legal_moves().is_empty())
}
