use super::marked;
use crate::{Finding, Marks, Severity, Sink, View, rule::rule, show::san};

rule! {
    /// The sign of capture is missing, or stands where nothing is captured.
    ///
    /// ```pgn before
    /// 1. e4 d5 2. exd5 Qd5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 Qxd5 *
    /// ```
    RULE = "capture-sign", Severity::Hint
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::MISSING_CAPTURE | Marks::SURPLUS_CAPTURE) {
        let (Some(before), Some(m)) = (view.replay.before(ply), ply.played) else {
            continue;
        };
        let span = view.span(ply.element);
        let text = san(before, m);
        let missing = ply.marks.contains(Marks::MISSING_CAPTURE);
        let message = if missing {
            format!("{} captures: write {text}.", view.name(ply))
        } else {
            format!(
                "{} captures nothing on {}: write {text}.",
                view.name(ply),
                m.to()
            )
        };
        let finding = Finding::new(&RULE, span, message).before(view, ply);
        // A capture that is none may be a slip of the square.
        sink.push(if missing {
            finding.mended(format!("Write {text}"), span, text)
        } else {
            finding.perhaps(format!("Write {text}"), span, text)
        });
    }
}
