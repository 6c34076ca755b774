use super::noticed::marked;
use crate::{
    marks::Marks,
    quote::quoted_move,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::number,
    sink::Sink,
    suggest,
    why::why_not,
};

rule! {
    /// A move cannot be played in the position it stands in.
    ///
    /// The message names the reason: a pinned piece, a check that is not met, a piece
    /// that is not there, a square that is not reached. The rest of the line is read,
    /// but not played, so that one slip gives one finding; the line it hangs on goes on
    /// as if nothing had happened.
    ///
    /// Often another letter was meant, or the side-line hangs on the wrong move; both are
    /// looked for and told.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 3. Bc4 *
    /// ```
    RULE = "illegal-move", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for ply in marked(view, Marks::ILLEGAL) {
        let Some(position) = view.replay.before(ply) else {
            continue;
        };
        let span = view.span(ply.element);
        let words = quoted_move(view.text, span);
        let Some(written) = view.written(ply) else {
            continue;
        };
        let mut finding = Finding::new(
            &RULE,
            span,
            format!(
                "{}{words} cannot be played: {}.",
                number(position),
                why_not(position, &written)
            ),
        )
        .before(view, ply);
        if let Some(place) = suggest::elsewhere(view, ply, &written) {
            finding = finding.shown_by(place);
        }
        for near in suggest::nearest(position, &words, view.replay.language) {
            finding = finding.perhaps(format!("Write {near}"), span, near);
        }
        sink.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check, rules::rule};

    fn messages(text: &str) -> Vec<String> {
        check(text.as_bytes(), &Settings::default())
            .findings
            .into_iter()
            .filter(|finding| Some(finding.rule) == rule("illegal-move"))
            .map(|finding| finding.message)
            .collect()
    }

    #[test]
    fn one_slip_is_one_finding_and_the_parent_line_goes_on() {
        let found = messages("1. e4 e5 (1... e6 2. Nd4 d5 3. exd5 exd5) 2. Nf3 Nc6 3. Ke3 *");
        assert_eq!(
            found,
            [
                "2.Nd4 cannot be played: neither the knight on b1 nor the knight on g1 reaches d4.",
                "3.Ke3 cannot be played: the king on e1 does not reach e3."
            ]
        );
    }

    #[test]
    fn a_line_hung_on_the_wrong_move_is_told() {
        let report = check(
            b"1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 (3. Bc4 Bc5) 4. Ba4 *",
            &Settings::default(),
        );
        let finding = report
            .findings
            .iter()
            .find(|finding| finding.rule.name == "illegal-move")
            .expect("a finding");
        assert_eq!(finding.evidence, ["3.Bc4 would be legal instead of 3.Bb5"]);
    }

    /// A move that is early, late, twice, or the other side's is told so.
    #[test]
    fn where_it_belongs_is_told() {
        for (text, told) in [
            (
                "1. e4 e5 2. Nc6 Nf3 *",
                "2. Nf3 Nc6 would be legal: the two moves may have changed places",
            ),
            (
                "1. e4 e5 2. Nf3 Nc6 3. Nc6 *",
                "2...Nc6 has just been played",
            ),
            ("1. e4 e5 2. Nf3 Nf3 *", "2.Nf3 has just been played"),
            (
                "1. e4 e5 2. Nf3 3. Bc4 *",
                "it is Black's turn; Bc4 could be played by White: a move of Black may be missing",
            ),
            (
                "1. e4 e5 2. Nc3 (2. Nf6) *",
                "1...Nf6 would be legal instead of 1...e5",
            ),
            ("1. e4 e5 2. Nf3 Nc6 3. Nf3 *", "2.Nf3 was played before"),
        ] {
            let report = check(text.as_bytes(), &Settings::default());
            let finding = (report.findings.iter())
                .find(|finding| finding.rule.name == "illegal-move")
                .expect(text);
            assert_eq!(finding.evidence, [told], "{text}");
        }
    }

    #[test]
    fn its_numbers_are_not_told_again() {
        let settings = Settings {
            claims: false,
            ..Settings::default()
        };
        let told = |text: &str| -> Vec<&str> {
            check(text.as_bytes(), &settings)
                .findings
                .iter()
                .map(|finding| finding.rule.name)
                .collect()
        };
        let hung = "1. e4 e5 2. Nf3 Nc6 (3. Bc4 Bc5 4. c3 Nf6 5. d4) 3. Bb5 *";
        assert_eq!(told(hung), ["illegal-move"]);
        // A slip of the number later in a line that went wrong for another reason stays.
        let later = "1. e4 e5 2. Ke3 Nc6 3. Bc4 Bc5 5. c3 *";
        assert_eq!(told(later), ["illegal-move", "wrong-move-number"]);
    }

    #[test]
    fn another_language_does_not_excuse_it() {
        // With French letters `Re8` would be a move of the king.
        let text = b"[FEN \"8/3K4/8/8/8/8/k7/7R w - - 0 1\"] 1. Re8 *";
        let report = check(text, &Settings::default());
        assert!(
            report
                .findings
                .iter()
                .any(|finding| finding.rule.name == "illegal-move")
        );
    }

    #[test]
    fn near_moves_are_offered() {
        let report = check(b"1. Ne3 *", &Settings::default());
        let titles: Vec<&str> = report.findings[0]
            .remedies
            .iter()
            .map(|remedy| remedy.title.as_str())
            .collect();
        assert_eq!(titles, ["Write Na3", "Write Nc3", "Write Nf3"]);
    }
}
