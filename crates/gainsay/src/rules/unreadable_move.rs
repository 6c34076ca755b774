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
        let meant = view.san(ply);
        if let Some(meant) = &meant {
            finding = finding
                .shown_by(format!("only {meant} lets the game go on as it is written"))
                .perhaps(format!("Write {meant}"), span, meant.clone());
        }
        let near = suggest::nearest(position, &words, view.replay.language).into_iter();
        for near in near.filter(|near| meant.as_ref() != Some(near)) {
            finding = finding.perhaps(format!("Write {near}"), span, near);
        }
        sink.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    /// Behind the opening of Greco's game with 7. O-O (1620, from memory).
    #[test]
    fn the_game_goes_on_behind_the_one_move_that_lets_it() {
        let text = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d4 exd4 6. cxd9 Bb4+ 7. Nc3 Nxe4 8. O-O \
                    Nxc3 9. bxc3 Bxc3 10. Ke5 *";
        let report = check(text.as_bytes(), &Settings::default());
        let found: Vec<&str> = (report.findings.iter())
            .map(|finding| finding.rule.name)
            .filter(|rule| *rule != "missing-tag")
            .collect();
        assert_eq!(found, ["unreadable-move", "illegal-move"]);
        let finding = &report.findings[0];
        assert_eq!(
            finding.evidence,
            ["only cxd4 lets the game go on as it is written"]
        );
        assert_eq!(finding.remedies[0].title, "Write cxd4");
        assert!(!finding.remedies[0].safe);
    }

    #[test]
    fn offers_the_nearest_move() {
        let report = check(b"1. e4 e5 2. Nf9 Nc6 *", &Settings::default());
        let finding = &report.findings[0];
        assert_eq!(finding.rule.name, "unreadable-move");
        assert_eq!(finding.remedies[0].title, "Write Nf3");
        assert_eq!(finding.mv.as_deref(), Some("2.Nf9"));
    }
}
