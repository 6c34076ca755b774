//! Counts of games, moves, findings and claims, and the names of games.

use gainsay::{
    Severity,
    show::{counted, verdicts},
};

/// Stands behind what a list of known findings knows.
pub(crate) const KNOWN: &str = "\n(known)";

/// What stands in games that are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) games: u64,
    /// Moves of either side, those of side-lines too.
    pub(crate) plies: u64,
    pub(crate) errors: u64,
    pub(crate) warnings: u64,
    /// How many claims hold, fail and are unsettled; `None` before they are settled.
    pub(crate) claims: Option<[u64; 3]>,
    /// Whether claims are still being settled.
    pub(crate) settling: bool,
}

/// The title of a lens.
pub(crate) fn lens(counts: &Counts) -> String {
    let mut parts = Vec::new();
    if counts.games != 1 {
        parts.push(counted(counts.games, "game"));
    }
    parts.push(counted(counts.plies, "half-move"));
    for (severity, count) in [
        (Severity::Error, counts.errors),
        (Severity::Warning, counts.warnings),
    ] {
        if count > 0 {
            parts.push(counted(count, severity.as_str()));
        }
    }
    if let Some([holds, fails, unsettled]) = counts.claims {
        parts.push(verdicts(holds, fails, unsettled));
    }
    if counts.settling {
        parts.push("settling".to_owned());
    }
    parts.join(", ")
}

/// The title of the lens that settles again with more nodes.
pub(crate) const SETTLE_AGAIN: &str = "settle with ten times the budget";

/// Stands in for the findings of a file that would be too many.
pub(crate) fn hidden(findings: usize) -> String {
    format!("{findings} more findings are not shown; mend some of these first.")
}

/// Of a sentence that was not understood.
pub(crate) fn unread(words: &[String]) -> String {
    format!("For your own eyes; not understood: {}.", on_one_line(words))
}

/// Words of a text, which may go over the ends of its lines.
pub(super) fn on_one_line(words: &[String]) -> String {
    let words: Vec<String> = (words.iter())
        .map(|word| word.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    words.join(", ")
}

/// A position by its number.
pub(crate) fn position(number: u32) -> String {
    format!("Position {number}")
}

/// A game by its players, or by its number where neither is named.
pub(crate) fn game(white: Option<&str>, black: Option<&str>, number: usize) -> String {
    if white.is_none() && black.is_none() {
        return format!("Game {number}");
    }
    format!("{} – {}", white.unwrap_or("?"), black.unwrap_or("?"))
}
