use std::ops::Range;

use gainsay_notation::Span;

use crate::{
    nearest::nearest,
    report::Finding,
    rule::{Severity, rule},
};

rule! {
    /// A written allowance names no rule, so that it allows nothing.
    ///
    /// `gainsay rules` lists the names; the name comes first, and then the author's reason. A word
    /// that is nearly one of them is offered. Source: common practice of programs that check texts,
    /// no source.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3+ {[%allow false-chek-sign as the first edition has it]} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3+ {[%allow false-check-sign as the first edition has it]} Nc6 *
    /// ```
    RULE = "misnamed-allowance", Severity::Warning
}

/// The finding about an allowance at `span` with its `name` at `named`; `known` are the names of
/// the rules.
pub(crate) fn finding<'n>(
    span: &Range<usize>,
    named: &Range<usize>,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) -> Finding {
    let of = |range: &Range<usize>| Span::new(range.start as u32, range.end as u32);
    if name.is_empty() {
        let message =
            "This allowance names no rule: write one behind \"%allow\", and then the reason.";
        return Finding::new(&RULE, of(span), message);
    }
    let finding = Finding::new(
        &RULE,
        of(named),
        format!("There is no rule \"{name}\", so this allows nothing."),
    );
    match nearest(name, known) {
        Some(nearest) => finding.perhaps(format!("Write {nearest}"), of(named), nearest),
        None => finding,
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn the_name_that_was_meant_is_offered() {
        for (name, offered) in [
            ("false-mates", Some("Write false-mate")),
            ("zzz", None),
            ("", None),
        ] {
            let text = format!("1. e4 {{[%allow {name}]}} e5 *");
            let report = check(text.as_bytes(), &Settings::default());
            let found = report.findings.first().expect("a finding");
            assert_eq!(found.rule.name, "misnamed-allowance", "{name}");
            let remedy = found.remedies.first().map(|remedy| remedy.title.as_str());
            assert_eq!(remedy, offered, "{name}");
        }
    }
}
