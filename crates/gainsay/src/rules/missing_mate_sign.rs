use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
    spelling,
};

rule! {
    /// A move mates but does not bear the sign of mate.
    ///
    /// The PGN standard asks for `#` (8.2.3.5).
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4 Qh4+ 0-1
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4 Qh4# 0-1
    /// ```
    RULE = "missing-mate-sign", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::MISSING_MATE) {
        let Some((text, edit)) = spelling::signed(view, ply, '#') else {
            continue;
        };
        let span = view.span(ply.element);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!("{} is mate: write {text}.", view.name(ply)),
            )
            .before(view, ply)
            .remedy(format!("Write {text}"), view.is_sure(ply), vec![edit]),
        );
    }
}
