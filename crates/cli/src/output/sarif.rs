//! SARIF 2.1.0 (OASIS standard, 27 March 2020, with the errata of 28 August 2023). What is
//! found goes out at once, so that nothing piles up.

use std::{
    collections::BTreeMap,
    io::{self, Write},
    ops::Range,
    path::Path,
};

use gainsay::{Acceptance, Finding, Report, Severity};
use serde_json::{Value, json};

use super::{
    address::{self, ROOT},
    form::{Block, Output},
    steps::steps,
};
use crate::{print, totals::Totals};

/// Where the schema of the standard stands.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

pub(crate) struct Sarif<W> {
    out: W,
    /// The file that is read.
    file: Value,
    /// The places of the rules in the list of them.
    rules: BTreeMap<&'static str, usize>,
    begun: bool,
    results: u64,
}

impl<W: Write> Sarif<W> {
    pub(crate) fn new(out: W) -> Self {
        let rules = gainsay::rules().into_iter().enumerate();
        Self {
            out,
            file: Value::Null,
            rules: rules.map(|(index, rule)| (rule.name, index)).collect(),
            begun: false,
            results: 0,
        }
    }

    /// Writes what stands before the results, once.
    fn begin(&mut self) -> io::Result<()> {
        if self.begun {
            return Ok(());
        }
        self.begun = true;
        write!(
            self.out,
            "{{\"$schema\":\"{SCHEMA}\",\"version\":\"2.1.0\",\"runs\":[{{\"tool\":"
        )?;
        print::json(&mut self.out, &tool())?;
        write!(
            self.out,
            ",\"columnKind\":\"unicodeCodePoints\",\"originalUriBaseIds\":"
        )?;
        let root = json!({ "description": { "text": "The folder where gainsay ran." } });
        print::json(&mut self.out, &json!({ ROOT: root }))?;
        write!(self.out, ",\"results\":[")
    }

    fn result(
        &mut self,
        finding: &Finding,
        acceptance: Option<&Acceptance>,
        block: &Block<'_>,
    ) -> io::Result<()> {
        let location = |span: &Range<usize>| {
            json!({ "physicalLocation": {
                "artifactLocation": self.file,
                "region": region(span, block),
            }})
        };
        let related = finding.related.iter().map(|related| {
            let mut place = location(&related.span);
            place["message"] = text(&related.message);
            place
        });
        let flows = finding.evidence.iter().filter_map(|line| {
            // All of it happens at the words that it shows to be wrong.
            let steps = steps(line).into_iter().map(|step| {
                let mut place = location(&finding.span);
                place["message"] = text(&step);
                json!({ "location": place })
            });
            let steps: Vec<Value> = steps.collect();
            let flow = json!({
                "message": text(line),
                "threadFlows": [{ "locations": steps }],
            });
            (!steps.is_empty()).then_some(flow)
        });
        let fixes = finding.remedies.iter().map(|remedy| {
            let edits = remedy.edits.iter().map(|edit| {
                json!({
                    "deletedRegion": region(&edit.span, block),
                    "insertedContent": { "text": edit.text },
                })
            });
            json!({
                "description": text(&remedy.title),
                "artifactChanges": [{
                    "artifactLocation": self.file,
                    "replacements": edits.collect::<Vec<_>>(),
                }],
            })
        });
        let message = std::iter::once(&finding.message).chain(&finding.evidence);
        let mut result = json!({
            "ruleId": finding.rule.name,
            "level": level(finding.severity),
            "rank": rank(finding.severity),
            "message": text(&message.map(String::as_str).collect::<Vec<_>>().join("\n")),
            "locations": [location(&finding.span)],
            "partialFingerprints": { "gainsay/v1": finding.fingerprint.to_string() },
            // Of all results or of none (section 3.27.23).
            "suppressions": acceptance.map(suppression).into_iter().collect::<Vec<_>>(),
        });
        let mut put = |name: &str, values: Vec<Value>| {
            if !values.is_empty() {
                result[name] = values.into();
            }
        };
        put("relatedLocations", related.collect());
        put("codeFlows", flows.collect());
        put("fixes", fixes.collect());
        if let Some(index) = self.rules.get(finding.rule.name) {
            result["ruleIndex"] = (*index).into();
        }
        let told = [
            ("game", finding.game.map(Value::from)),
            ("move", finding.mv.clone().map(Value::from)),
            ("position", finding.position.clone().map(Value::from)),
            ("note", finding.note.clone().map(Value::from)),
        ];
        for (name, value) in told {
            if let Some(value) = value {
                result["properties"][name] = value;
            }
        }
        if self.results > 0 {
            self.out.write_all(b",")?;
        }
        self.results += 1;
        self.out.write_all(b"\n")?;
        print::json(&mut self.out, &result)
    }
}

/// The program and its rules.
fn tool() -> Value {
    let rules = gainsay::rules().into_iter().map(|rule| {
        // No arguments are ever put into these, so that braces stand for themselves.
        json!({
            "id": rule.name,
            "shortDescription": { "text": rule.summary() },
            "help": { "text": rule.documentation, "markdown": rule.documentation },
            "defaultConfiguration": {
                "level": level(rule.severity),
                "rank": rank(rule.severity),
            },
        })
    });
    json!({ "driver": {
        "name": "gainsay",
        "version": env!("CARGO_PKG_VERSION"),
        "semanticVersion": env!("CARGO_PKG_VERSION"),
        "rules": rules.collect::<Vec<_>>(),
    }})
}

const fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Information | Severity::Hint => "note",
    }
}

/// The four severities on the standard's scale of 0 to 100, since it has three levels only.
const fn rank(severity: Severity) -> f64 {
    match severity {
        Severity::Error => 100.0,
        Severity::Warning => 75.0,
        Severity::Information => 50.0,
        Severity::Hint => 25.0,
    }
}

/// A text as a message, in which braces and links would mean something (sections 3.11.5 and
/// 3.11.6).
fn text(text: &str) -> Value {
    let plain = (text.replace('{', "{{").replace('}', "}}")).replace("](", "\\](");
    json!({ "text": plain })
}

fn region(span: &Range<usize>, block: &Block<'_>) -> Value {
    let from = block.place(span.start);
    let to = block.place(span.end);
    json!({
        "startLine": from.line,
        "startColumn": from.column,
        "endLine": to.line,
        "endColumn": to.column,
        "byteOffset": span.start,
        "byteLength": span.end - span.start,
    })
}

/// Who accepts a finding that is not told of.
fn suppression(acceptance: &Acceptance) -> Value {
    let (kind, why) = match acceptance {
        Acceptance::Allowed { reason } => ("inSource", reason.as_str()),
        Acceptance::Known => ("external", "It stands in the list of known findings."),
    };
    let mut suppression = json!({ "kind": kind, "status": "accepted" });
    if !why.is_empty() {
        suppression["justification"] = why.into();
    }
    suppression
}

impl<W: Write> Output for Sarif<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.file = address::location(path);
        self.begin()
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            self.result(finding, None, block)?;
        }
        for accepted in &report.accepted {
            self.result(&accepted.finding, Some(&accepted.how), block)?;
        }
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        self.begin()?;
        writeln!(self.out, "\n]}}]}}")?;
        self.out.flush()
    }
}
