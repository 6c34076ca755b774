use super::noticed::marked;
use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::number,
    sink::Sink,
    suggest,
};

rule! {
    /// A word has the shape of a move but is none.
    ///
    /// It names a square that does not exist, a piece that nobody knows, or has a slip of
    /// the pen in it. The rest of its line is read but not played.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf9 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 *
    /// ```
    RULE = "unreadable-move", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::UNREADABLE) {
        let Some(position) = view.replay.before(ply) else {
            continue;
        };
        let span = view.span(ply.element);
        let words = view.words(span);
        let mut finding = Finding::new(
            &RULE,
            span,
            format!(
                "\"{words}\" stands where {} has a move, but no move is written like that.",
                number(position)
            ),
        )
        .before(view, ply);
        for near in suggest::nearest(position, &words, view.replay.language) {
            finding = finding.perhaps(format!("Write {near}"), span, near);
        }
        sink.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn offers_the_nearest_move() {
        let report = check(b"1. e4 e5 2. Nf9 Nc6 *", &Settings::default());
        let finding = &report.findings[0];
        assert_eq!(finding.rule.name, "unreadable-move");
        assert_eq!(finding.remedies[0].title, "Write Nf3");
        assert_eq!(finding.mv.as_deref(), Some("2.Nf9"));
    }
}
