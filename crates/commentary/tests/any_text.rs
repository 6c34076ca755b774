//! Any text at all is read without a panic, in linear time.

use std::{path::Path, time::Instant};

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

/// Reads a passage of a megabyte, in far more time than linear reading takes and far
/// less than quadratic.
fn check_time(name: &str, passage: &[u8]) {
    let start = Instant::now();
    check(passage);
    let seconds = start.elapsed().as_secs_f64();
    assert!(seconds < 10.0, "{name:?} took {seconds} s");
}

#[test]
fn a_long_passage_takes_linear_time() {
    // Each of these repeats something that a careless reader goes back over.
    for unit in [
        "mate ",
        "not ",
        "if ",
        "e4 ",
        "24.Qh6 ",
        "(",
        "[",
        "[%",
        "\"",
        "\"(",
        ",",
        "e4,",
        "a queen, ",
        "threatens ",
        "1",
        "1 ",
        "1.",
        "1-",
        "...",
        "1 ...",
        "$",
        "=",
        "or Qh6=",
        "better was exd",
        "the ",
        "-e5",
        "e5-",
        "'s",
        "'",
        "é",
        "…",
        "日",
        "J.é",
        "w",
        "www.",
        "\n",
        " \n\t",
    ] {
        let passage = unit.repeat(1_000_000 / unit.len());
        check_time(unit, passage.as_bytes());
    }
}

#[test]
fn an_endless_sentence_takes_linear_time() {
    // Nearly every phrase could stand somewhere in it, and nothing ends it.
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("lang/en.txt");
    let text = std::fs::read_to_string(file).unwrap();
    let words: Vec<&str> = text
        .split(|letter: char| !letter.is_ascii_alphabetic() && letter != '\'')
        .filter(|word| !word.is_empty())
        .collect();
    // A step that shares no divisor with the number of words goes round them all.
    let order = (0..words.len()).map(|at| words[at * 7919 % words.len()]);
    let once: String = order.flat_map(|word| [word, " "]).collect();
    let passage = once.repeat(1_000_000 / once.len());
    check_time("all words", passage.as_bytes());
}
