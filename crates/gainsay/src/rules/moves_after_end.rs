use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::fen,
    sink::Sink,
};
use shakmaty::Position;

rule! {
    /// Moves follow although the game is over.
    ///
    /// Either the position before them is mate or stalemate, or the result stands before
    /// them.
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4 Qh4# 3. Kf2 0-1
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4 Qh4# 0-1
    /// ```
    RULE = "moves-after-end", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let mut told = false;
    for ply in marked(view, Marks::AFTER_END) {
        let end = view
            .replay
            .before(ply)
            .filter(|position| position.legal_moves().is_empty());
        let span = view.span(ply.element);
        let finding = if let Some(position) = end {
            let what = if position.is_check() {
                "mate"
            } else {
                "stalemate"
            };
            Finding::new(
                &RULE,
                span,
                format!(
                    "{} comes after {what}: the game is over before it.",
                    view.name(ply)
                ),
            )
            .shown_by(format!("Final position: {}", fen(position)))
        } else if told {
            continue;
        } else {
            told = true;
            let mut finding = Finding::new(
                &RULE,
                span,
                format!("{} comes after the result of the game.", view.name(ply)),
            );
            if let Some((element, result)) = view.replay.result {
                finding = finding.related(
                    view.span(element),
                    format!("the result {} stands here", result.as_str()),
                );
            }
            finding
        };
        sink.push(finding.before(view, ply));
    }
}
