use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    resolve::played,
    rule::{Severity, rule},
    show::{in_language, line, number, san},
    sink::Sink,
};
use gainsay_notation::Span;
use shakmaty::{Chess, Move, Position};

rule! {
    /// A move bears the sign of mate but does not mate.
    ///
    /// The evidence shows moves that the other side still has.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7# *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7+ *
    /// ```
    RULE = "false-mate-sign", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::FALSE_MATE) {
        let (Some(before), Some(m)) = (view.replay.before(ply), ply.played) else {
            continue;
        };
        let text = in_language(&san(before, m), view.replay.language);
        let name = view.name(ply);
        let finding = finding(before, m, text, view.span(ply.element), &name);
        sink.push(finding.before(view, ply));
    }
}

/// The finding for the move `m` of the position `before`, called `name` where it stands; `text`
/// is how it should be written.
pub(crate) fn finding(before: &Chess, m: Move, text: String, span: Span, name: &str) -> Finding {
    let after = played(before, m);
    let replies = after.legal_moves();
    let what = if replies.is_empty() {
        "is stalemate".to_owned()
    } else if after.is_check() {
        format!(
            "is check but not mate: {}{} is a defence",
            number(&after),
            san(&after, replies[0])
        )
    } else {
        "is not even check".to_owned()
    };
    let finding = Finding::new(&RULE, span, format!("{name} {what}."));
    let shown = replies.iter().take(3);
    shown.fold(
        finding.perhaps(format!("Write {text}"), span, text),
        |finding, &reply| finding.shown_by(line(before, &[m, reply])),
    )
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn the_defence_is_shown() {
        let report = check(b"1. e4 e5 2. Qh5 Nc6 3. Qxf7# *", &Settings::default());
        let finding = &report.findings[0];
        assert_eq!(
            finding.message,
            "3.Qxf7# is check but not mate: 3...Kxf7 is a defence."
        );
        assert_eq!(finding.evidence, ["3. Qxf7+ Kxf7"]);
    }
}
