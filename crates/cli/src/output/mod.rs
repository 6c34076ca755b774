//! Printing reports: one file a format.

mod address;
mod alike;
mod data;
mod form;
mod github;
mod json;
mod junit;
mod lines;
mod ndjson;
mod sarif;
mod steps;
mod text;

use std::{io, path::Path};

use gainsay::{Report, Severity};

pub(crate) use self::{
    data::{FindingLine, ReportJson},
    form::{Block, Output, Place},
};
use crate::{
    args::{CheckArgs, Printed},
    totals::Totals,
};

/// The output that the options ask for.
pub(crate) fn make(args: &CheckArgs, fail_on: Severity) -> Box<dyn Output> {
    let out = io::BufWriter::new(io::stdout());
    let least = args.show(fail_on);
    let output: Box<dyn Output> = match args.format {
        Printed::Text => Box::new(text::Text::new(out, args, least)),
        Printed::Lines => Box::new(lines::Lines::new(out)),
        Printed::Json => Box::new(json::Json::new(out)),
        Printed::Ndjson => Box::new(ndjson::Ndjson::new(out)),
        Printed::Sarif => Box::new(sarif::Sarif::new(out)),
        Printed::Junit => Box::new(junit::Junit::new(out, fail_on)),
        Printed::Github => Box::new(github::Github::new(out)),
    };
    Box::new(Shown { output, least })
}

/// An output that is given what is at least so grave.
struct Shown {
    output: Box<dyn Output>,
    least: Severity,
}

impl Output for Shown {
    fn least(&self) -> Severity {
        self.least
    }

    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.output.begin_file(path)
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        self.output.report(report, block)
    }

    fn end_file(&mut self, games: u64, plies: u64) -> io::Result<()> {
        self.output.end_file(games, plies)
    }

    fn finish(&mut self, totals: &Totals) -> io::Result<()> {
        self.output.finish(totals)
    }
}
