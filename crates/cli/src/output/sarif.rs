//! SARIF 2.1.0 (OASIS standard, 27 March 2020).

use std::{
    io::{self, Seek as _, SeekFrom, Write},
    path::Path,
};

use gainsay::{Report, Severity};
use serde_json::{Value, json};

use super::form::{Block, Output};
use crate::{print, totals::Totals};

pub(crate) struct Sarif<W> {
    out: W,
    path: String,
    /// They come before the rules, and wait here; beyond this size on disk.
    results: tempfile::SpooledTempFile,
    count: u64,
}

/// How much of the results is held in memory.
const HELD: usize = 4 << 20;

impl<W: Write> Sarif<W> {
    pub(crate) fn new(out: W) -> Self {
        Self {
            out,
            path: String::new(),
            results: tempfile::SpooledTempFile::new(HELD),
            count: 0,
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
            if self.count > 0 {
                self.results.write_all(b",")?;
            }
            self.count += 1;
            print::json(&mut self.results, &result)?;
        }
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
        let tool = json!({ "driver": {
            "name": "gainsay",
            "version": env!("CARGO_PKG_VERSION"),
            "rules": rules,
        }});
        write!(
            self.out,
            "{{\"$schema\":\"https://json.schemastore.org/sarif-2.1.0.json\",\
             \"runs\":[{{\"columnKind\":\"unicodeCodePoints\",\"results\":["
        )?;
        self.results.seek(SeekFrom::Start(0))?;
        io::copy(&mut self.results, &mut self.out)?;
        write!(self.out, "],\"tool\":")?;
        print::json(&mut self.out, &tool)?;
        write!(self.out, "}}],\"version\":\"2.1.0\"}}")?;
        writeln!(self.out)?;
        self.out.flush()
    }
}
