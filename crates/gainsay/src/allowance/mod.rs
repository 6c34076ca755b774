//! The author's written word that a finding is accepted: `[%allow rule reason]` in a comment of a
//! game or of a position, or in the prose of a manuscript.

mod places;

use std::ops::Range;

use gainsay_proof::Verdict;

use crate::{
    recognise,
    report::{Acceptance, Accepted, Finding, Settlement},
    rule::Rule,
    rules::{self, idle_allowance, misnamed_allowance},
    settings::Settings,
    sink::Sink,
};

pub(crate) use places::{Allowance, of_game, of_line, of_prose};

impl Allowance {
    /// Whether it accepts this finding.
    fn accepts(&self, finding: &Finding) -> bool {
        self.rule == finding.rule.name && self.spans(&finding.span)
    }

    /// What there is to say of it where it accepts nothing.
    fn idle(&self) -> Finding {
        self.placed(idle_allowance::finding(&self.span, &self.whole, &self.rule))
    }

    /// A finding about it, with its place. Those of claims get no other fingerprint.
    fn placed(&self, mut finding: Finding) -> Finding {
        finding.game = self.game;
        let words = self.rule.as_bytes();
        recognise::mark(std::slice::from_mut(&mut finding), 0, |_| words);
        finding
    }

    /// Whether these bytes are within what it covers.
    fn spans(&self, span: &Range<usize>) -> bool {
        self.covers.start <= span.start && span.end <= self.covers.end
    }
}

/// What decides about the findings of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Decider {
    /// The notation.
    Notation,
    /// The claims.
    Claims,
    /// The whole text.
    Whole,
}

impl Decider {
    /// Whether it alone decides about this rule.
    fn decides(self, rule: &Rule) -> bool {
        if rule == rules::CHECK_SIGN {
            return false;
        }
        let decider = match (rules::is_about_claims(rule), rules::is_of_the_whole(rule)) {
            (true, _) => Self::Claims,
            (_, true) => Self::Whole,
            _ => Self::Notation,
        };
        self == decider
    }
}

/// Moves the findings that an allowance covers to what is accepted.
pub(crate) fn apply(
    allowances: &[Allowance],
    findings: &mut Vec<Finding>,
    accepted: &mut Vec<Accepted>,
) {
    if allowances.is_empty() {
        return;
    }
    let mut rest = Vec::with_capacity(findings.len());
    for finding in findings.drain(..) {
        match allowances.iter().find(|allowed| allowed.accepts(&finding)) {
            Some(allowed) => accepted.push(Accepted {
                finding,
                how: Acceptance::Allowed {
                    reason: allowed.reason.clone(),
                },
            }),
            None => rest.push(finding),
        }
    }
    *findings = rest;
}

/// Adds what is wrong with allowances, as far as the notation tells: names of no rule, and rules
/// of the notation that found nothing.
pub(crate) fn tell_notation(
    allowances: &[Allowance],
    findings: &mut Vec<Finding>,
    settings: &Settings,
) {
    if allowances.is_empty() {
        return;
    }
    let mut sink = Sink::new(settings);
    tell_names(allowances, &mut sink);
    let found = |allowed: &Allowance| findings.iter().any(|finding| allowed.accepts(finding));
    for allowed in decided(allowances, Decider::Notation, settings) {
        if !found(allowed) {
            sink.push(allowed.idle());
        }
    }
    findings.extend(sink.into_findings());
    findings.sort_by_key(|finding| (finding.span.start, finding.span.end));
}

/// Adds what is wrong with allowances once all claims are settled: rules about claims that found
/// nothing, where nothing is left open, and if `names` is set, names of no rule.
pub(crate) fn tell_claims(
    allowances: &[Allowance],
    names: bool,
    settlement: &mut Settlement,
    settings: &Settings,
) {
    let mut sink = Sink::new(settings);
    if names {
        tell_names(allowances, &mut sink);
    }
    let open = |allowed: &Allowance| {
        let mut claims = settlement.claims.iter();
        let mut unread = settlement.unread.iter();
        claims.any(|claim| claim.verdict == Verdict::Unsettled && allowed.spans(&claim.span))
            || unread.any(|sentence| allowed.spans(&sentence.span))
    };
    for allowed in decided(allowances, Decider::Claims, settings) {
        let mut accepted = settlement.accepted.iter();
        if !accepted.any(|accepted| allowed.accepts(&accepted.finding)) && !open(allowed) {
            sink.push(allowed.idle());
        }
    }
    settlement.findings.extend(sink.into_findings());
    let order = |finding: &Finding| (finding.span.start, finding.span.end);
    settlement.findings.sort_by_key(order);
}

/// Moves those findings that only a whole text tells, and that a piece of it allows, to what is
/// accepted, and adds allowances of such rules that found nothing.
pub(crate) fn of_the_whole(
    piece: &[u8],
    findings: &mut Vec<Finding>,
    accepted: &mut Vec<Accepted>,
    settings: &Settings,
) {
    let allowances = of_prose(piece);
    if allowances.is_empty() {
        return;
    }
    let mut sink = Sink::new(settings);
    for allowed in decided(&allowances, Decider::Whole, settings) {
        if !findings.iter().any(|finding| allowed.accepts(finding)) {
            sink.push(allowed.idle());
        }
    }
    apply(&allowances, findings, accepted);
    findings.extend(sink.into_findings());
}

/// Adds what is wrong with the names of rules.
fn tell_names(allowances: &[Allowance], sink: &mut Sink<'_>) {
    for allowed in allowances {
        if rules::rule(&allowed.rule).is_none() {
            let known = rules::rules().into_iter().map(|rule| rule.name);
            let Allowance { span, named, .. } = allowed;
            sink.push(misnamed_allowance::finding(
                span,
                named,
                &allowed.rule,
                known,
            ));
        }
    }
}

/// The allowances of rules that are looked at and about which `decider` alone decides.
fn decided<'a>(
    allowances: &'a [Allowance],
    decider: Decider,
    settings: &'a Settings,
) -> impl Iterator<Item = &'a Allowance> {
    allowances.iter().filter(move |allowed| {
        let rule = rules::rule(&allowed.rule);
        rule.is_some_and(|rule| decider.decides(rule) && settings.severity(rule).is_some())
    })
}

#[cfg(test)]
mod tests {
    use crate::{Format, Settings, check_as, report::Acceptance};

    fn told(text: &str, format: Format) -> (Vec<&'static str>, Vec<(&'static str, String)>) {
        let report = check_as(text.as_bytes(), format, &Settings::default());
        let accepted = report.accepted.into_iter().map(|accepted| {
            let Acceptance::Allowed { reason } = accepted.how else {
                panic!("nothing is known here");
            };
            (accepted.finding.rule.name, reason)
        });
        let found = report.findings.iter().map(|finding| finding.rule.name);
        (found.collect(), accepted.collect())
    }

    #[test]
    fn an_allowance_covers_its_move_only() {
        assert_eq!(
            told(
                "1. e4+ {[%allow false-check-sign \"a joke\"]} e5+ *",
                Format::Pgn
            ),
            (
                vec!["false-check-sign"],
                vec![("false-check-sign", "a joke".to_owned())]
            )
        );
        let (found, accepted) = told("1. e4+ {[%allow illegal-move no]} e5 *", Format::Pgn);
        assert_eq!(found, ["false-check-sign", "idle-allowance"]);
        assert!(accepted.is_empty());
    }

    #[test]
    fn before_the_first_move_it_covers_the_game() {
        let text = "{[%allow false-check-sign old file]} 1. e4+ e5+ *";
        let (found, accepted) = told(text, Format::Pgn);
        assert!(found.is_empty());
        assert_eq!(accepted.len(), 2);
    }

    #[test]
    fn a_line_of_positions_has_them_in_its_comments() {
        let position = "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2;";
        assert_eq!(told(position, Format::Epd).0, ["false-mate"]);
        let allowed = format!("{position} c9 \"[%allow false-mate kept from the first edition]\";");
        let (found, accepted) = told(&allowed, Format::Epd);
        assert!(found.is_empty(), "{found:?}");
        assert_eq!(accepted[0].1, "kept from the first edition");
    }

    #[test]
    fn prose_has_them_in_comments_of_its_format() {
        let fen = "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1";
        for (format, block, [open, close]) in [
            (Format::Markdown, format!("`{fen}`\n\n"), ["<!-- ", " -->"]),
            (Format::Latex, format!("\\board{{{fen}}}\n\n"), ["% ", ""]),
            (Format::AsciiDoc, format!("`{fen}`\n\n"), ["// ", ""]),
        ] {
            let text = |words: &str, end: &str| {
                format!("{block}{words}\n{open}allow {end}: a pupil's answer{close}\n")
            };
            let (found, accepted) = told(&text("Black mates in one.", "false-mate"), format);
            assert_eq!(found, [""; 0], "{format:?}");
            assert_eq!(accepted, [("false-mate", "a pupil's answer".to_owned())]);
            let misspelt = text("Black mates in one.", "false-mat");
            let misspelt = told(&misspelt, format).0;
            assert_eq!(misspelt, ["false-mate", "misnamed-allowance"], "{format:?}");
            // One that is not needed can be taken out.
            let idle = text("White mates in one.", "false-mate");
            let report = check_as(idle.as_bytes(), format, &Settings::default());
            let [finding] = &report.findings[..] else {
                panic!("{format:?} {:?}", report.findings)
            };
            assert_eq!(finding.rule.name, "idle-allowance");
            let span = finding.remedies[0].edits[0].span.clone();
            let taken = &idle[span];
            assert_eq!(
                taken,
                format!("{open}allow false-mate: a pupil's answer{close}")
            );
        }
    }

    #[test]
    fn prose_has_them_in_its_paragraphs() {
        let block = "```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n";
        let wrong = "Black mates in one.";
        let rules = |prose: &str| told(&format!("{block}{prose}\n"), Format::Markdown).0;
        assert_eq!(rules(wrong), ["false-mate"]);
        assert!(
            rules(&format!(
                "{wrong}\n<!-- [%allow false-mate a pupil's answer] -->"
            ))
            .is_empty()
        );
        assert!(
            rules(&format!(
                "<!-- [%allow false-mate a pupil's answer] -->\n\n{wrong}"
            ))
            .is_empty()
        );
        let elsewhere = format!("{wrong}\n\nWell. [%allow false-mate a pupil's answer]");
        assert_eq!(rules(&elsewhere), ["false-mate", "idle-allowance"]);
    }
}
