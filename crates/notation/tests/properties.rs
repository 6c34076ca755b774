//! What holds for every input: no panic, spans in order and in bounds, sections
//! that read like the whole, cuts that follow edits, and linear time.

mod held;

use std::time::{Duration, Instant};

use gainsay_notation::{
    Cuts, ElementKind, FaultKind, Format, Game, Span, last_cut, read_game, sections,
};
use held::check_all;
use proptest::prelude::*;

/// Fragments that texts of games are made of, and what breaks them.
const FRAGMENTS: &[&str] = &[
    "[Event \"a\"]",
    "[White \"b \\\" c\"]",
    "[FEN \"8/8",
    "[Event",
    "[A b]",
    "[",
    "]",
    "\"",
    "\n",
    "\n\n",
    "\r\n",
    "\r",
    "\r\n\r\n",
    " ",
    "  ",
    "\t",
    "1. ",
    "1.",
    "12... ",
    "2)",
    "1-0",
    "0-1",
    "1/2-1/2",
    "*",
    "½-½",
    "1:0",
    "e4 ",
    "Nf3",
    "exd6 e.p.",
    "e8(Q)",
    "e8(D)",
    "O-O",
    "0-0-0+",
    "hxg",
    "Sf3",
    "Ng9",
    "--",
    "Z0",
    "♘f3",
    "+-",
    "+",
    "#",
    "=",
    "±",
    "!?",
    "??",
    "$14",
    "$999",
    "N",
    "D",
    "(",
    ")",
    "((",
    "{",
    "}",
    "{ c }",
    "{ [%clk 1] x }",
    "[%clk",
    ";",
    "; c\n",
    "%",
    "\n%",
    "\n% {\n",
    "...",
    "…",
    ".",
    ",",
    "word",
    "The end.",
    "1925",
    "\u{feff}",
    "\u{a0}",
    "\0",
    "\u{1}",
    "é",
    "\u{1f600}",
    "```pgn\n",
    "```\n",
    "> ",
    "- ",
];

fn broken_text() -> impl Strategy<Value = Vec<u8>> {
    proptest::collection::vec(
        prop_oneof![
            12 => proptest::sample::select(FRAGMENTS).prop_map(|text| text.as_bytes().to_vec()),
            1 => any::<u8>().prop_map(|byte| vec![byte]),
        ],
        0..40,
    )
    .prop_map(|parts| parts.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn any_bytes_read(text in proptest::collection::vec(any::<u8>(), 0..200)) {
        check_all(&text);
    }

    #[test]
    fn any_broken_text_reads(text in broken_text()) {
        check_all(&text);
    }

    #[test]
    fn cuts_follow_edits(
        text in broken_text(),
        edits in proptest::collection::vec((any::<prop::sample::Index>(), 0usize..12, broken_text()), 1..4),
    ) {
        let mut text = text;
        let mut cuts = Cuts::new(&text);
        for (place, length, new) in edits {
            let before = text.clone();
            let old_cuts = cuts.clone();
            let start = place.index(text.len() + 1);
            let end = (start + length).min(text.len());
            text.splice(start..end, new.iter().copied());
            let recut = cuts.replace(&text, start..end, new.len());
            prop_assert_eq!(&cuts, &Cuts::new(&text));
            // Sections outside the answer hold the same bytes as before.
            let kept_before = (0..recut.old.start).zip(0..recut.new.start);
            let kept_behind = (recut.old.end..old_cuts.len()).zip(recut.new.end..cuts.len());
            prop_assert_eq!(recut.old.start, recut.new.start);
            prop_assert_eq!(old_cuts.len() - recut.old.end, cuts.len() - recut.new.end);
            for (old, new) in kept_before.chain(kept_behind) {
                prop_assert_eq!(
                    old_cuts.get(old).map(|range| &before[range]),
                    cuts.get(new).map(|range| &text[range])
                );
            }
        }
    }

    #[test]
    fn blocks_give_the_cuts_of_the_whole(text in broken_text(), size in 1usize..60) {
        let whole: Vec<_> = sections(&text).map(|section| section.range.start).collect();
        let block = &text[..size.min(text.len())];
        if let Some(cut) = last_cut(block, Format::Pgn) {
            prop_assert!(whole.contains(&cut));
            let before: Vec<_> = sections(block).map(|section| section.range.start).collect();
            prop_assert_eq!(&before[..], &whole[..before.len()]);
        }
    }
}

/// Times reading `text` whole, and checks that it is far from quadratic.
fn quick(name: &str, text: &[u8], limit: Duration) -> Game {
    let start = Instant::now();
    let mut game = Game::default();
    let mut at = 0;
    let mut first = None;
    while let Some(next) = read_game(text, at, &mut game) {
        at = next;
        first.get_or_insert_with(|| game.clone());
    }
    let cut = sections(text).count();
    let time = start.elapsed();
    assert!(time < limit, "{name}: {time:?} for {cut} sections");
    first.unwrap_or_default()
}

/// A hundred times what linear time needs; quadratic time needs far more.
const LIMIT: Duration = Duration::from_secs(3);

#[test]
fn floods_of_one_byte_take_linear_time() {
    for byte in [
        "{",
        "}",
        "(",
        ")",
        "[",
        "]",
        "\"",
        ";",
        "%",
        "$",
        ".",
        "1",
        "*",
        "!",
        "-",
        "x",
        "\0",
        "\n",
        "\r",
        " ",
        "\u{feff}",
        "[a ",
        "[a \"",
        "[a \"\n",
        "{ [",
        "\n[",
        "\n\n[A \"",
        "{{}",
        "a ",
        "$ ",
        "\0 ",
        "} ",
        ") ",
        "1.",
        "1-0\n\n",
        "e4 ",
        "e4 e.p. ",
        "\n%{",
        "[Event \"\n\n",
    ] {
        let text = byte.repeat(1_000_000 / byte.len());
        let game = quick(byte, text.as_bytes(), LIMIT);
        // A run of the same fault is one fault.
        if byte.len() == 1 {
            assert!(game.faults.len() <= 2, "{byte:?}: {}", game.faults.len());
        }
    }
}

#[test]
fn a_million_parentheses_are_one_fault() {
    let text = "(".repeat(1_000_000);
    let game = quick("parentheses", text.as_bytes(), LIMIT);
    assert_eq!(game.elements.len(), 1_000_000);
    assert_eq!(game.faults.len(), 1);
    assert_eq!(game.faults[0].kind, FaultKind::UnclosedSideLine);
    assert_eq!(game.faults[0].span, Span::new(0, 1_000_000));
}

#[test]
fn side_lines_nest_ten_thousand_deep() {
    let depth = 10_000;
    let text = format!("1. e4 {}{} *", "(1. d4 ".repeat(depth), ")".repeat(depth));
    let game = quick("side-lines", text.as_bytes(), LIMIT);
    assert_eq!(game.faults, []);
    let opens = game
        .elements
        .iter()
        .filter(|element| element.kind == ElementKind::Open)
        .count();
    assert_eq!(opens, depth);
    assert_eq!(game.elements.len(), 2 + depth * 4 + 1);
}

#[test]
fn elements_are_small() {
    assert!(size_of::<gainsay_notation::Element>() <= 24);
}
