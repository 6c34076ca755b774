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
        let missing = ply.marks.contains(Marks::MISSING_CAPTURE);
        let text = if missing {
            spelling::capturing(view, ply)
        } else {
            view.san(ply)
        };
        let (Some(text), Some(m)) = (text, ply.played) else {
            continue;
        };
        let span = view.span(ply.element);
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
        let safe = missing && view.is_sure(ply);
        sink.push(finding.offer(format!("Write {text}"), safe, span, text));
    }
}
