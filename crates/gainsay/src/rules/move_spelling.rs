use super::marked;
use crate::{Finding, Marks, Severity, Sink, View, rule::rule, show::san};

rule! {
    /// A move is written otherwise than in SAN.
    ///
    /// Long forms, castling with zeros, promotion without `=`, `e.p.`, figurines and piece
    /// letters of other languages are all read; other programs may not read them. A game
    /// that is written so throughout gets one finding, at its first such move.
    ///
    /// ```pgn before
    /// 1. e2-e4 e7-e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 *
    /// ```
    RULE = "move-spelling", Severity::Hint
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    const MANY: usize = 4;
    let odd: Vec<_> = marked(view, Marks::ODD_SPELLING).collect();
    for ply in &odd {
        let (Some(before), Some(m)) = (view.replay.before(ply), ply.played) else {
            continue;
        };
        let span = view.span(ply.element);
        let text = san(before, m);
        let message = if odd.len() > MANY {
            format!(
                "{} is {text} in SAN; {} moves of this game are written otherwise.",
                view.name(ply),
                odd.len()
            )
        } else {
            format!("{} is {text} in SAN.", view.name(ply))
        };
        sink.push(Finding::new(&RULE, span, message).before(view, ply).mended(
            format!("Write {text}"),
            span,
            text,
        ));
        if odd.len() > MANY {
            break;
        }
    }
}
