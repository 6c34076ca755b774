//! Findings as diagnostics, and those that a client asks for.

use std::{collections::HashMap, hash::Hasher, ops::Range as Bytes};

use gainsay::{Finding, Severity};
use serde_json::json;
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{
        CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity,
        DiagnosticTag, DocumentDiagnosticParams, DocumentDiagnosticReport,
        DocumentDiagnosticReportResult, FullDocumentDiagnosticReport, Location, NumberOrString,
        Range, RelatedFullDocumentDiagnosticReport, RelatedUnchangedDocumentDiagnosticReport,
        UnchangedDocumentDiagnosticReport, Url, WorkspaceDiagnosticParams,
        WorkspaceDiagnosticReport, WorkspaceDiagnosticReportResult,
        WorkspaceDocumentDiagnosticReport, WorkspaceFullDocumentDiagnosticReport,
        WorkspaceUnchangedDocumentDiagnosticReport,
    },
};

use super::{convert, server::Server, session::Session};
use crate::{
    document::{Section, Snapshot},
    features::place::shifted,
};

/// Editors choke on more; common practice, no source.
const MOST_DIAGNOSTICS: usize = 1_000;

impl Server {
    pub(super) async fn answer_diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let uri = params.text_document.uri.clone();
        let items = self
            .look(&params.text_document.uri, move |snapshot, session| {
                diagnostics(snapshot, &uri, session)
            })
            .await?
            .unwrap_or_default();
        let id = result_id(&items);
        Ok(DocumentDiagnosticReportResult::Report(
            if params.previous_result_id.as_ref() == Some(&id) {
                DocumentDiagnosticReport::Unchanged(RelatedUnchangedDocumentDiagnosticReport {
                    related_documents: None,
                    unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                        result_id: id,
                    },
                })
            } else {
                DocumentDiagnosticReport::Full(RelatedFullDocumentDiagnosticReport {
                    related_documents: None,
                    full_document_diagnostic_report: FullDocumentDiagnosticReport {
                        result_id: Some(id),
                        items,
                    },
                })
            },
        ))
    }

    pub(super) async fn answer_workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        let open = self.open_documents().await;
        let session = self.shared.session();
        let items = tokio::task::spawn_blocking(move || {
            let mut known: HashMap<Url, String> = params
                .previous_result_ids
                .into_iter()
                .map(|known| (known.uri, known.value))
                .collect();
            let mut reports: Vec<WorkspaceDocumentDiagnosticReport> = open
                .iter()
                .map(|(uri, snapshot)| {
                    let items = diagnostics(snapshot, uri, &session);
                    let version = Some(snapshot.version.into());
                    report(uri.clone(), version, items, known.remove(uri))
                })
                .collect();
            // What is no longer open has no findings any more.
            let mut closed: Vec<(Url, String)> = known.into_iter().collect();
            closed.sort();
            reports.extend(
                closed
                    .into_iter()
                    .map(|(uri, known)| report(uri, None, Vec::new(), Some(known))),
            );
            reports
        })
        .await
        .map_err(|_| Error::internal_error())?;
        Ok(WorkspaceDiagnosticReportResult::Report(
            WorkspaceDiagnosticReport { items },
        ))
    }
}

/// The findings of one document, unless the client has them already.
fn report(
    uri: Url,
    version: Option<i64>,
    items: Vec<Diagnostic>,
    known: Option<String>,
) -> WorkspaceDocumentDiagnosticReport {
    let id = result_id(&items);
    if known.as_ref() == Some(&id) {
        return WorkspaceDocumentDiagnosticReport::Unchanged(
            WorkspaceUnchangedDocumentDiagnosticReport {
                uri,
                version,
                unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                    result_id: id,
                },
            },
        );
    }
    WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
        uri,
        version,
        full_document_diagnostic_report: FullDocumentDiagnosticReport {
            result_id: Some(id),
            items,
        },
    })
}

/// Names a set of diagnostics by what it holds.
fn result_id(items: &[Diagnostic]) -> String {
    format!("{:016x}", fingerprint(items))
}

/// The findings of a document as diagnostics, in the order of the text. Where there are
/// too many, those of the game that was edited last are given, then the gravest, and
/// the last one says so.
pub(super) fn diagnostics(snapshot: &Snapshot, uri: &Url, session: &Session) -> Vec<Diagnostic> {
    let near = snapshot
        .section_at(snapshot.focus)
        .map(|section| section.id);
    let mut counts = [0_usize; Severity::ALL.len()];
    let mut close = 0;
    for (section, finding) in findings(snapshot) {
        if Some(section.id) == near {
            close += 1;
        } else if let Some(count) = degree(finding.severity).and_then(|at| counts.get_mut(at)) {
            *count += 1;
        }
    }
    let total = close + counts.iter().sum::<usize>();
    let mut left = MOST_DIAGNOSTICS.saturating_sub(close);
    for count in &mut counts {
        *count = (*count).min(left);
        left -= *count;
    }
    let mut diagnostics = Vec::with_capacity(total.min(MOST_DIAGNOSTICS) + 1);
    for section in snapshot.sections.iter() {
        let mut found = snapshot.findings(section);
        if Some(section.id) == near && found.len() > MOST_DIAGNOSTICS {
            let focus = snapshot.focus.saturating_sub(section.start);
            let at = found.partition_point(|finding| finding.span.start < focus);
            let first = at.saturating_sub(MOST_DIAGNOSTICS / 2);
            found.truncate(first + MOST_DIAGNOSTICS);
            found.drain(..first);
        }
        for finding in found {
            if Some(section.id) == near {
                diagnostics.push(diagnostic(snapshot, section, finding, uri, session));
                continue;
            }
            match degree(finding.severity).and_then(|at| counts.get_mut(at)) {
                Some(quota) if *quota > 0 => *quota -= 1,
                _ => continue,
            }
            diagnostics.push(diagnostic(snapshot, section, finding, uri, session));
        }
    }
    let hidden = total.saturating_sub(diagnostics.len());
    if hidden > 0 {
        let start = convert::position(&snapshot.text, 0, session.columns);
        diagnostics.push(Diagnostic {
            range: Range::new(start, start),
            severity: Some(DiagnosticSeverity::INFORMATION),
            source: Some("gainsay".to_owned()),
            message: format!("{hidden} more findings are not shown; mend some of these first."),
            ..Diagnostic::default()
        });
    }
    diagnostics
}

/// The place of a severity in [`Severity::ALL`].
fn degree(severity: Severity) -> Option<usize> {
    Severity::ALL.iter().position(|&known| known == severity)
}

/// All findings of a document as diagnostics.
pub(super) fn all(snapshot: &Snapshot, uri: &Url, session: &Session) -> Vec<Diagnostic> {
    findings(snapshot)
        .map(|(section, finding)| diagnostic(snapshot, section, finding, uri, session))
        .collect()
}

fn findings(snapshot: &Snapshot) -> impl Iterator<Item = (&Section, &Finding)> {
    snapshot.sections.iter().flat_map(|section| {
        let report = section.report.iter().flat_map(|report| &report.findings);
        let settled = section
            .claims
            .settlement()
            .into_iter()
            .flat_map(|settlement| &settlement.findings);
        report.chain(settled).map(move |finding| (section, finding))
    })
}

fn diagnostic(
    snapshot: &Snapshot,
    section: &Section,
    finding: &Finding,
    uri: &Url,
    session: &Session,
) -> Diagnostic {
    let text = &snapshot.text;
    let at =
        |span: &Bytes<usize>| convert::range(text, &shifted(span, section.start), session.columns);
    let mut message = finding.message.clone();
    for line in &finding.evidence {
        message.push('\n');
        message.push_str(line);
    }
    let related: Vec<DiagnosticRelatedInformation> = finding
        .related
        .iter()
        .map(|related| DiagnosticRelatedInformation {
            location: Location::new(uri.clone(), at(&related.span)),
            message: related.message.clone(),
        })
        .collect();
    let page = snapshot
        .options
        .editor
        .rule_pages
        .as_ref()
        .and_then(|address| {
            Url::parse(&format!("{address}{}", finding.rule.name))
                .ok()
                .map(|href| CodeDescription { href })
        });
    // What stands where SAN would leave it out is shown faded.
    let tags = (finding.rule.name == "needless-origin").then(|| vec![DiagnosticTag::UNNECESSARY]);
    Diagnostic {
        range: at(&finding.span),
        severity: Some(match finding.severity {
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
