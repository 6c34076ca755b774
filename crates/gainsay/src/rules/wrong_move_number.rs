use gainsay_notation::{ElementKind, MoveNumber, Span};

use super::marked;
use crate::{Finding, Marks, Ply, Severity, Sink, View, rule::rule};
use shakmaty::Color;

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
    for ply in marked(view, Marks::WRONG_NUMBER) {
        let Some((span, number)) = number_of(view, ply) else {
            continue;
        };
        let right = written(ply, number);
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
        // A number that is wrong may also show that a move was left out, so mending
        // it is safe only as far as the numbers go.
        finding = finding.mended(format!("Write {right}"), span, right);
        sink.push(finding);
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
    }
}
