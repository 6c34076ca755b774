//! The titles of code actions.

use gainsay::Verdict;

/// What an action tidies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stretch {
    Line,
    Game,
    Passage,
}

impl Stretch {
    const fn name(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Game => "game",
            Self::Passage => "passage",
        }
    }
}

/// Mends all that can be mended safely.
pub(crate) fn mend_all(edits: usize) -> String {
    format!("Mend all that is safe to mend ({edits})")
}

/// Writes an allowance of a rule.
pub(crate) fn accept(rule: &str) -> String {
    format!("Accept this finding here ({rule})")
}

/// Stands in an allowance until the author writes why.
pub(crate) const REASON: &str = "reason";

/// Inserts moves as a side-line.
pub(crate) fn side_line(line: &str) -> String {
    format!("Insert {line} as a side-line")
}

/// Inserts moves behind the last of the game.
pub(crate) fn continuation(line: &str) -> String {
    format!("Insert {line} as the continuation")
}

/// What an insertion with this title shows of a claim.
pub(crate) fn showing(title: &str, verdict: Verdict, claim: &str) -> String {
    let what = match verdict {
        Verdict::Holds => "the proof of",
        Verdict::Fails | Verdict::Unsettled => "what speaks against",
    };
    format!("{title}: {what} \u{201c}{}\u{201d}", claim.trim())
}

/// Inserts the proof of a claim with side-lines.
pub(crate) fn every_defence(claim: &str) -> String {
    format!(
        "Insert the proof of \u{201c}{}\u{201d} with every defence as a side-line",
        claim.trim()
    )
}

/// Corrects numbers of moves.
pub(crate) fn numbers(of: Stretch) -> String {
    format!("Correct the numbers of this {}", of.name())
}

/// Writes moves of old books otherwise.
pub(crate) fn in_algebraic(of: Stretch) -> String {
    let words = match of {
        Stretch::Game => " and its comments",
        Stretch::Line | Stretch::Passage => "",
    };
    format!(
        "Write the old notation of this {}{words} in algebraic",
        of.name()
    )
}

/// Writes moves in SAN.
pub(crate) fn standard_moves(of: Stretch) -> String {
    format!("Write the moves of this {} in standard notation", of.name())
}
