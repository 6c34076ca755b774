//! JSON objects, a finding each, one a line: for programs that read lines.

use std::{
    io::{self, Write},
    path::Path,
};

use gainsay::Report;

use super::{
    data::{FindingJson, FindingLine},
    form::{Block, Output},
};
use crate::{print, totals::Totals};

pub(crate) struct Ndjson<W> {
    out: W,
    path: String,
}

impl<W: Write> Ndjson<W> {
    pub(crate) const fn new(out: W) -> Self {
        Self {
            out,
            path: String::new(),
        }
    }
}

impl<W: Write> Output for Ndjson<W> {
    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = path.to_string_lossy().into_owned();
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            let line = FindingLine {
                path: &self.path,
                finding: FindingJson::new(finding, block),
            };
            print::json(&mut self.out, &line)?;
            writeln!(self.out)?;
        }
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        self.out.flush()
    }
}
