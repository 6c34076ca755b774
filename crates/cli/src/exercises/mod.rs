//! `gainsay exercises`: a table of the exercises of books, made of the same reports as the output of
//! `gainsay check`.

mod row;
mod table;

use std::{
    io::{self, BufWriter, Write as _},
    path::Path,
};

use gainsay::{Report, Severity};

use row::{Row, State, rows};

use crate::{
    args::ExercisesArgs,
    check::prepare,
    checker::check_all,
    exit::{CLEAN, FOUND, TROUBLE},
    output::{Block, Output},
    print::{complain, done, name},
    totals::Totals,
};

/// Prints the table and returns the exit code: 1 where an exercise is not sound.
pub(crate) fn run(args: &ExercisesArgs) -> u8 {
    let Some((found, chosen, troubled)) = prepare(&args.work) else {
        return TROUBLE;
    };
    let mut gathered = Gathered::default();
    let checked = check_all(&found, &chosen, &args.work, None, &mut gathered);
    let rows = &gathered.rows;
    if rows.is_empty() {
        complain(
            "no exercise was found: a position with a task such as \"White to move and mate in two\"",
        );
    }
    let mut out = BufWriter::new(io::stdout());
    let told = match args.solutions {
        true => table::solutions(rows, &mut out),
        false => table::print(rows, args.format, &mut out),
    };
    let unsound = rows.iter().any(|row| row.state == State::Unsound);
    let code = done(
        told.and_then(|()| out.flush()),
        "the exercises",
        if unsound { FOUND } else { CLEAN },
    );
    if troubled || checked.troubled {
        TROUBLE
    } else {
        code
    }
}

/// Gathers the exercises.
#[derive(Default)]
struct Gathered {
    path: String,
    rows: Vec<Row>,
}

impl Output for Gathered {
    fn least(&self) -> Severity {
        Severity::Hint
    }

    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.path = name(path);
        Ok(())
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        self.rows.extend(rows(report, block, &self.path));
        Ok(())
    }

    fn end_file(&mut self, _games: u64, _plies: u64) -> io::Result<()> {
        Ok(())
    }

    fn finish(&mut self, _totals: &Totals) -> io::Result<()> {
        Ok(())
    }
}
