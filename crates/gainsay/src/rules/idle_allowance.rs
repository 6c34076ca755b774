use std::ops::Range;

use gainsay_notation::Span;

use crate::{
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// A written allowance allows nothing: where it stands, its rule finds nothing wrong.
    ///
    /// What was wrong has been mended, or the allowance stands at another move than it was meant
    /// for. Left where it is, it would hide the next mistake of that kind. An allowance in a
    /// comment covers the move before it, before the first move the whole game; in a line of EPD it
    /// covers the line, and in prose its paragraph (or the next, where it has one of its own).
    /// Nothing is said where a claim nearby is unsettled. Source: common practice of programs that
    /// check texts, no source.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 {[%allow missing-check-sign as the first edition has it]} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 *
    /// ```
    RULE = "idle-allowance", Severity::Information
}

/// The finding about an allowance of `rule` at `span`, which goes with `whole` if it is taken out.
pub(crate) fn finding(span: &Range<usize>, whole: &Range<usize>, rule: &str) -> Finding {
    let of = |range: &Range<usize>| Span::new(range.start as u32, range.end as u32);
    let message =
        format!("There is nothing here that \"{rule}\" finds wrong, so this allows nothing.");
    Finding::new(&RULE, of(span), message).perhaps("Take the allowance out", of(whole), "")
}

#[cfg(test)]
mod tests {
    use crate::{Settings, apply, check};

    fn idle(text: &str) -> Option<String> {
        let report = check(text.as_bytes(), &Settings::default());
        let mut findings = report.findings.iter();
        let finding = findings.find(|finding| finding.rule.name == "idle-allowance")?;
        let mended = apply(text.as_bytes(), &finding.remedies[0].edits);
        Some(String::from_utf8(mended).expect("UTF-8"))
    }

    #[test]
    fn what_allows_nothing_can_be_taken_out() {
        assert_eq!(
            idle("1. e4 {[%allow illegal-move so]} e5 *").as_deref(),
            Some("1. e4 e5 *")
        );
        assert_eq!(
            idle("1. e4 {Best. [%allow false-mate so]} e5 *").as_deref(),
            Some("1. e4 {Best.} e5 *")
        );
    }

    #[test]
    fn claims_that_are_open_leave_it_alone() {
        // Nobody knows whether White wins by force.
        assert_eq!(
            idle("1. e4 {[%allow false-mate so] White mates in forty moves.} e5 *"),
            None
        );
    }

    #[test]
    fn a_rule_that_is_switched_off_is_not_looked_at() {
        let settings = Settings {
            only: vec!["idle-allowance".to_owned()],
            ..Settings::default()
        };
        let report = check(b"1. e4+ {[%allow false-mate so]} e5 *", &settings);
        assert!(report.findings.is_empty());
    }
}
