use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};

rule! {
    /// The tag SetUp and the tag FEN do not agree.
    ///
    /// `[SetUp "1"]` says that the game begins from a position of its own, which the tag
    /// FEN then gives; a FEN asks for it (PGN standard, 9.7).
    ///
    /// ```pgn before
    /// [SetUp "1"]
    ///
    /// 1. e4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 *
    /// ```
    RULE = "setup-without-fen", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let setup = view.game.tag(view.text, "SetUp");
    let fen = view.replay.start.tag;
    match (setup, fen) {
        (Some(tag), None) if &*tag.value(view.text) == "1" => sink.push(
            Finding::new(
                &RULE,
                tag.span,
                "SetUp announces a position of its own, but there is no tag FEN to give it.",
            )
            .in_game(view),
        ),
        (Some(tag), Some(_)) if &*tag.value(view.text) == "0" => sink.push(
            Finding::new(
                &RULE,
                tag.value,
                "SetUp says that the game begins as usual, but the tag FEN gives a position.",
            )
            .in_game(view)
            .perhaps("Write 1", tag.value, "1"),
        ),
        _ => {}
    }
}
