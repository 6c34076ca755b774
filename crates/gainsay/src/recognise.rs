//! Giving findings their fingerprints.

use std::ops::Range;

use crate::{fingerprint::Fingerprint, memory::Digest, replay::View, report::Finding};

/// The first part of a digest.
fn number(parts: &[&[u8]]) -> u64 {
    let mut number = [0; 8];
    for (byte, of) in number.iter_mut().zip(Digest::of(parts).bytes()) {
        *byte = *of;
    }
    u64::from_be_bytes(number)
}

/// The tags by which people know a game.
const KNOWN_BY: [&str; 6] = ["White", "Black", "Event", "Date", "Round", "FEN"];

/// The third part of the fingerprints in a game.
pub(crate) fn of_game(view: &View<'_>) -> u64 {
    let tag = |name: &&str| {
        let tag = view.game.tag(view.text, name);
        tag.map_or_else(Vec::new, |tag| tag.value(view.text).as_bytes().to_vec())
    };
    let known: Vec<Vec<u8>> = KNOWN_BY.iter().map(tag).collect();
    let parts: Vec<&[u8]> = known.iter().map(Vec::as_slice).collect();
    number(&parts)
}

/// Gives findings their fingerprints. `game` is the third part, `words` are the author's words in a
/// span.
pub(crate) fn mark<'t>(
    findings: &mut [Finding],
    game: u64,
    words: impl Fn(&Range<usize>) -> &'t [u8],
) {
    for finding in findings {
        let mut said = Vec::new();
        for word in words(&finding.span).split(u8::is_ascii_whitespace) {
            if !word.is_empty() {
                said.extend_from_slice(word);
                said.push(b' ');
            }
        }
        let at = finding.mv.as_deref().unwrap_or_default();
        finding.fingerprint = Fingerprint {
            place: number(&[finding.rule.name.as_bytes(), at.as_bytes(), &said]),
            position: (finding.position.as_deref()).map_or(0, |fen| number(&[board(fen)])),
            game,
        };
    }
}

/// A position in FEN without its counts of moves, which differ where the same position is set up.
fn board(fen: &str) -> &[u8] {
    let end = fen
        .match_indices(' ')
        .nth(3)
        .map_or(fen.len(), |(at, _)| at);
    fen.as_bytes().get(..end).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    #[test]
    fn claims_keep_theirs_where_a_line_is_broken_anew() {
        let of = |text: &str| {
            let report = check(text.as_bytes(), &Settings::default());
            let mut found = report.findings.iter();
            let mate = found.find(|found| found.rule.name == "false-mate");
            mate.map(|found| found.fingerprint)
        };
        let old = of("[White \"Osk\"]\n\n1. e4 e5 2. Ke2 {White mates in one.} *");
        assert!(old.is_some());
        assert_eq!(
            of("[White \"Osk\"]\n\n1. e4 e5 2. Ke2 {White mates\nin one.} *"),
            old
        );
        let renamed = of("[White \"Lind\"]\n\n1. e4 e5 2. Ke2 {White mates in one.} *");
        assert_ne!(renamed, old);
        assert_eq!(
            renamed.map(|print| (print.place, print.position)),
            old.map(|print| (print.place, print.position))
        );
        assert_ne!(
            of("[White \"Osk\"]\n\n1. e4 e5 2. Ke2 {White mates in two.} *"),
            old
        );
    }
}
