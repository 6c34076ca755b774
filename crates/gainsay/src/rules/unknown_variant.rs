use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// A game of a variant whose rules are not known here is passed over.
    ///
    /// Chess and Chess960 are checked.
    ///
    /// ```pgn before
    /// [Variant "Atomic"]
    ///
    /// 1. Nh3 *
    /// ```
    ///
    /// ```pgn after
    /// [Variant "Chess960"]
    ///
    /// 1. Nh3 *
    /// ```
    RULE = "unknown-variant", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let Some(tag) = view
        .replay
        .start
        .variant
        .and_then(|at| view.game.tags.get(at as usize))
    else {
        return;
    };
    sink.push(
        Finding::new(
            &RULE,
            tag.value,
            format!(
                "The rules of \"{}\" are not known here: the moves of this game are not checked.",
                tag.value(view.text)
            ),
        )
        .in_game(view),
    );
}
