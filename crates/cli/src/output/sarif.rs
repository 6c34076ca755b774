//! SARIF 2.1.0 (OASIS standard, 27 March 2020).

use std::{
    io::{self, Write},
    path::Path,
};

use gainsay::{Report, Severity};
use serde_json::{Value, json};

use super::{Block, Output};
use crate::{check::Totals, print};

pub(crate) struct Sarif<W> {
    out: W,
    path: String,
    results: Vec<Value>,
}

impl<W: Write> Sarif<W> {
    pub(crate) const fn new(out: W) -> Self {
        Self {
            out,
            path: String::new(),
            results: Vec::new(),
        }
    }
}

const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information | Severity::Hint => "note",
    }
}

/// A path as a relative URI reference: forward slashes, and everything escaped that
/// may not stand in one (RFC 3986). The bytes are those of the name, whatever they mean, so
/// that the file can be found again.
fn uri(path: &Path) -> String {
    let bytes = path.as_os_str().as_encoded_bytes();
    let mut uri = String::with_capacity(bytes.len());
    for &byte in bytes {
        let byte = if std::path::is_separator(char::from(byte)) {
            b'/'
        } else {
            byte
        };
        if byte.is_ascii_alphanumeric() || b"/-._~!$&'()*+,;=@".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}

impl<W: Write> Output for Sarif<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = uri(path);
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        let location = |span: &std::ops::Range<usize>| {
            let from = block.place(span.start);
            let to = block.place(span.end);
            json!({
                "physicalLocation": {
                    "artifactLocation": { "uri": self.path },
                    "region": {
                        "startLine": from.line,
                        "startColumn": from.column,
                        "endLine": to.line,
                        "endColumn": to.column,
                        "byteOffset": span.start,
                        "byteLength": span.end - span.start,
                    }
                }
            })
        };
        for finding in &report.findings {
            let mut message = finding.message.clone();
            for line in &finding.evidence {
                message.push('\n');
                message.push_str(line);
            }
            let mut result = json!({
                "ruleId": finding.rule.name,
                "level": level(finding.severity),
                "message": { "text": message },
                "locations": [location(&finding.span)],
                "properties": {
                    "game": finding.game,
                    "move": finding.mv,
                    "position": finding.position,
                },
            });
            if !finding.related.is_empty() {
                result["relatedLocations"] = finding
                    .related
                    .iter()
                    .map(|related| {
                        let mut place = location(&related.span);
                        place["message"] = json!({ "text": related.message });
                        place
                    })
                    .collect();
            }
            let fixes: Vec<Value> = finding
                .remedies
                .iter()
                .map(|remedy| {
                    json!({
                        "description": { "text": remedy.title },
                        "artifactChanges": [{
                            "artifactLocation": { "uri": self.path },
                            "replacements": remedy.edits.iter().map(|edit| json!({
                                "deletedRegion": {
                                    "byteOffset": edit.span.start,
                                    "byteLength": edit.span.end - edit.span.start,
                                },
                                "insertedContent": { "text": edit.text },
                            })).collect::<Vec<_>>(),
                        }],
                    })
                })
                .collect();
            if !fixes.is_empty() {
                result["fixes"] = fixes.into();
            }
            self.results.push(result);
        }
        Ok(())
    }

    fn end_file(&mut self, _games: u64, _plies: u64) -> io::Result<()> {
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        let rules: Vec<Value> = gainsay::rules()
            .into_iter()
            .map(|rule| {
                json!({
                    "id": rule.name,
                    "shortDescription": { "text": rule.summary() },
                    "help": { "text": rule.documentation, "markdown": rule.documentation },
                    "defaultConfiguration": { "level": level(rule.severity) },
                })
            })
            .collect();
        let log = json!({
            "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
            "version": "2.1.0",
            "runs": [{
                "tool": { "driver": {
                    "name": "gainsay",
                    "version": env!("CARGO_PKG_VERSION"),
                    "rules": rules,
                }},
                "columnKind": "unicodeCodePoints",
                "results": std::mem::take(&mut self.results),
            }],
        });
        print::json(&mut self.out, &log)?;
        writeln!(self.out)?;
        self.out.flush()
    }
}
