use super::{
    noticed::{gap, gaps, marked},
    wrong_move_number::{number_of, written},
};
use gainsay_notation::ElementKind;

use crate::{
    marks::Marks,
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    show::side,
    sink::Sink,
    spelling::apart,
};

rule! {
    /// The dots behind a move number speak of the other side.
    ///
    /// One dot announces a move of White, three a move of Black (PGN standard, 8.2.2). Where the
    /// numbers that follow are those of the other side too, a move is missing before the first: that
    /// is one finding, and no number is corrected.
    ///
    /// ```pgn before
    /// 1. e4 {a good start} 1. e5 2... Nf3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 {a good start} 1... e5 2. Nf3 *
    /// ```
    RULE = "wrong-side-dots", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let gaps = gaps(view);
    for ply in marked(view, Marks::WRONG_DOTS) {
        let Some((span, number)) = number_of(view, ply) else {
            continue;
        };
        if let Some(followers) = gaps.get(&ply.element) {
            if let Some(found) = gap(&RULE, view, ply, (span, number), *followers) {
                sink.push(found);
            }
            continue;
        }
        let right = match (number.value, ply.side()) {
            (None, shakmaty::Color::White) => String::new(),
            (None, shakmaty::Color::Black) => "...".to_owned(),
            (Some(_), _) => written(ply, gainsay_notation::MoveNumber { dots: 3, ..number }),
        };
        let title = if right.is_empty() {
            "Remove the dots".to_owned()
        } else {
            format!("Write {right}")
        };
        let right = apart(view, span.range(), &right);
        // Of two numbers before one move, the author must say which is meant.
        let before = ply.number.and_then(|at| view.element(at.checked_sub(1)?));
        let alone = before.is_none_or(|one| !matches!(one.kind, ElementKind::Number(_)))
            && view.is_counted(ply);
        sink.push(
            Finding::new(
                &RULE,
                span,
                format!(
                    "It is {}'s move, but \"{}\" announces a move of {}.",
                    side(ply.side()),
                    view.words(span),
                    side(ply.side().other())
                ),
            )
            .before(view, ply)
            .offer(title, alone, span, right),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    fn told(text: &str) -> Vec<(&'static str, bool)> {
        let report = check(text.as_bytes(), &Settings::default());
        let found = report.findings.iter();
        found
            .map(|found| (found.rule.name, found.remedies.iter().any(|it| it.safe)))
            .collect()
    }

    #[test]
    fn a_move_that_is_missing_is_one_finding_and_no_number_is_corrected() {
        for (moves, expected) in [
            // Black's second move is missing, and the next one Black could play too.
            (
                "1. d4 e5 2. e3 3. e4 b6 4. f4 c6 5. g4 *",
                &[("illegal-move", false), ("wrong-side-dots", false)][..],
            ),
            (
                "1 d4 e5 2 e3 3 e4 b6 4 f4 c6 5 g4 *",
                &[("illegal-move", false), ("wrong-move-number", false)],
            ),
            (
                "1. d4 1... e5 2. e3 3. e4 3... b6 4. f4 4... c6 *",
                &[("illegal-move", false), ("wrong-side-dots", false)],
            ),
            // A word that is no move of anybody stands before the numbers.
            (
                "1. e4 e5 Ka5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 *",
                &[("illegal-move", false)],
            ),
            // The side-line begins a move too early or goes on a move too late.
            (
                "1. e4 e5 2. Nf3 (1... Nc3 3. Nc6 Bb5) 2... Nc6 *",
                &[
                    ("wrong-move-number", false),
                    ("wrong-move-number", false),
                    ("wrong-side-dots", false),
                    ("wrong-side-dots", false),
                ],
            ),
            // Behind a move that cannot be played no number is sure.
            (
                "1. e4 e5 2. Nf3 Ka5 3. Nc6 3. Bb5 4. a6 4. Ba4 *",
                &[
                    ("illegal-move", false),
                    ("wrong-side-dots", false),
                    ("wrong-side-dots", false),
                ],
            ),
            // A semicolon may part moves, which are then no comment.
            (
                "1. e4 e5 ; 2. Nf3 Nc6\n3. Bb5 a6 *",
                &[("wrong-move-number", false)],
            ),
            (
                "1. e4 e5 ; The Open Game.\n3. Bb5 a6 *",
                &[("wrong-move-number", true)],
            ),
            // One number alone is a slip.
            (
                "1. e4 e5 2. Nf3 2. Nc6 3. Bb5 a6 *",
                &[("wrong-side-dots", true)],
            ),
            (
                "1. e4 e5 2. Nf3 {so} 3. Nc6 3. Bb5 a6 *",
                &[("wrong-move-number", true), ("wrong-side-dots", true)],
            ),
        ] {
            let mut found = told(moves);
            found.sort_unstable();
            assert_eq!(found, expected, "{moves}");
        }
    }
}
