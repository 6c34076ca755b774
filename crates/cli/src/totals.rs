//! What was found in all files together, in numbers.

use std::collections::BTreeMap;

use gainsay::{Acceptance, Format, Report, Severity, Verdict};

/// The numbers at the end of a run.
#[derive(Debug, Default)]
pub(crate) struct Totals {
    pub(crate) games: u64,
    /// Positions of EPD files.
    pub(crate) positions: u64,
    pub(crate) plies: u64,
    pub(crate) findings: BTreeMap<Severity, u64>,
    /// Findings that are allowed in the text.
    pub(crate) allowed: u64,
    /// Findings that are known.
    pub(crate) known: u64,
    pub(crate) holds: u64,
    pub(crate) fails: u64,
    pub(crate) unsettled: u64,
    /// Claims that are unsettled because their budget did not suffice.
    pub(crate) short: u64,
    /// Sentences that were not understood.
    pub(crate) unread: u64,
}

impl Totals {
    pub(crate) fn add(&mut self, report: &Report, format: Format) {
        if format == Format::Epd {
            self.positions += u64::from(report.games);
        } else {
            self.games += u64::from(report.games);
        }
        self.plies += report.plies;
        for finding in &report.findings {
            *self.findings.entry(finding.severity).or_default() += 1;
        }
        for accepted in &report.accepted {
            match accepted.how {
                Acceptance::Allowed { .. } => self.allowed += 1,
                Acceptance::Known => self.known += 1,
            }
        }
        self.unread += report.unread.len() as u64;
        for claim in &report.claims {
            self.short += u64::from(claim.short);
            match claim.verdict {
                Verdict::Holds => self.holds += 1,
                Verdict::Fails => self.fails += 1,
                Verdict::Unsettled => self.unsettled += 1,
            }
        }
    }

    /// How many findings have this severity.
    pub(crate) fn count(&self, severity: Severity) -> u64 {
        self.findings.get(&severity).copied().unwrap_or_default()
    }
}
