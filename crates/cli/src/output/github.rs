//! Workflow commands that GitHub Actions shows beside the lines of a change.

use std::{
    io::{self, Write},
    path::Path,
};

use gainsay::{Report, Severity};

use super::form::{Block, Output};
use crate::{print, totals::Totals};

pub(crate) struct Github<W> {
    out: W,
    path: String,
}

impl<W: Write> Github<W> {
    pub(crate) const fn new(out: W) -> Self {
        Self {
            out,
            path: String::new(),
        }
    }
}

/// Escapes as the format asks: percent signs and line ends, and in properties the
/// dividers too. What else a terminal would obey is made visible.
fn escaped(text: &str, property: bool) -> String {
    let text = text
        .replace('%', "%25")
        .replace('\r', "%0D")
        .replace('\n', "%0A");
    let text = print::line(&text);
    if property {
        text.replace(':', "%3A").replace(',', "%2C")
    } else {
        text.into_owned()
    }
}

impl<W: Write> Output for Github<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = path.to_string_lossy().into_owned();
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            let command = match finding.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
                Severity::Information | Severity::Hint => "notice",
            };
            let from = block.place(finding.span.start);
            let to = block.place(finding.span.end);
            let mut message = finding.message.clone();
            for line in &finding.evidence {
                message.push('\n');
                message.push_str(line);
            }
            write!(
                self.out,
                "::{command} file={},line={},endLine={},",
                escaped(&self.path, true),
                from.line,
                to.line
            )?;
            // GitHub's annotations have columns on one line only.
            if from.line == to.line {
                write!(self.out, "col={},endColumn={},", from.column, to.column)?;
            }
            writeln!(
                self.out,
                "title={}::{}",
                escaped(finding.rule.name, true),
                escaped(&message, false)
            )?;
        }
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        self.out.flush()
    }
}
