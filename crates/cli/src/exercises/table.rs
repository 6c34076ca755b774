//! The table of exercises: for people, and for programs.

use std::io::{self, Write};

use super::row::{Row, State};
use crate::{args::TablePrinted, print};

/// Prints all rows.
pub(super) fn print(rows: &[Row], format: TablePrinted, out: &mut impl Write) -> io::Result<()> {
    match format {
        TablePrinted::Text => text(rows, out),
        TablePrinted::Json => print::json(out, &rows),
        TablePrinted::Markdown => markdown(rows, out),
        TablePrinted::Csv => csv(rows, out),
    }
}

const fn state(row: &Row) -> &'static str {
    match row.state {
        State::Sound => "sound",
        State::Unsound => "not sound",
        State::Open => "open",
    }
}

/// What an exercise is called.
fn number(row: &Row) -> String {
    row.number
        .map_or_else(|| "-".to_owned(), |number| number.to_string())
}

fn keys(row: &Row) -> String {
    let more = if row.complete || row.keys.is_empty() {
        ""
    } else {
        " (and perhaps others)"
    };
    format!("{}{more}", row.keys.join(", "))
}

fn text(rows: &[Row], out: &mut impl Write) -> io::Result<()> {
    let mut path = "";
    for row in rows {
        if row.path != path {
            path = &row.path;
            writeln!(out, "{}", print::line(path))?;
        }
        writeln!(
            out,
            "{:>4}  {:<9}  {}  (line {})",
            number(row),
            state(row),
            print::line(&row.task),
            row.line
        )?;
        for told in row.note.iter().chain(&row.problems) {
            writeln!(out, "        {}", print::line(told))?;
        }
        if row.state == State::Sound {
            if !row.keys.is_empty() {
                writeln!(out, "        solution: {}", keys(row))?;
            }
            if let Some(line) = row.line_of_play.as_ref().filter(|line| !line.is_empty()) {
                writeln!(out, "        {line}")?;
            }
            if !row.tries.is_empty() {
                writeln!(out, "        tries: {}", row.tries.join(", "))?;
            }
            if row.quiet > 0 {
                writeln!(out, "        quiet moves: {}", row.quiet)?;
            }
        }
        for told in &row.hints {
            writeln!(out, "        hint: {}", print::line(told))?;
        }
    }
    let count = |wanted| rows.iter().filter(|row| row.state == wanted).count();
    writeln!(
        out,
        "{}: {} sound, {} not sound, {} open",
        gainsay::show::counted(rows.len() as u64, "exercise"),
        count(State::Sound),
        count(State::Unsound),
        count(State::Open)
    )
}

/// The cells of a row, under these heads.
const HEADS: [&str; 10] = [
    "number", "place", "task", "state", "keys", "line", "moves", "quiet", "tries", "remarks",
];

fn cells(row: &Row) -> [String; 10] {
    let remarks: Vec<&str> = row
        .note
        .iter()
        .chain(&row.problems)
        .chain(&row.hints)
        .map(String::as_str)
        .collect();
    [
        row.number
            .map_or_else(String::new, |number| number.to_string()),
        format!("{}:{}", row.path, row.line),
        row.task.clone(),
        state(row).to_owned(),
        keys(row),
        row.line_of_play.clone().unwrap_or_default(),
        row.moves
            .map_or_else(String::new, |moves| moves.to_string()),
        row.quiet.to_string(),
        row.tries.join(", "),
        remarks.join(" "),
    ]
}

fn markdown(rows: &[Row], out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "| {} |", HEADS.join(" | "))?;
    writeln!(out, "|{}", "---|".repeat(HEADS.len()))?;
    for row in rows {
        let cells = cells(row).map(|cell| cell.replace('|', "\\|"));
        writeln!(out, "| {} |", cells.join(" | "))?;
    }
    Ok(())
}

fn csv(rows: &[Row], out: &mut impl Write) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(HEADS)?;
    for row in rows {
        writer.write_record(cells(row))?;
    }
    writer.flush()
}

/// The solutions of those that are sound, by their numbers.
pub(super) fn solutions(rows: &[Row], out: &mut impl Write) -> io::Result<()> {
    for row in rows.iter().filter(|row| row.state == State::Sound) {
        let Some(solution) = row
            .solution
            .as_ref()
            .filter(|solution| !solution.is_empty())
        else {
            continue;
        };
        writeln!(out, "**{}.** {solution}\n", number(row))?;
    }
    Ok(())
}
