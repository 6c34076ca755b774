//! Words that several rooms use.

use crate::{
    outcome::{At, Line, Man},
    show,
};

/// A line with its numbers.
pub(super) fn line(line: &Line) -> String {
    show::line(line.start(), line.moves())
}

/// The first move of a line with its number, `24...Kh8`.
pub(super) fn cited(line: &Line) -> String {
    let first = line.moves().first();
    first.map_or_else(String::new, |&m| show::numbered(line.start(), m))
}

/// A line behind a statement that it shows, where it is short enough for a sentence.
pub(super) fn behind(shown: &Line) -> String {
    show::behind(&line(shown))
}

/// Words that stand by themselves, or behind the words of the claim.
pub(super) enum Said {
    /// A sentence.
    Sentence(String),
    /// A clause.
    Clause(String),
}

/// A man with its square: `the black rook on e8`.
pub(super) fn named(man: &Man) -> String {
    format!(
        "the {} {} on {}",
        show::colour(man.side.0),
        show::piece(man.kind.0),
        man.at.0
    )
}

/// Men with their squares: "the white bishop on g5 and the white pawn on h4".
pub(super) fn men(men: &[Man]) -> String {
    let names: Vec<String> = men.iter().map(named).collect();
    show::list(&names, "and")
}

/// The verb for so many.
pub(super) const fn stand<T>(all: &[T]) -> &'static str {
    if all.len() == 1 { "stands" } else { "stand" }
}

/// Squares: "a5 and c4".
pub(super) fn squares(all: &[At]) -> String {
    let names: Vec<String> = all.iter().map(|at| at.0.to_string()).collect();
    show::list(&names, "and")
}

/// A small number in words.
pub(super) fn number(value: u32) -> String {
    const WORDS: [&str; 13] = [
        "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(value as usize)
        .map_or_else(|| value.to_string(), ToString::to_string)
}
