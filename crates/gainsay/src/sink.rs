//! Where rules put their findings.

use gainsay_notation::Span;
use shakmaty::Chess;

use crate::{
    fingerprint::Fingerprint,
    replay::{Ply, View},
    report::{Edit, Finding, Related, Remedy},
    rule::{Rule, Severity},
    settings::Settings,
    show,
};

/// Collects findings and gives them the severity that the settings ask for.
///
/// A game has no more of one severity than the settings say: more are told by their number, so
/// that a file that is wrong all through takes no more memory than its text.
#[derive(Debug)]
pub(crate) struct Sink<'s> {
    settings: &'s Settings,
    findings: Vec<Finding>,
    /// How many there were of each severity, in the order of [`Severity::ALL`].
    counts: [usize; Severity::ALL.len()],
}

impl<'s> Sink<'s> {
    /// An empty sink.
    #[must_use]
    pub(crate) const fn new(settings: &'s Settings) -> Self {
        Self {
            settings,
            findings: Vec::new(),
            counts: [0; Severity::ALL.len()],
        }
    }

    /// Whether findings of `rule` are wanted at all.
    #[must_use]
    pub(crate) fn wants(&self, rule: &Rule) -> bool {
        self.settings.severity(rule).is_some()
    }

    /// Adds a finding unless its rule is switched off.
    pub(crate) fn push(&mut self, mut finding: Finding) {
        if let Some(severity) = self.settings.severity(finding.rule) {
            finding.severity = severity;
            let counts = Severity::ALL.into_iter().zip(&mut self.counts);
            for (_, count) in counts.filter(|(counted, _)| *counted == severity) {
                *count += 1;
                if *count > self.settings.most_findings {
                    return;
                }
            }
            self.findings.push(finding);
        }
    }

    /// The findings in the order of the text.
    #[must_use]
    pub(crate) fn into_findings(mut self) -> Vec<Finding> {
        self.findings
            .sort_by_key(|finding| (finding.span.start, finding.span.end));
        for (severity, count) in Severity::ALL.into_iter().zip(self.counts) {
            let mut last = self.findings.iter_mut().rev();
            if let Some(more) = count
                .checked_sub(self.settings.most_findings)
                .filter(|&more| more > 0)
                && let Some(last) = last.find(|finding| finding.severity == severity)
            {
                let noun = match severity {
                    Severity::Information => "findings of this severity".to_owned(),
                    _ => format!("{}s", severity.as_str()),
                };
                last.message.push_str(&format!(
                    " {more} more {noun} in this game are not listed: mend these first."
                ));
            }
        }
        self.findings
    }
}

impl Finding {
    /// A finding of `rule` at `span`; `message` is one sentence that says what is
    /// wrong and what is true instead.
    #[must_use]
    pub(crate) fn new(
        rule: &'static Rule,
        span: impl Into<Span>,
        message: impl Into<String>,
    ) -> Self {
        Self {
            rule,
            severity: rule.severity,
            span: span.into().range(),
            game: None,
            mv: None,
            position: None,
            message: message.into(),
            evidence: Vec::new(),
            note: None,
            related: Vec::new(),
            remedies: Vec::new(),
            fingerprint: Fingerprint::default(),
        }
    }

    /// Says in which game it stands.
    #[must_use]
    pub(crate) const fn in_game(mut self, view: &View<'_>) -> Self {
        self.game = Some(view.index);
        self
    }

    /// Says at which move it stands, and that it speaks of the position before it.
    #[must_use]
    pub(crate) fn before(mut self, view: &View<'_>, ply: &Ply) -> Self {
        self.game = Some(view.index);
        self.mv = Some(view.name(ply));
        self.position = view.replay.before(ply).map(show::fen);
        self
    }

    /// Says at which move it stands, and that it speaks of the position after it.
    #[must_use]
    pub(crate) fn after(mut self, view: &View<'_>, ply: &Ply) -> Self {
        self.game = Some(view.index);
        self.mv = Some(view.name(ply));
        self.position = ply.after.as_ref().map(show::fen);
        self
    }

    /// Says of which position it speaks.
    #[must_use]
    pub(crate) fn on(mut self, position: &Chess) -> Self {
        self.position = Some(show::fen(position));
        self
    }

    /// Adds a line of evidence, unless it is empty.
    #[must_use]
    pub(crate) fn shown_by(mut self, line: impl Into<String>) -> Self {
        let line = line.into();
        if !line.is_empty() {
            self.evidence.push(line);
        }
        self
    }

    /// Points at another place.
    #[must_use]
    pub(crate) fn related(mut self, span: Span, message: impl Into<String>) -> Self {
        self.related.push(Related {
            span: span.range(),
            message: message.into(),
        });
        self
    }

    /// Offers an edit that the author must judge.
    #[must_use]
    pub(crate) fn perhaps(
        self,
        title: impl Into<String>,
        span: Span,
        text: impl Into<String>,
    ) -> Self {
        self.offer(title, false, span, text)
    }

    /// Offers an edit, which is `safe` where it cannot change the meaning.
    #[must_use]
    pub(crate) fn offer(
        self,
        title: impl Into<String>,
        safe: bool,
        span: Span,
        text: impl Into<String>,
    ) -> Self {
        let edit = Edit {
            span: span.range(),
            text: text.into(),
        };
        self.remedy(title, safe, vec![edit])
    }

    /// Offers edits that belong together, in order and without overlap.
    #[must_use]
    pub(crate) fn remedy(mut self, title: impl Into<String>, safe: bool, edits: Vec<Edit>) -> Self {
        self.remedies.push(Remedy {
            title: title.into(),
            safe,
            edits,
        });
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules;

    #[test]
    fn what_is_left_out_is_told_and_hides_nothing_graver() {
        let settings = Settings::default();
        let mut sink = Sink::new(&settings);
        let [warning, error] =
            ["wrong-move-number", "illegal-move"].map(|name| rules::rule(name).expect("a rule"));
        let at = |at: usize| Span::new(at as u32, at as u32 + 1);
        for place in 0..settings.most_findings + 7 {
            sink.push(Finding::new(warning, at(place), "Odd."));
        }
        sink.push(Finding::new(error, at(5000), "Wrong."));
        let found = sink.into_findings();
        assert_eq!(found.len(), settings.most_findings + 1);
        let told: Vec<&str> = found
            .iter()
            .map(|finding| finding.message.as_str())
            .filter(|message| *message != "Odd.")
            .collect();
        let last = "Odd. 7 more warnings in this game are not listed: mend these first.";
        assert_eq!(told, [last, "Wrong."]);
    }
}
