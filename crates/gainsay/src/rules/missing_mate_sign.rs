use super::marked;
use crate::{Finding, Marks, Severity, Sink, View, rule::rule, show::san};

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
        let (Some(before), Some(m)) = (view.replay.before(ply), ply.played) else {
            continue;
        };
        let span = view.span(ply.element);
        let text = san(before, m);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!("{} is mate: write {text}.", view.name(ply)),
            )
            .before(view, ply)
            .mended(format!("Write {text}"), span, text),
        );
    }
}
