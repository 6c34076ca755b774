//! One exercise as the table shows it.

use gainsay::{
    Finding, Report, SettledClaim, Severity, Verdict,
    outcome::{Exercise, Line},
    show,
};
use serde::Serialize;

use crate::output::Block;

/// Whether an exercise is sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum State {
    /// The task can be done, and nothing was found wrong with it.
    Sound,
    /// Something is wrong.
    Unsound,
    /// It is not settled.
    Open,
}

/// One exercise.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Row {
    /// The file.
    pub(super) path: String,
    /// The line of its task, from 1.
    pub(super) line: u32,
    /// Its number in the text.
    pub(super) number: Option<u32>,
    /// The position, in FEN.
    pub(super) position: String,
    /// The author's words for the task.
    pub(super) task: String,
    /// Whether it is sound.
    pub(super) state: State,
    /// Why it is not judged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) note: Option<String>,
    /// What is wrong with it, a sentence each.
    pub(super) problems: Vec<String>,
    /// What its printed solution lacks, and where it has duals.
    pub(super) hints: Vec<String>,
    /// The first moves that solve it, in SAN with their number, as far as they were found.
    pub(super) keys: Vec<String>,
    /// Whether every first move was settled.
    pub(super) complete: bool,
    /// In how many moves it is to be mate.
    pub(super) moves: Option<u32>,
    /// The line that shows it: the longest defence.
    pub(super) line_of_play: Option<String>,
    /// The solution with the defences as side-lines.
    pub(super) solution: Option<String>,
    /// The main line of the printed solution.
    pub(super) printed: Option<String>,
    /// How many moves of the printed line neither capture nor give check.
    pub(super) quiet: u32,
    /// First moves that one reply alone meets, with that reply.
    pub(super) tries: Vec<String>,
}

fn written(line: &Line) -> String {
    show::line(line.start(), line.moves())
}

/// The exercises of a report.
pub(super) fn rows(report: &Report, block: &Block<'_>, path: &str) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for claim in &report.claims {
        let Some(exercise) = claim.exercise.as_deref() else {
            continue;
        };
        let (line, own) = (
            block.place(claim.span.start).line,
            row(claim, exercise, report),
        );
        let row = Row {
            path: path.to_owned(),
            line,
            ..own
        };
        // "White to move and win: mate in two" is one exercise.
        match rows.last_mut() {
            Some(last) if last.position == row.position && last.line.abs_diff(line) < 2 => {
                if row.moves.is_some() && last.moves.is_none() {
                    *last = row;
                }
            }
            _ => rows.push(row),
        }
    }
    rows
}

fn row(claim: &SettledClaim, exercise: &Exercise, report: &Report) -> Row {
    let here = |finding: &&Finding| finding.span == claim.span;
    let found: Vec<&Finding> = report.findings.iter().filter(here).collect();
    let told = |grave: bool| -> Vec<String> {
        let of = found.iter().filter(|found| (problem(found)) == grave);
        of.map(|found| found.message.clone()).collect()
    };
    let problems = told(true);
    let mut hints = told(false);
    if !exercise.duals.is_empty() {
        let duals: Vec<String> = exercise.duals.iter().map(written).collect();
        hints.push(format!("{} would mate as soon.", show::list(&duals, "and")));
    }
    let state = match claim.verdict {
        _ if !problems.is_empty() => State::Unsound,
        Verdict::Holds => State::Sound,
        Verdict::Fails => State::Unsound,
        Verdict::Unsettled => State::Open,
    };
    Row {
        path: String::new(),
        line: 0,
        number: exercise.number,
        position: claim.position.clone().unwrap_or_default(),
        task: claim
            .text
            .split_ascii_whitespace()
            .collect::<Vec<_>>()
            .join(" "),
        state,
        note: note(claim).filter(|_| state == State::Open),
        problems,
        hints,
        keys: exercise.keys.iter().map(written).collect(),
        complete: exercise.complete,
        moves: exercise.moves,
        line_of_play: claim.evidence.first().cloned(),
        solution: claim
            .side_lines
            .clone()
            .or_else(|| claim.evidence.first().cloned()),
        printed: exercise.printed.as_ref().map(written),
        quiet: exercise.quiet,
        tries: exercise.tries.iter().map(written).collect(),
    }
}

/// Why it is not judged.
fn note(claim: &SettledClaim) -> Option<String> {
    let unread =
        (!claim.unread.is_empty()).then(|| format!("not understood: {}", claim.unread.join(", ")));
    claim.note.clone().or(unread)
}

/// Whether a finding says that the exercise is not sound, and not only that its solution is short.
fn problem(finding: &Finding) -> bool {
    finding.severity >= Severity::Warning || finding.rule.name == "shorter-mate"
}
