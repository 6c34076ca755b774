use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::fen,
    sink::Sink,
};
use gainsay_notation::Span;
use shakmaty::{Chess, Position};

rule! {
    /// A move bears the sign of check but gives none.
    ///
    /// Another move may have been meant, so the author must judge.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3+ *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 *
    /// ```
    RULE = "false-check-sign", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::SURPLUS_CHECK) {
        let (Some(text), Some(after)) = (view.san(ply), &ply.after) else {
            continue;
        };
        let name = view.name(ply);
        let finding = finding(after, text, view.span(ply.element), &name);
        sink.push(finding.before(view, ply));
    }
}

/// The finding for a move called `name` that leads to `after`, where it stands; `text` is how
/// it should be written.
pub(crate) fn finding(after: &Chess, text: String, span: Span, name: &str) -> Finding {
    let king = after
        .board()
        .king_of(after.turn())
        .map_or_else(String::new, |square| {
            format!(": nothing attacks the king on {square}")
        });
    Finding::new(&RULE, span, format!("{name} is not check{king}."))
        .shown_by(format!("Position after it: {}", fen(after)))
        .perhaps(format!("Write {text}"), span, text)
}
