//! The JSON format: one object, written as the check goes, so that a long file does
//! not pile up in memory.

use std::{
    io::{self, Seek, SeekFrom, Write},
    path::Path,
};

use gainsay::{Finding, Report, SettledClaim, Severity, outcome::Outcome};
use serde::Serialize;

use super::form::{Block, Output, Place};
use crate::{print, totals::Totals};

/// Claims come behind the findings of a file, so they wait here; beyond this size on
/// disk.
const HELD: usize = 8 << 20;

pub(crate) struct Json<W> {
    out: W,
    files: u64,
    findings: u64,
    claims: tempfile::SpooledTempFile,
    claim_count: u64,
    unread: tempfile::SpooledTempFile,
    unread_count: u64,
}

impl<W: Write> Json<W> {
    pub(crate) fn new(out: W) -> Self {
        Self {
            out,
            files: 0,
            findings: 0,
            claims: tempfile::SpooledTempFile::new(HELD),
            claim_count: 0,
            unread: tempfile::SpooledTempFile::new(HELD),
            unread_count: 0,
        }
    }
}

#[derive(Serialize)]
struct SpanJson {
    start: usize,
    end: usize,
}

impl From<&std::ops::Range<usize>> for SpanJson {
    fn from(span: &std::ops::Range<usize>) -> Self {
        Self {
            start: span.start,
            end: span.end,
        }
    }
}

#[derive(Serialize)]
struct FindingJson<'a> {
    rule: &'a str,
    severity: Severity,
    span: SpanJson,
    from: Place,
    to: Place,
    game: Option<u32>,
    r#move: Option<&'a str>,
    position: Option<&'a str>,
    message: &'a str,
    evidence: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
    related: Vec<RelatedJson<'a>>,
    remedies: Vec<RemedyJson<'a>>,
}

#[derive(Serialize)]
struct RelatedJson<'a> {
    span: SpanJson,
    message: &'a str,
}

#[derive(Serialize)]
struct RemedyJson<'a> {
    title: &'a str,
    safe: bool,
    edits: Vec<EditJson<'a>>,
}

#[derive(Serialize)]
struct EditJson<'a> {
    start: usize,
    end: usize,
    text: &'a str,
}

#[derive(Serialize)]
struct ClaimJson<'a> {
    kind: &'a str,
    text: &'a str,
    span: SpanJson,
    game: Option<u32>,
    r#move: Option<&'a str>,
    position: Option<&'a str>,
    verdict: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    exact: Option<bool>,
    evidence: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
    nodes: u64,
    /// Said of what is unsettled for want of nodes.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    short: bool,
    /// Said of what is unsettled since words near it were not understood.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    unread: &'a [String],
    outcome: &'a Outcome,
}

/// A sentence that was not understood.
#[derive(Serialize)]
struct UnreadJson<'a> {
    span: SpanJson,
    text: &'a str,
    words: &'a [String],
}

#[derive(Serialize)]
struct TotalsJson {
    findings: FindingCounts,
    claims: ClaimCounts,
    unread: u64,
}

#[derive(Serialize)]
struct FindingCounts {
    error: u64,
    warning: u64,
    information: u64,
    hint: u64,
}

#[derive(Serialize)]
struct ClaimCounts {
    holds: u64,
    fails: u64,
    unsettled: u64,
}

fn finding<'a>(finding: &'a Finding, block: &Block<'_>) -> FindingJson<'a> {
    FindingJson {
        rule: finding.rule.name,
        severity: finding.severity,
        span: (&finding.span).into(),
        from: block.place(finding.span.start),
        to: block.place(finding.span.end),
        game: finding.game,
        r#move: finding.mv.as_deref(),
        position: finding.position.as_deref(),
        message: &finding.message,
        evidence: &finding.evidence,
        note: finding.note.as_deref(),
        related: finding
            .related
            .iter()
            .map(|related| RelatedJson {
                span: (&related.span).into(),
                message: &related.message,
            })
            .collect(),
        remedies: finding
            .remedies
            .iter()
            .map(|remedy| RemedyJson {
                title: &remedy.title,
                safe: remedy.safe,
                edits: remedy
                    .edits
                    .iter()
                    .map(|edit| EditJson {
                        start: edit.span.start,
                        end: edit.span.end,
                        text: &edit.text,
                    })
                    .collect(),
            })
            .collect(),
    }
}

fn claim(claim: &SettledClaim) -> ClaimJson<'_> {
    ClaimJson {
        kind: &claim.kind,
        text: &claim.text,
        span: (&claim.span).into(),
        game: claim.game,
        r#move: claim.mv.as_deref(),
        position: claim.position.as_deref(),
        verdict: claim.verdict.as_str(),
        exact: claim.exact,
        evidence: &claim.evidence,
        note: claim.note.as_deref(),
        nodes: claim.nodes,
        short: claim.short,
        unread: &claim.unread,
        outcome: &claim.outcome,
    }
}

/// Writes what waited, and empties it.
fn drain(held: &mut tempfile::SpooledTempFile, out: &mut impl Write) -> io::Result<()> {
    let mut all = std::mem::replace(held, tempfile::SpooledTempFile::new(HELD));
    all.seek(SeekFrom::Start(0))?;
    io::copy(&mut all, out)?;
    Ok(())
}

impl<W: Write> Output for Json<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        let opening = if self.files == 0 {
            "{\"schema\":2,\"files\":["
        } else {
            ","
        };
        self.files += 1;
        self.findings = 0;
        self.claim_count = 0;
        self.unread_count = 0;
        write!(self.out, "{opening}\n{{\"path\":")?;
        print::json(&mut self.out, &path.to_string_lossy())?;
        write!(self.out, ",\"findings\":[")
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for found in &report.findings {
            let divider = if self.findings == 0 { "\n" } else { ",\n" };
            self.findings += 1;
            self.out.write_all(divider.as_bytes())?;
            print::json(&mut self.out, &finding(found, block))?;
        }
        for settled in &report.claims {
            let divider = if self.claim_count == 0 { "\n" } else { ",\n" };
            self.claim_count += 1;
            self.claims.write_all(divider.as_bytes())?;
            print::json(&mut self.claims, &claim(settled))?;
        }
        for sentence in &report.unread {
            let divider = if self.unread_count == 0 { "\n" } else { ",\n" };
            self.unread_count += 1;
            self.unread.write_all(divider.as_bytes())?;
            let unread = UnreadJson {
                span: (&sentence.span).into(),
                text: &sentence.text,
                words: &sentence.words,
            };
            print::json(&mut self.unread, &unread)?;
        }
        Ok(())
    }

    fn end_file(&mut self, games: u64, plies: u64) -> io::Result<()> {
        write!(self.out, "],\"claims\":[")?;
        drain(&mut self.claims, &mut self.out)?;
        write!(self.out, "],\"unread\":[")?;
        drain(&mut self.unread, &mut self.out)?;
        write!(self.out, "],\"games\":{games},\"plies\":{plies}}}")
    }

    fn finish(&mut self, totals: &Totals) -> io::Result<()> {
        if self.files == 0 {
            write!(self.out, "{{\"schema\":2,\"files\":[")?;
        }
        write!(self.out, "\n],\"totals\":")?;
        let totals = TotalsJson {
            findings: FindingCounts {
                error: totals.count(Severity::Error),
                warning: totals.count(Severity::Warning),
                information: totals.count(Severity::Information),
                hint: totals.count(Severity::Hint),
            },
            claims: ClaimCounts {
                holds: totals.holds,
                fails: totals.fails,
                unsettled: totals.unsettled,
            },
            unread: totals.unread,
        };
        print::json(&mut self.out, &totals)?;
        writeln!(self.out, "}}")?;
        self.out.flush()
    }
}
