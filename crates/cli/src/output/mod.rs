//! Printing reports: one file a format.

mod form;
mod github;
mod json;
mod junit;
mod lines;
mod sarif;
mod text;

use std::io;

use crate::args::{CheckArgs, Printed};
pub(crate) use form::{Block, Output};

/// The output that the options ask for.
pub(crate) fn make(args: &CheckArgs) -> Box<dyn Output> {
    let out = io::BufWriter::new(io::stdout());
    match args.format {
        Printed::Text => Box::new(text::Text::new(out, args)),
        Printed::Lines => Box::new(lines::Lines::new(out)),
        Printed::Json => Box::new(json::Json::new(out)),
        Printed::Sarif => Box::new(sarif::Sarif::new(out)),
        Printed::Junit => Box::new(junit::Junit::new(out)),
        Printed::Github => Box::new(github::Github::new(out)),
    }
}
