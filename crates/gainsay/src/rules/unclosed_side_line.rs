use super::faults;
use crate::{Finding, Severity, Sink, View, rule::rule};
use gainsay_notation::FaultKind;

rule! {
    /// A side-line is opened and never closed.
    ///
    /// The finding points at the opening parenthesis. The side-line is taken to end
    /// where the move numbers go back to the line it hangs on; without such a number, all
    /// that follows is read as part of it.
    ///
    /// ```pgn before
    /// 1. e4 (1. d4 d5 1... e5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 (1. d4 d5) 1... e5 *
    /// ```
    RULE = "unclosed-side-line", Severity::Error
}

pub(super) fn check(view: &View<'_>, sink: &mut Sink<'_>) {
    for span in faults(view, FaultKind::UnclosedSideLine) {
        sink.push(
            Finding::new(
                &RULE,
                span,
                "The side-line that opens here is never closed: add \")\" behind its last move.",
            )
            .in_game(view),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    fn rules(text: &str) -> Vec<&'static str> {
        check(text.as_bytes(), &Settings::default())
            .findings
            .iter()
            .map(|finding| finding.rule.name)
            .collect()
    }

    #[test]
    fn the_numbers_show_where_the_side_line_ends() {
        for text in [
            "[Round \"1\"] 1. e4 e5 (1... c5 2. Nf3 d6 2. Nc3 Nf6 3. f4 d5 1-0",
            "[Round \"1\"] 1. e4 (1. d4 d5 (1... f5 2. g3 1... e5 2. Nf3 1-0",
            // Both lines expect move 2 here; only one can play it.
            "[Round \"1\"] 1. e4 e5 (1... d5 2. Qh5 g6 1-0",
            "[Round \"1\"] 1. e4 d5 (1... e5 2. exd5 Qxd5 1-0",
            "[Round \"1\"] ((((1. e4 e5 1-0",
        ] {
            let mut told = rules(text);
            told.retain(|rule| *rule != "missing-roster-tag");
            told.dedup();
            assert_eq!(told, ["unclosed-side-line"], "{text}");
        }
    }
}
