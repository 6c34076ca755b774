use super::*;
use crate::{Excerpt, check_piece};

#[test]
fn pieces_cover_the_text_and_read_the_same() {
    let game = "[Event \"A\"]\n\n1. e4 {[Event \"no\"]\n} e5 2. Ke3 1-0\n\n";
    let text = format!("{}[Event \"B\"]\n\n*\n", game.repeat(40));
    let whole = check(text.as_bytes(), &Settings::default());
    assert_eq!(whole.games, 41);
    for least in [1, 100, 1000, 100_000] {
        let document = Document::in_pieces(text.as_bytes(), Format::Pgn, least);
        let pieces = document.pieces();
        assert_eq!(pieces.first().map(|piece| piece.range.start), Some(0));
        assert_eq!(pieces.last().map(|piece| piece.range.end), Some(text.len()));
        let mut report = Report::default();
        for piece in pieces {
            assert!(piece.range.len() >= least || piece.range.end == text.len());
            let part = check_piece(
                &text.as_bytes()[piece.range.clone()],
                piece.kind,
                &Settings::default(),
                &mut Solver::new(1 << 20),
            );
            report.append(part, piece.range.start);
        }
        assert_eq!(report.games, whole.games);
        let places = |report: &Report| -> Vec<_> {
            report
                .findings
                .iter()
                .map(|f| (f.rule.name, f.span.clone(), f.game))
                .collect()
        };
        assert_eq!(places(&report), places(&whole));
    }
}

/// What the questions of each piece are read from, with the words instead of their places.
fn excerpts(document: &Document<'_>) -> Vec<(PieceId, String)> {
    let words = |range: &Range<usize>| {
        let bytes = document.text().get(range.clone()).unwrap_or_default();
        String::from_utf8_lossy(bytes).into_owned()
    };
    let told = |excerpt: Excerpt| {
        let near = excerpt.near.iter().flatten();
        let around: Vec<String> = near
            .chain(&excerpt.others)
            .map(|block| format!("{} {:?} {}", words(&block.range), block.kind, block.number))
            .collect();
        format!("{} {:?} {around:?}", words(&excerpt.range), excerpt.kind)
    };
    let pieces = document.pieces().iter().enumerate();
    pieces
        .map(|(at, piece)| (piece.id, told(document.excerpt(at).unwrap())))
        .collect()
}

/// After any edit the pieces are those of a fresh document, and those whose excerpt changed
/// are either new or told.
#[test]
fn an_edit_tells_every_piece_whose_excerpt_it_changes() {
    let chapter = |number: usize| {
        format!(
            "## Chapter {number}\n\nA word.\n\n```pgn\n1. e4 e5 *\n```\n\nSee diagram {number}.\n\n\
             ```epd\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n\n```\n\n"
        )
    };
    let text: String = (1..=30).map(chapter).collect();
    let game = "[Event \"A\"]\n\n1. e4 e5 *\n\n";
    let mut seen = [false; 3];
    for (format, text) in [
        (Format::Markdown, text.clone()),
        (
            Format::Text,
            text.replace("```pgn\n", "").replace("```", ""),
        ),
        (Format::Pgn, game.repeat(20)),
        (Format::Epd, "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n".repeat(9)),
    ] {
        let mut document = Document::open(text.into_bytes(), format);
        let mut dice = 7_u64;
        let mut below = |most: usize| {
            dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (dice >> 33) as usize % most.max(1)
        };
        for _ in 0..400 {
            let before = excerpts(&document);
            let length = document.text().len();
            let start = below(length + 1);
            let end = (start + below(4) * below(30)).min(length);
            let inserted = [
                "",
                "x",
                "\n\n",
                "```",
                "\n```pgn\n1. d4\n```\n",
                "\n\n```fen\n8/8/8/8/8/8/8/k1K5 w - -\n```\n\n",
                "[Event \"B\"]\n",
                "{",
            ];
            let new = inserted[below(inserted.len())];
            let touched = document.edit(start..end, new.as_bytes());
            let fresh = Document::open(document.text().to_vec(), format);
            let shapes = |document: &Document<'_>| -> Vec<(Range<usize>, SectionKind)> {
                let pieces = document.pieces().iter();
                pieces
                    .map(|piece| (piece.range.clone(), piece.kind))
                    .collect()
            };
            assert_eq!(shapes(&document), shapes(&fresh));
            for (at, (id, excerpt)) in excerpts(&document).into_iter().enumerate() {
                assert_eq!(document.place(id), Some(at));
                let known = before.iter().find(|(known, _)| *known == id);
                let is_new = touched.new.contains(&at);
                assert_eq!(known.is_none(), is_new, "new pieces have new names");
                let changed = known.is_some_and(|(_, known)| *known != excerpt);
                let told = touched.beside.binary_search(&at).is_ok();
                assert!(told || !changed, "{excerpt} is not told to have changed");
                seen[0] |= changed;
                seen[1] |= told && !changed;
                seen[2] |= !told && !is_new;
            }
        }
    }
    assert!(seen[0] && seen[2], "the edits reach too much or too little");
}

#[test]
fn a_word_in_a_block_touches_the_passages_around_it_only() {
    let chapter = "A word.\n\n```pgn\n1. e4 e5 *\n```\n\n";
    let mut document = Document::open(chapter.repeat(100).into_bytes(), Format::Markdown);
    let place = 50 * chapter.len() + chapter.find("e5").unwrap();
    let touched = document.edit(place..place + 2, b"c5");
    assert_eq!(touched.new.len(), 1);
    assert_eq!(touched.beside.len(), 2 * (REACH + 1));
    // A word of prose is nobody's but its own.
    let touched = document.edit(3..3, b"x");
    assert_eq!((touched.new.len(), touched.beside.len()), (1, 0));
}

#[test]
fn what_points_at_other_games_is_outdated_by_their_numbers_and_moves() {
    let text = "## Game 1\n\n```pgn\n1. f3 e5 2. g4 Qh4# 0-1\n```\n\nWords.\n\n## Game 2\n\n\
                ```pgn\n1. e4 {In game 1 Black mated on move 2.} e5 *\n```\n";
    let settings = Settings::default();
    let mut reader = NotationReader::default();
    let mut document = Document::open(text.as_bytes(), Format::Markdown);
    let mut read = |document: &mut Document<'_>| {
        for at in 0..document.pieces().len() {
            document.read(at, &mut reader, &settings);
        }
    };
    read(&mut document);
    let pointing = document.pieces().len() - 1;
    let pointing = (0..=pointing).rfind(|&at| {
        let kind = document.pieces()[at].kind;
        kind == SectionKind::Games && document.points(at)
    });
    let pointing = pointing.unwrap();
    let id = document.pieces()[pointing].id;
    let settle = |document: &mut Document<'_>| {
        let at = document.place(id).unwrap();
        let index = document.index();
        let pieces = document.looked_at(&document.questions(at, &settings));
        assert_eq!(pieces.len(), 1);
        assert!(document.settled(at, Some(Looks { index, pieces })));
    };
    settle(&mut document);
    for (old, new, again) in [
        ("Words.", "More words.", false),
        ("# Game 1", "# Game 3", true),
        ("# Game 3", "# Game 1", true),
        ("g4", "a3", true),
    ] {
        let at = String::from_utf8_lossy(document.text()).find(old).unwrap();
        document.edit(at..at + old.len(), new.as_bytes());
        read(&mut document);
        let place = document.place(id).unwrap();
        let expected: Vec<usize> = again.then_some(place).into_iter().collect();
        assert_eq!(document.outdated(), expected, "{old} became {new}");
        // Nothing is told twice.
        assert_eq!(document.outdated(), Vec::<usize>::new());
        if again && new != "# Game 3" {
            settle(&mut document);
        } else if again {
            // Nothing is pointed at now, but it might be again.
            let index = document.index();
            let looks = Looks {
                index,
                pieces: Vec::new(),
            };
            assert!(document.settled(place, Some(looks)));
        }
    }
}

#[test]
fn what_points_at_a_number_is_read_again_where_the_number_goes() {
    let block = "```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n";
    let caption = |number: u32| format!("{block}Diagram {number}.\n\n");
    let text = caption(1) + "See Diagram 3 and think.\n\n" + &[2, 3, 4, 5].map(caption).concat();
    let mut document = Document::open(text.as_bytes(), Format::Markdown);
    let mut solver = Solver::new(1 << 20);
    let pointing = |document: &Document<'_>| {
        let mut pieces = document.pieces().iter();
        let own = |piece| String::from_utf8_lossy(document.bytes_of(piece)).contains("See");
        pieces.position(own).unwrap()
    };
    let mut told = |document: &Document<'_>| {
        let report = document.check(pointing(document), &Settings::default(), &mut solver);
        let mut found = report.findings.iter();
        found.any(|found| found.rule.name == "missing-target")
    };
    assert!(!told(&document));
    let at = text.find("Diagram 3.").unwrap() + 8;
    for (new, lost) in [(&b"4"[..], true), (b"3", false)] {
        let touched = document.edit(at..at + 1, new);
        assert!(touched.beside.contains(&pointing(&document)));
        assert_eq!(told(&document), lost);
    }
}
