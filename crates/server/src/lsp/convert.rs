//! From bytes and plain types to the types of the protocol.

use std::{hash::Hasher, ops::Range as Bytes};

use gainsay::{Finding, Severity};
use gainsay_notation::{Columns, Position as Place};
use serde_json::json;
use tower_lsp::lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag,
    HoverContents, Location, MarkupContent, MarkupKind, NumberOrString, Position, Range, Url,
};

use super::session::Session;
use crate::{
    document::{Section, Snapshot},
    features::{hover::Hover, place::shifted},
    options::EditorOptions,
    text::Text,
};

/// Editors choke on more; common practice, no source.
const MOST_DIAGNOSTICS: usize = 1_000;

pub(crate) const fn place(position: Position) -> Place {
    Place {
        line: position.line,
        column: position.character,
    }
}

pub(crate) fn position(text: &Text, offset: usize, columns: Columns) -> Position {
    let place = text.position(offset, columns);
    Position::new(place.line, place.column)
}

pub(crate) fn range(text: &Text, bytes: &Bytes<usize>, columns: Columns) -> Range {
    Range::new(
        position(text, bytes.start, columns),
        position(text, bytes.end, columns),
    )
}

/// The bytes of a range of the protocol; clamped, and never backwards.
pub(crate) fn bytes(text: &Text, range: Range, columns: Columns) -> Bytes<usize> {
    let start = text.offset(place(range.start), columns);
    let end = text.offset(place(range.end), columns);
    start.min(end)..start.max(end)
}

/// The findings of a document as diagnostics, in the order of the text. Where there are
/// too many, the gravest are given, and the last one says so.
pub(crate) fn diagnostics(
    snapshot: &Snapshot,
    uri: &Url,
    session: &Session,
    editor: &EditorOptions,
) -> Vec<Diagnostic> {
    let count = |severity: Severity| -> usize {
        findings(snapshot)
            .filter(|(_, finding)| finding.severity == severity)
            .count()
    };
    let mut counts = Severity::ALL.map(count);
    let total: usize = counts.iter().sum();
    let mut left = MOST_DIAGNOSTICS;
    for count in &mut counts {
        *count = (*count).min(left);
        left -= *count;
    }
    let mut diagnostics = Vec::with_capacity(total.min(MOST_DIAGNOSTICS) + 1);
    for section in snapshot.sections.iter() {
        for finding in snapshot.findings(section) {
            let quota = Severity::ALL
                .iter()
                .position(|&severity| severity == finding.severity)
                .and_then(|at| counts.get_mut(at));
            match quota {
                Some(quota) if *quota > 0 => *quota -= 1,
                _ => continue,
            }
            diagnostics.push(diagnostic(snapshot, section, finding, uri, session, editor));
        }
    }
    if total > MOST_DIAGNOSTICS {
        let end = position(&snapshot.text, 0, session.columns);
        diagnostics.push(Diagnostic {
            range: Range::new(end, end),
            severity: Some(DiagnosticSeverity::INFORMATION),
            source: Some("gainsay".to_owned()),
            message: format!(
                "{} more findings are not shown; mend some of these first.",
                total - MOST_DIAGNOSTICS
            ),
            ..Diagnostic::default()
        });
    }
    diagnostics
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
    editor: &EditorOptions,
) -> Diagnostic {
    let text = &snapshot.text;
    let at = |span: &Bytes<usize>| range(text, &shifted(span, section.start), session.columns);
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
    let page = editor.rule_pages.as_ref().and_then(|address| {
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
pub(crate) fn fingerprint(diagnostics: &[Diagnostic]) -> u64 {
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

pub(crate) fn hover(
    snapshot: &Snapshot,
    hover: Hover,
    session: &Session,
) -> tower_lsp::lsp_types::Hover {
    let (kind, value) = if session.markdown {
        (MarkupKind::Markdown, hover.markdown)
    } else {
        (MarkupKind::PlainText, plain(&hover.markdown))
    };
    tower_lsp::lsp_types::Hover {
        contents: HoverContents::Markup(MarkupContent { kind, value }),
        range: Some(range(&snapshot.text, &hover.range, session.columns)),
    }
}

/// Markdown of ours without its marks.
fn plain(markdown: &str) -> String {
    markdown
        .lines()
        .filter(|line| !line.starts_with("```"))
        .map(|line| line.replace("**", "").replace('`', ""))
        .collect::<Vec<_>>()
        .join("\n")
}
