//! One line a finding, `path:line:column: severity: message [rule]`, which editors and tools that
//! follow a compiler's messages jump to (common practice, no source).

use std::{
    io::{self, Write},
    path::Path,
};

use gainsay::Report;

use super::form::{Block, Output};
use crate::{print, totals::Totals};

pub(crate) struct Lines<W> {
    out: W,
    path: String,
}

impl<W: Write> Lines<W> {
    pub(crate) const fn new(out: W) -> Self {
        Self {
            out,
            path: String::new(),
        }
    }
}

impl<W: Write> Output for Lines<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = print::name(path);
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            let place = block.place(finding.span.start);
            writeln!(
                self.out,
                "{}:{}:{}: {}: {} [{}]",
                self.path,
                place.line,
                place.column,
                finding.severity.as_str(),
                print::line(&finding.message),
                finding.rule.name
            )?;
        }
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        self.out.flush()
    }
}
