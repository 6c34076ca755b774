use gainsay_notation::{ElementKind, FaultKind, MoveNumber, Span};

use super::noticed::{faults, gap, gaps, marked};
use crate::{
    marks::Marks,
    replay::{Ply, View},
    report::{Edit, Finding},
    rule::{Severity, rule},
    sink::Sink,
};
use shakmaty::Color;
use std::collections::BTreeMap;

rule! {
    /// A move number is not the number of the move it stands before.
    ///
    /// Where the numbers that follow are off by the same amount, only the first of
    /// them is reported.
    ///
    /// ```pgn before
    /// 1. e4 e5 3. Nf3 Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 *
    /// ```
    RULE = "wrong-move-number", Severity::Warning
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let mut runs = runs(view);
    // Numbers tell where a side-line ends that is never closed.
    let closed = faults(view, FaultKind::UnclosedSideLine).next().is_none();
    let gaps = gaps(view);
    for ply in marked(view, Marks::WRONG_NUMBER) {
        let Some((span, number)) = number_of(view, ply) else {
            continue;
        };
        if let Some(followers) = gaps.get(&ply.element) {
            // Where the dots are wrong too, that is told of them.
            if !ply.marks.contains(Marks::WRONG_DOTS)
                && let Some(found) = gap(&RULE, view, ply, (span, number), *followers)
            {
                sink.push(found);
            }
            continue;
        }
        let right = written(ply, number);
        let mut edits = vec![corrected(ply, span, number)];
        edits.extend(runs.remove(&ply.element).unwrap_or_default());
        let mut finding = Finding::new(
            &RULE,
            span,
            format!(
                "This is move {} of {}, not move {}.",
                ply.move_number(),
                crate::show::side(ply.side()),
                number.value.unwrap_or_default()
            ),
        )
        .before(view, ply);
        let title = match edits.len() {
            1 => format!("Write {right}"),
            many => format!("Write {right} and correct the {} that follow", many - 1),
        };
        // A number that is wrong may also show that a move was left out, so mending
        // it is safe only as far as the numbers go.
        let safe = closed && view.is_counted(ply);
        finding = finding.remedy(title, safe, edits);
        sink.push(finding);
    }
}

/// The edits of the numbers that are off by as much as one before them, by the element of
/// the move whose number begins the run: all of them are one mistake.
fn runs(view: &View<'_>) -> BTreeMap<u32, Vec<Edit>> {
    let mut runs: BTreeMap<u32, Vec<Edit>> = BTreeMap::new();
    let mut begun: BTreeMap<i64, u32> = BTreeMap::new();
    for ply in marked(view, Marks::WRONG_NUMBER | Marks::SAME_SHIFT) {
        let Some((span, number)) = number_of(view, ply) else {
            continue;
        };
        let shift = i64::from(number.value.unwrap_or_default()) - i64::from(ply.move_number());
        if ply.marks.contains(Marks::WRONG_NUMBER) {
            begun.insert(shift, ply.element);
        } else if let Some(&first) = begun.get(&shift).filter(|_| view.is_counted(ply)) {
            let edit = corrected(ply, span, number);
            runs.entry(first).or_default().push(edit);
        }
    }
    runs
}

/// The edit that writes the right number.
fn corrected(ply: &Ply, span: Span, number: MoveNumber) -> Edit {
    Edit {
        span: span.range(),
        text: written(ply, number),
    }
}

/// The number element before a ply.
pub(super) fn number_of(view: &View<'_>, ply: &Ply) -> Option<(Span, MoveNumber)> {
    let element = view.element(ply.number?)?;
    match element.kind {
        ElementKind::Number(number) => Some((element.span, number)),
        _ => None,
    }
}

/// The right number for a ply, with as many dots as the author likes.
pub(super) fn written(ply: &Ply, number: MoveNumber) -> String {
    let dots = match ply.side() {
        Color::White => ".".repeat(usize::from(number.dots.min(1))),
        Color::Black if number.dots == 0 => String::new(),
        Color::Black => "...".to_owned(),
    };
    format!("{}{dots}", ply.move_number())
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn numbers_that_go_on_wrongly_are_one_finding() {
        let report = check(
            b"1. e4 e5 3. Nf3 Nc6 4. Bb5 a6 5. Ba4 Nf6 5. O-O *",
            &Settings::default(),
        );
        let found: Vec<_> = report
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "wrong-move-number")
            .map(|finding| finding.message.as_str())
            .collect();
        assert_eq!(found, ["This is move 2 of White, not move 3."]);
        let remedy = |finding: &crate::Finding| finding.remedies.first().cloned();
        let remedy = report.findings.iter().find_map(remedy).expect("a remedy");
        assert_eq!(remedy.title, "Write 2. and correct the 2 that follow");
        let edits: Vec<&str> = remedy.edits.iter().map(|edit| edit.text.as_str()).collect();
        assert_eq!(edits, ["2.", "3.", "4."]);
    }
}
