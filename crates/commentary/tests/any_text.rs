//! Any text at all is read without a panic, in linear time.

use std::time::Instant;

use gainsay_commentary::{Context, Names, Prose, Reader};
use proptest::prelude::*;

fn check(passage: &[u8]) {
    let context = Context {
        names: Names::new("Mate, In Two", "Éa, \u{fffd}"),
        ..Context::default()
    };
    let mut prose = Prose::default();
    Reader::new().read(passage, &context, &mut prose);
    for claim in &prose.claims {
        assert!(claim.span.start < claim.span.end);
        assert!(claim.span.end as usize <= passage.len());
        if let Some(line) = claim.at.line() {
            assert!((line as usize) < prose.lines.len());
        }
    }
    for line in &prose.lines {
        assert!(!prose.moves_of(line).is_empty());
    }
}

const WORDS: [&str; 40] = [
    "mate",
    "in",
    "two",
    "2",
    "threatens",
    "24.Qh6+",
    "Kg8",
    "25.Qg7#",
    "...Rf8",
    "e4",
    "the",
    "knight",
    "on",
    "f6",
    "is",
    "pinned",
    "not",
    "no",
    "if",
    "without",
    ",",
    ".",
    "?",
    "(",
    ")",
    ";",
    "\"",
    "White",
    "Black's",
    "queen",
    "and",
    "or",
    "wins",
    "e-",
    "h-pawn",
    "Nb8-a6-b4",
    "d1/e1",
    "—",
    "'s",
    "1922",
];

proptest! {
    #[test]
    fn any_bytes(passage in proptest::collection::vec(any::<u8>(), 0..300)) {
        check(&passage);
    }

    #[test]
    fn any_characters(passage in "\\PC{0,200}") {
        check(passage.as_bytes());
    }

    #[test]
    fn any_words(words in proptest::collection::vec((0..WORDS.len(), any::<bool>()), 0..60)) {
        let mut passage = String::new();
        for (word, glued) in words {
            passage.push_str(WORDS[word]);
            if !glued {
                passage.push(' ');
            }
        }
        check(passage.as_bytes());
    }
}

#[test]
fn a_long_passage_takes_linear_time() {
    // Each of these repeats something that a careless reader goes back over. The
    // bound is far above what linear reading takes and far below quadratic.
    for unit in [
        "mate ",
        "not ",
        "if ",
        "e4 ",
        "24.Qh6 ",
        "(",
        "[%",
        "a queen, ",
        "threatens ",
        "1.",
        "...",
        "the ",
        "-e5",
        "e5-",
        "'s",
        "é",
    ] {
        let passage = unit.repeat(1_000_000 / unit.len());
        let start = Instant::now();
        check(passage.as_bytes());
        let seconds = start.elapsed().as_secs_f64();
        assert!(seconds < 10.0, "{unit:?} took {seconds} s");
    }
}
