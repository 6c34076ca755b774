use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::{in_language, san},
    sink::Sink,
};

rule! {
    /// A pawn reaches its last rank and the text does not say what it becomes.
    ///
    /// Reading goes on with a queen.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "8/P6k/8/8/8/8/7K/8 w - - 0 1"]
    ///
    /// 1. a8 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "8/P6k/8/8/8/8/7K/8 w - - 0 1"]
    ///
    /// 1. a8=Q *
    /// ```
    RULE = "missing-promotion", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::NO_PROMOTION) {
        let (Some(position), Some(queen)) = (view.replay.before(ply), ply.played) else {
            continue;
        };
        let span = view.span(ply.element);
        let text = in_language(&san(position, queen), view.replay.language);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "{} does not say what the pawn becomes on {}.",
                    view.name(ply),
                    queen.to()
                ),
            )
            .before(view, ply)
            .perhaps(format!("Write {text}"), span, text),
        );
    }
}
