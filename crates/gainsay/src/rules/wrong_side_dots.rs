use super::{
    noticed::marked,
    wrong_move_number::{number_of, written},
};
use gainsay_notation::ElementKind;

use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::side,
    sink::Sink,
    spelling::apart,
};

rule! {
    /// The dots behind a move number speak of the other side.
    ///
    /// One dot announces a move of White, three a move of Black (PGN standard, 8.2.2).
    ///
    /// ```pgn before
    /// 1. e4 {a good start} 1. e5 2... Nf3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 {a good start} 1... e5 2. Nf3 *
    /// ```
    RULE = "wrong-side-dots", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::WRONG_DOTS) {
        let Some((span, number)) = number_of(view, ply) else {
            continue;
        };
        let right = match (number.value, ply.side()) {
            (None, shakmaty::Color::White) => String::new(),
            (None, shakmaty::Color::Black) => "...".to_owned(),
            (Some(_), _) => written(ply, gainsay_notation::MoveNumber { dots: 3, ..number }),
        };
        let title = if right.is_empty() {
            "Remove the dots".to_owned()
        } else {
            format!("Write {right}")
        };
        let right = apart(view, span.range(), &right);
        // Of two numbers before one move, the author must say which is meant.
        let before = ply.number.and_then(|at| view.element(at.checked_sub(1)?));
        let alone = before.is_none_or(|one| !matches!(one.kind, ElementKind::Number(_)))
            && !view.is_behind_result(ply);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "It is {}'s move, but \"{}\" announces a move of {}.",
                    side(ply.side()),
                    view.words(span),
                    side(ply.side().other())
                ),
            )
            .before(view, ply)
            .offer(title, alone, span, right),
        );
    }
}
