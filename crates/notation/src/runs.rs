//! Runs of moves behind a number, wherever they stand: in movetext, in columns and in words.

use std::hash::{DefaultHasher, Hash, Hasher};

use crate::bytes::{byte, ends_word, is_space, rest, skip_space, word_end};
use crate::language::Language;
use crate::movetext::{WrittenMove, WrittenShape, read_move};
use crate::tree::MoveNumber;

/// Moves that go on from a number.
///
/// ```
/// use gainsay_notation::{Language, runs};
/// let found = runs(b"After 4. Ba4 b5; 5. Bb3 he has 5... Na5.", Language::English);
/// let told: Vec<_> = found.iter().map(|run| (run.number.value, run.number.dots, run.moves.len())).collect();
/// assert_eq!(told, [(Some(4), 1, 3), (Some(5), 3, 1)]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// Where its number stands, in bytes of the text.
    pub start: usize,
    /// The number of the first move.
    pub number: MoveNumber,
    /// The moves, one behind the other.
    pub moves: Vec<WrittenMove>,
}

/// All runs of a text, in order. A number that is not due begins another.
#[must_use]
pub fn runs(text: &[u8], language: Language) -> Vec<Run> {
    let mut found: Vec<Run> = Vec::new();
    let mut at = 0;
    // The number that is due, where a run goes on.
    let mut due: Option<(u32, bool)> = None;
    while at < text.len() {
        if let Some((number, dots, end)) = number_at(text, at) {
            let black = dots > 1;
            if due != Some((number, black)) {
                found.push(Run {
                    start: at,
                    number: MoveNumber {
                        value: Some(number),
                        dots: u8::try_from(dots).unwrap_or(u8::MAX),
                    },
                    moves: Vec::new(),
                });
                due = Some((number, black));
            }
            at = end;
        } else if let Some((number, black)) = due
            && let Some((written, end)) = move_at(text, at, language)
            && let Some(run) = found.last_mut()
        {
            run.moves.push(written);
            due = Some((number + u32::from(black), !black));
            at = end;
        } else if due.is_some() && parts_moves(byte(text, at)) {
            at += 1;
        } else {
            due = None;
            at = next_word(text, at);
            continue;
        }
        at = skip_space(text, at);
    }
    found.retain(|run| !run.moves.is_empty());
    found
}

/// A fingerprint of all that [`runs`] reads in a text, in any language.
#[must_use]
pub fn print_of_runs(text: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    for word in text.split(|&byte| is_space(byte)) {
        let tells =
            |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'x' | b'X' | b'-' | b':' | 0x80..);
        if word.iter().any(tells) || word.starts_with(b"Cast") {
            word.hash(&mut hasher);
        }
    }
    hasher.finish()
}

/// A move number at `at`, how many dots stand behind it, and where it ends. Dots may stand apart, as
/// in `6. ... Castles`.
pub(crate) fn number(text: &[u8], at: usize) -> Option<(u32, usize, usize)> {
    let mut end = at;
    while byte(text, end).is_ascii_digit() {
        end += 1;
    }
    let digits = text
        .get(at..end)
        .filter(|digits| (1..=3).contains(&digits.len()))?;
    let number = std::str::from_utf8(digits).ok()?.parse().ok()?;
    let mut dots = 0;
    let mut here = end;
    loop {
        if byte(text, here) == b'.' {
            dots += 1;
            here += 1;
            end = here;
        } else if rest(text, here).starts_with("…".as_bytes()) {
            dots += 3;
            here += "…".len();
            end = here;
        } else if here < text.len() && is_space(byte(text, here)) {
            here += 1;
        } else {
            break;
        }
    }
    (dots > 0 || is_space(byte(text, end))).then_some((number, dots, end))
}

/// A move number at the start of a word.
fn number_at(text: &[u8], at: usize) -> Option<(u32, usize, usize)> {
    if !byte(text, at).is_ascii_digit() {
        return None;
    }
    let before = at.checked_sub(1).map_or(b' ', |before| byte(text, before));
    (is_space(before) || matches!(before, b'(' | b'[' | b';' | b',' | b'*' | b'_'))
        .then(|| number(text, at))?
}

/// A move at `at` that is plainly one.
fn move_at(text: &[u8], at: usize, language: Language) -> Option<(WrittenMove, usize)> {
    let (written, end) = read_move(text, at, language)?;
    let told = match written.shape {
        WrittenShape::PawnCapture { .. } => text.get(at..end)?.iter().any(u8::is_ascii_digit),
        _ => true,
    };
    (told && (ends_word(text, end) || matches!(byte(text, end), b',' | b':' | b']')))
        .then_some((written, end))
}

/// Whether a sign may stand between two moves of a run.
const fn parts_moves(sign: u8) -> bool {
    matches!(sign, b',' | b';' | b'!' | b'?' | b'*' | b'_' | b'|' | b'&')
}

/// Where the next word begins.
fn next_word(text: &[u8], at: usize) -> usize {
    skip_space(text, word_end(text, at).max(at + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moves_go_on_behind_commas_semicolons_and_line_ends() {
        let told = |text: &str| -> Vec<(u32, bool, usize)> {
            let found = runs(text.as_bytes(), Language::English);
            found
                .iter()
                .filter_map(|run| Some((run.number.value?, run.number.dots > 1, run.moves.len())))
                .collect()
        };
        assert_eq!(
            told("3. P-QB3, PxP; 4. B-QB4,\nPxP; 5. QBxP. It may"),
            [(3, false, 5)]
        );
        assert_eq!(
            told("  4. ...   Kt-B3\n  5. Castles  KtxP\n"),
            [(4, true, 3)]
        );
        assert_eq!(told("12...Rf8 13.Qg7#"), [(12, true, 2)]);
        assert_eq!(
            told("On 4. Ba4 he has 4... b5 or 4... Nf6!?; 5. O-O"),
            [(4, false, 1), (4, true, 1), (4, true, 2)]
        );
        assert_eq!(told("In 1990. Ba4 in 3 parts, p. 12. See 4."), []);
        assert_eq!(told(""), []);
    }

    #[test]
    fn the_fingerprint_is_that_of_moves() {
        let same = |one: &str, other: &str| {
            print_of_runs(one.as_bytes()) == print_of_runs(other.as_bytes())
        };
        assert!(same("After 4. Ba4 he waits.", "Behind 4. Ba4 it is  over."));
        assert!(!same("After 4. Ba4 he waits.", "After 4. Ba3 he waits."));
        assert!(!same("P-K4", "P-K3"));
    }
}
