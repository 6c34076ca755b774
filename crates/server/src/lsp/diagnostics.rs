//! Findings as diagnostics.

use std::{hash::Hasher, ops::Range as Bytes};

use gainsay::{Finding, Severity};
use gainsay_notation::Position as Place;
use serde_json::json;
use tower_lsp::lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    FullDocumentDiagnosticReport, Location, NumberOrString, Range,
    UnchangedDocumentDiagnosticReport, Url, WorkspaceDocumentDiagnosticReport,
    WorkspaceFullDocumentDiagnosticReport, WorkspaceUnchangedDocumentDiagnosticReport,
};

use super::{convert, session::Session};
use crate::{
    closed::Summary,
    document::{Section, Snapshot},
    features::place::shifted,
    gravest::Gravest,
    options::Options,
    words::counts,
};

/// Editors choke on more; common practice, no source.
const MOST_DIAGNOSTICS: usize = 1_000;

/// The findings of one document, unless the client has them already, and their name.
pub(super) fn report(
    uri: Url,
    version: Option<i64>,
    items: Vec<Diagnostic>,
    known: Option<&String>,
) -> (String, WorkspaceDocumentDiagnosticReport) {
    let id = result_id(&items);
    let report = if known == Some(&id) {
        WorkspaceDocumentDiagnosticReport::Unchanged(WorkspaceUnchangedDocumentDiagnosticReport {
            uri,
            version,
            unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                result_id: id.clone(),
            },
        })
    } else {
        WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
            uri,
            version,
            full_document_diagnostic_report: FullDocumentDiagnosticReport {
                result_id: Some(id.clone()),
                items,
            },
        })
    };
    (id, report)
}

/// Names a set of diagnostics by what it holds.
pub(super) fn result_id(items: &[Diagnostic]) -> String {
    format!("{:016x}", fingerprint(items))
}

/// The findings of a document as diagnostics, in the order of the text. Where there are
/// too many, those of the game that was edited last are given, then the gravest, and
/// the last one says so.
pub(super) fn diagnostics(snapshot: &Snapshot, uri: &Url, session: &Session) -> Vec<Diagnostic> {
    let near = snapshot
        .section_at(snapshot.focus)
        .map(|section| section.id());
    let is_near = |section: Section<'_>| Some(section.id()) == near;
    let close = findings(snapshot).filter(|(section, _)| is_near(*section));
    let close = close.count();
    let far = findings(snapshot).filter(|(section, _)| !is_near(*section));
    let far: Vec<Severity> = far.map(|(_, finding)| finding.severity).collect();
    let total = close + far.len();
    let left = MOST_DIAGNOSTICS.saturating_sub(close);
    let mut gravest = Gravest::of(far.into_iter(), left);
    let mut diagnostics = Vec::with_capacity(total.min(MOST_DIAGNOSTICS) + 1);
    for section in snapshot.sections() {
        let mut found = snapshot.findings(section);
        if is_near(section) && found.len() > MOST_DIAGNOSTICS {
            let focus = snapshot.focus.saturating_sub(section.start);
            let at = found.partition_point(|finding| finding.span.start < focus);
            let first = at.saturating_sub(MOST_DIAGNOSTICS / 2);
            found.truncate(first + MOST_DIAGNOSTICS);
            found.drain(..first);
        }
        for finding in found {
            if is_near(section) || gravest.take(finding.severity) {
                diagnostics.push(diagnostic(snapshot, section, finding, uri, session));
            }
        }
    }
    let hidden = total.saturating_sub(diagnostics.len());
    diagnostics.extend(rest(hidden));
    if snapshot.options.editor.unread_hints {
        let left = MOST_DIAGNOSTICS.saturating_sub(diagnostics.len());
        diagnostics.extend(unread(snapshot, session).take(left));
    }
    diagnostics
}

/// The sentences that were not understood, which editors show faintly.
fn unread<'s>(
    snapshot: &'s Snapshot,
    session: &'s Session,
) -> impl Iterator<Item = Diagnostic> + 's {
    let sentences = snapshot.sections().flat_map(|section| {
        let settled = section.found().claims.settlement().into_iter();
        let sentences = settled.flat_map(|settlement| &settlement.unread);
        sentences.map(move |sentence| (section, sentence))
    });
    sentences.map(|(section, sentence)| {
        let span = shifted(&sentence.span, section.start);
        Diagnostic {
            range: convert::range(&snapshot.text, &span, session.columns),
            severity: Some(DiagnosticSeverity::HINT),
            code: Some(NumberOrString::String("unread".to_owned())),
            source: Some("gainsay".to_owned()),
            message: counts::unread(&sentence.words),
            tags: Some(vec![DiagnosticTag::UNNECESSARY]),
            ..Diagnostic::default()
        }
    })
}

/// Says that some findings are not shown.
fn rest(hidden: usize) -> Option<Diagnostic> {
    (hidden > 0).then(|| note(counts::hidden(hidden)))
}

/// Says something about a whole file, at its beginning.
fn note(message: String) -> Diagnostic {
    Diagnostic {
        severity: Some(DiagnosticSeverity::INFORMATION),
        source: Some("gainsay".to_owned()),
        message,
        ..Diagnostic::default()
    }
}

/// The findings of a file that is not open.
pub(super) fn of_file(
    summary: &Summary,
    options: &Options,
    uri: &Url,
    session: &Session,
) -> Vec<Diagnostic> {
    let range = |at: &Bytes<Place>| Range::new(convert::at(at.start), convert::at(at.end));
    let placed = summary.found.iter().map(|placed| {
        let related: Vec<Range> = placed.related.iter().map(range).collect();
        let places = Places {
            at: range(&placed.at),
            related: &related,
        };
        told(&placed.finding, &places, options, uri, session)
    });
    let notes = summary.trouble.clone().map(note).into_iter();
    notes.chain(placed).chain(rest(summary.hidden)).collect()
}

/// All findings of a document as diagnostics.
pub(super) fn all(snapshot: &Snapshot, uri: &Url, session: &Session) -> Vec<Diagnostic> {
    findings(snapshot)
        .map(|(section, finding)| diagnostic(snapshot, section, finding, uri, session))
        .collect()
}

fn findings(snapshot: &Snapshot) -> impl Iterator<Item = (Section<'_>, &Finding)> {
    snapshot.sections().flat_map(|section| {
        let found = section.found();
        let report = found.report.iter().flat_map(|report| &report.findings);
        let settled = found
            .claims
            .settlement()
            .into_iter()
            .flat_map(|settlement| &settlement.findings);
        report.chain(settled).map(move |finding| (section, finding))
    })
}

fn diagnostic(
    snapshot: &Snapshot,
    section: Section<'_>,
    finding: &Finding,
    uri: &Url,
    session: &Session,
) -> Diagnostic {
    let text = &snapshot.text;
    let at =
        |span: &Bytes<usize>| convert::range(text, &shifted(span, section.start), session.columns);
    let related: Vec<Range> = finding
        .related
        .iter()
        .map(|related| at(&related.span))
        .collect();
    let places = Places {
        at: at(&finding.span),
        related: &related,
    };
    told(finding, &places, &snapshot.options, uri, session)
}

/// Where a finding stands.
struct Places<'r> {
    at: Range,
    /// The places of [`Finding::related`].
    related: &'r [Range],
}

fn told(
    finding: &Finding,
    places: &Places<'_>,
    options: &Options,
    uri: &Url,
    session: &Session,
) -> Diagnostic {
    let mut message = finding.message.clone();
    for line in &finding.evidence {
        message.push('\n');
        message.push_str(line);
    }
    let known = options.editor.known.knows(finding);
    if known {
        message.push_str(counts::KNOWN);
    }
    let severity = if known {
        Severity::Hint
    } else {
        finding.severity
    };
    let related: Vec<DiagnosticRelatedInformation> = finding
        .related
        .iter()
        .zip(places.related)
        .map(|(related, &range)| DiagnosticRelatedInformation {
            location: Location::new(uri.clone(), range),
            message: related.message.clone(),
        })
        .collect();
    let page = options.editor.rule_pages.as_ref().and_then(|address| {
        Url::parse(&format!("{address}{}", finding.rule.name))
            .ok()
            .map(|href| CodeDescription { href })
    });
    // What stands where SAN would leave it out is shown faded.
    let tags = (finding.rule.name == "needless-origin").then(|| vec![DiagnosticTag::UNNECESSARY]);
    Diagnostic {
        range: places.at,
        severity: Some(match severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
            Severity::Information => DiagnosticSeverity::INFORMATION,
            Severity::Hint => DiagnosticSeverity::HINT,
        }),
        code: Some(NumberOrString::String(finding.rule.name.to_owned())),
        code_description: page,
        source: Some("gainsay".to_owned()),
        message,
        related_information: (session.related && !related.is_empty()).then_some(related),
        tags,
        data: Some(json!({
            "rule": finding.rule.name,
            "evidence": finding.evidence,
            "position": finding.position,
            "remedies": finding.remedies.iter().map(|remedy| &remedy.title).collect::<Vec<_>>(),
        })),
    }
}

/// A fingerprint of a set of diagnostics: equal sets need not be sent again.
pub(super) fn fingerprint(diagnostics: &[Diagnostic]) -> u64 {
    struct Into(std::hash::DefaultHasher);
    impl std::io::Write for Into {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.write(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let mut into = Into(std::hash::DefaultHasher::new());
    // Writing into a hasher cannot fail.
    let _ = serde_json::to_writer(&mut into, diagnostics);
    into.0.finish()
}
