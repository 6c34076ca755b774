//! What holds for every input: no panic, spans in order and in bounds, sections
//! that read like the whole, cuts that follow edits, and linear time.

use std::time::{Duration, Instant};

use gainsay_notation::{CommentPart, Language};
use gainsay_notation::{
    Cuts, ElementKind, FaultKind, Format, Game, Span, Tag, comment_parts, last_cut, parse_epd_line,
    parse_move, read_game, sections, sections_of,
};
use proptest::prelude::*;

/// Every game of `text`.
fn games(text: &[u8]) -> Vec<Game> {
    let mut all = Vec::new();
    let mut game = Game::default();
    let mut at = 0;
    while let Some(next) = read_game(text, at, &mut game) {
        assert!(next > at, "reading goes on");
        assert!(next <= text.len());
        all.push(game.clone());
        at = next;
    }
    all
}

/// Checks everything a game promises about its spans.
fn check(text: &[u8], game: &Game, after: u32) -> u32 {
    let inside = |inner: Span, outer: Span| {
        assert!(
            outer.start <= inner.start && inner.start <= inner.end && inner.end <= outer.end,
            "{inner:?} in {outer:?}"
        );
    };
    let whole = Span::new(0, text.len() as u32);
    inside(game.span, whole);
    assert!(game.span.start >= after && !game.span.is_empty());
    let mut end = game.span.start;
    for Tag {
        span, name, value, ..
    } in &game.tags
    {
        inside(*span, game.span);
        inside(*name, *span);
        inside(*value, *span);
        assert!(name.end <= value.start && span.start >= end);
        end = span.end;
    }
    let mut end = game.span.start;
    let mut depth = 0i64;
    for element in &game.elements {
        inside(element.span, game.span);
        assert!(element.span.start >= end && !element.span.is_empty());
        end = element.span.end;
        match element.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close => depth -= 1,
            ElementKind::Comment { body, .. } => {
                inside(body, element.span);
                let mut end = body.start;
                for part in comment_parts(text, body) {
                    let span = match part {
                        CommentPart::Prose(span) => span,
                        CommentPart::Command {
                            span,
                            name,
                            arguments,
                        } => {
                            inside(name, span);
                            inside(arguments, span);
                            span
                        }
                    };
                    inside(span, body);
                    assert!(span.start >= end && !span.is_empty());
                    end = span.end;
                }
            }
            ElementKind::Move(written) => {
                assert_eq!(
                    parse_move(element.span.of(text), Language::English),
                    Some(written),
                    "{:?}",
                    String::from_utf8_lossy(element.span.of(text))
                );
            }
            _ => {}
        }
        assert!(depth >= 0, "every Close has an Open");
    }
    let unclosed = game
        .faults
        .iter()
        .any(|fault| fault.kind == FaultKind::UnclosedSideLine);
    assert_eq!(depth > 0, unclosed, "an Open without a Close is a fault");
    let mut start = 0;
    for fault in &game.faults {
        inside(fault.span, whole);
        assert!(fault.span.start >= start, "faults in order");
        start = fault.span.start;
    }
    game.span.end
}

fn moved(game: &Game, by: usize) -> String {
    // Sections have spans of their own; this puts them back into the whole.
    let by = by as u32;
    let at = |span: Span| Span::new(span.start + by, span.end + by);
    let tags: Vec<_> = game
        .tags
        .iter()
        .map(|tag| (at(tag.span), at(tag.name), at(tag.value), tag.escaped))
        .collect();
    let elements: Vec<_> = game
        .elements
        .iter()
        .map(|element| {
            let kind = match element.kind {
                ElementKind::Comment { body, kind } => ElementKind::Comment {
                    body: at(body),
                    kind,
                },
                kind => kind,
            };
            (at(element.span), kind)
        })
        .collect();
    let faults: Vec<_> = game
        .faults
        .iter()
        .map(|fault| (at(fault.span), fault.kind))
        .collect();
    format!("{:?} {tags:?} {elements:?} {faults:?}", at(game.span))
}

fn check_all(text: &[u8]) {
    let whole = games(text);
    let mut end = 0;
    for game in &whole {
        end = check(text, game, end);
    }

    // Sections tile the text and read like the whole.
    let mut at = 0;
    let mut parts = Vec::new();
    for section in sections(text) {
        assert_eq!(section.range.start, at);
        assert!(section.range.end > at);
        at = section.range.end;
        let start = section.range.start;
        let part = &text[section.range];
        parts.extend(games(part).iter().map(|game| moved(game, start)));
    }
    assert_eq!(at, text.len());
    let whole: Vec<_> = whole.iter().map(|game| moved(game, 0)).collect();
    assert_eq!(parts, whole);

    for format in Format::ALL {
        let mut at = 0;
        for section in sections_of(text, format) {
            assert_eq!(section.range.start, at, "{format:?}");
            assert!(section.range.end > at, "{format:?}");
            at = section.range.end;
            let part = &text[section.range];
            if let Some(record) = parse_epd_line(part) {
                assert!(record.span.range().end <= part.len());
                assert!(record.position.range().end <= part.len());
            }
        }
        assert_eq!(at, text.len(), "{format:?}");
    }
}

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
