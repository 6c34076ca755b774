use super::noticed::faults;
use crate::{
    replay::View,
    report::Finding,
    rule::{Severity, rule},
    sink::Sink,
};
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
    const SHOWN: usize = 3;
    let mut open = faults(view, FaultKind::UnclosedSideLine);
    let Some(first) = open.next() else {
        return;
    };
    // Side-lines nest, so what is missing is missing at one place; the outermost is
    // where to begin looking.
    let mut finding = Finding::new(
        &RULE,
        first,
        "The side-line that opens here is never closed: add \")\" behind its last move.",
    )
    .in_game(view);
    for inner in open.by_ref().take(SHOWN) {
        finding = finding.related(inner, "nor is the one that opens here");
    }
    let rest = open.count();
    if rest > 0 {
        finding.message = format!(
            "The side-line that opens here is never closed, nor are {} more: add \")\" behind \
             their last moves.",
            rest + SHOWN
        );
    }
    sink.push(finding);
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn a_hundred_open_side_lines_are_one_finding() {
        let text = format!("1. e4 e5 {}*", "(1... c5 (1... e6 ".repeat(50));
        let report = check(text.as_bytes(), &Settings::default());
        let found: Vec<_> = report
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "unclosed-side-line")
            .collect();
        assert_eq!(found.len(), 1);
        assert!(
            found[0].message.contains("nor are 99 more"),
            "{}",
            found[0].message
        );
    }
}
