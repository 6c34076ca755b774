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
    /// A move gives check but does not bear its sign.
    ///
    /// The PGN standard asks for `+` (8.2.3.5). A game that marks none of several checks
    /// follows a habit; it gets one finding for all of them.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. f4 Qh4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. f4 Qh4+ *
    /// ```
    RULE = "missing-check-sign", Severity::Information
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    let missing: Vec<_> = marked(view, Marks::MISSING_CHECK).collect();
    let marks_checks = view
        .replay
        .plies
        .iter()
        .any(|ply| view.words(view.span(ply.element)).ends_with(['+', '#']));
    let habit = missing.len() > 2 && !marks_checks;
    for ply in &missing {
        let Some((text, edit)) = spelling::signed(view, ply, '+') else {
            continue;
        };
        let span = view.span(ply.element);
        let message = if habit {
            format!(
                "{} is check: this game marks none of its {} checks.",
                view.name(ply),
                missing.len()
            )
        } else {
            format!("{} is check: write {text}.", view.name(ply))
        };
        let finding = Finding::new(&RULE, span, message).before(view, ply);
        if habit {
            let all = missing.iter();
            let edits = all.filter_map(|ply| Some(spelling::signed(view, ply, '+')?.1));
            let sure = missing.iter().all(|ply| view.is_sure(ply));
            sink.push(finding.remedy("Sign all of them", sure, edits.collect()));
            break;
        }
        sink.push(finding.remedy(format!("Write {text}"), view.is_sure(ply), vec![edit]));
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn a_habit_is_one_finding() {
        let report = check(
            b"1. e4 e5 2. f4 Qh4 3. g3 Qxg3 4. hxg3 Bc5 5. Nf3 Bf2 6. Kxf2 *",
            &Settings::default(),
        );
        let found: Vec<_> = report
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "missing-check-sign")
            .collect();
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].message.contains("none of its 3 checks"));
    }
}
