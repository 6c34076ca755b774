use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
    spelling,
};
use gainsay_notation::Oddities;

rule! {
    /// A move names where its piece comes from although one piece alone can play it, or
    /// names it otherwise than SAN does.
    ///
    /// A pinned piece does not count as able (PGN standard, 8.2.3.4), and the file goes
    /// before the rank.
    ///
    /// ```pgn before
    /// 1. Ngf3 d5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. Nf3 d5 *
    /// ```
    RULE = "needless-origin", Severity::Hint
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::NEEDLESS_ORIGIN | Marks::UNUSUAL_ORIGIN) {
        // The long form is a way of writing of its own, and the spelling rule's.
        if let Some(written) = view.written(ply)
            && (written.oddities.contains(Oddities::HYPHEN)
                || written.oddities.contains(Oddities::LONG))
        {
            continue;
        }
        let span = view.span(ply.element);
        let Some(text) = spelling::with_origin(view, ply) else {
            continue;
        };
        let message = if ply.marks.contains(Marks::UNUSUAL_ORIGIN) {
            format!(
                "{} gives the rank where SAN gives the file: {text}.",
                view.name(ply)
            )
        } else {
            format!("{} is plain without its origin: {text}.", view.name(ply))
        };
        sink.push(Finding::new(&RULE, span, message).before(view, ply).offer(
            format!("Write {text}"),
            view.is_sure(ply),
            span,
            text,
        ));
    }
}
