//! The examples of the PGN standard: Portable Game Notation Specification and
//! Implementation Guide, 1994. Each test names the section.

use gainsay_notation::{
    CommentKind, ElementKind, FaultKind, Game, GameResult, Language, MoveNumber, Signs,
    WrittenMove, WrittenShape, parse_epd_line, parse_move, read_game,
};
use shakmaty::{CastlingSide, Chess, Color, File, Position, Rank, Role, Square};

/// A game laid out as section 2.3 shows the export format: the seven tags in their
/// order, a blank line, movetext in lines of less than 80 characters. The moves are
/// Anderssen against Kieseritzky, London 1851, from memory.
const SAMPLE: &str = r#"[Event "Offhand game"]
[Site "London ENG"]
[Date "1851.06.21"]
[Round "-"]
[White "Anderssen, Adolf"]
[Black "Kieseritzky, Lionel"]
[Result "1-0"]

1. e4 e5 2. f4 exf4 3. Bc4 Qh4+ 4. Kf1 b5 5. Bxb5 Nf6 6. Nf3 Qh6 7. d3 Nh5 8.
Nh4 Qg5 9. Nf5 c6 10. g4 Nf6 11. Rg1 cxb5 12. h4 Qg6 13. h5 Qg5 14. Qf3 Ng8 15.
Bxf4 Qf6 16. Nc3 Bc5 17. Nd5 Qxb2 18. Bd6 Bxg1 19. e5 Qxa1+ 20. Ke2 Na6 21.
Nxg7+ Kd8 22. Qf6+ Nxf6 23. Be7# 1-0
"#;

fn read(text: &str) -> Game {
    let mut game = Game::default();
    read_game(text.as_bytes(), 0, &mut game).expect("a game");
    game
}

fn moves(game: &Game) -> Vec<WrittenMove> {
    game.elements
        .iter()
        .filter_map(|element| match element.kind {
            ElementKind::Move(written) => Some(written),
            _ => None,
        })
        .collect()
}

#[test]
fn a_game_in_export_format_reads_and_can_be_played() {
    let game = read(SAMPLE);
    assert_eq!(game.faults, []);
    let tags: Vec<_> = game
        .tags
        .iter()
        .map(|tag| tag.name.of(SAMPLE.as_bytes()))
        .collect();
    // Section 8.1.1: the seven tag roster in its order.
    assert_eq!(
        tags,
        [
            b"Event".as_slice(),
            b"Site",
            b"Date",
            b"Round",
            b"White",
            b"Black",
            b"Result"
        ]
    );
    let numbers: Vec<_> = game
        .elements
        .iter()
        .filter_map(|element| match element.kind {
            ElementKind::Number(number) => Some(number),
            _ => None,
        })
        .collect();
    let expected: Vec<_> = (1..=23)
        .map(|value| MoveNumber {
            value: Some(value),
            dots: 1,
        })
        .collect();
    assert_eq!(numbers, expected);
    assert_eq!(
        game.elements.last().map(|element| element.kind),
        Some(ElementKind::Result(GameResult::Win(Color::White)))
    );

    // shakmaty plays it, and agrees on every check.
    let mut position = Chess::default();
    for written in moves(&game) {
        assert!(written.oddities.is_empty());
        let san = written.shape.san().expect("a move of the standard");
        let played = san.to_move(&position).expect("a legal move");
        position.play_unchecked(played);
        assert_eq!(
            position.is_check(),
            matches!(written.signs, Signs::Check | Signs::Mate)
        );
    }
    assert_eq!(position.turn(), Color::Black);
    assert_eq!(position.fullmoves().get(), 23);
    assert!(position.is_checkmate());
}

#[test]
fn san_moves_of_section_8_2_3() {
    let to = |role, file, rank, capture, to, promotion, signs| WrittenMove {
        shape: WrittenShape::To {
            role,
            file,
            rank,
            capture,
            to,
            promotion,
        },
        signs,
        ..parse_move(b"e4", Language::English).expect("a move")
    };
    // Section 8.2.3.6: the shortest move and the longest ones. The first of these
    // gives both file and rank, which the third step of 8.2.3.4 asks for.
    assert_eq!(
        parse_move(b"d4", Language::English),
        Some(to(
            Role::Pawn,
            None,
            None,
            false,
            Square::D4,
            None,
            Signs::None
        ))
    );
    assert_eq!(
        parse_move(b"fxg1=Q+", Language::English),
        Some(to(
            Role::Pawn,
            Some(File::F),
            None,
            true,
            Square::G1,
            Some(Role::Queen),
            Signs::Check
        ))
    );
    let longest = parse_move(b"Qa6xb7#", Language::English).expect("a move");
    assert_eq!(
        longest.shape,
        WrittenShape::To {
            role: Role::Queen,
            file: Some(File::A),
            rank: Some(Rank::Sixth),
            capture: true,
            to: Square::B7,
            promotion: None
        }
    );
    assert_eq!(longest.signs, Signs::Mate);
    // Section 8.2.3.3: castling is written with the letter O.
    for (text, side) in [
        (b"O-O".as_slice(), CastlingSide::KingSide),
        (b"O-O-O", CastlingSide::QueenSide),
    ] {
        let written = parse_move(text, Language::English).expect("a move");
        assert_eq!(written.shape, WrittenShape::Castle(side));
        assert!(written.oddities.is_empty());
    }
    // Section 8.2.3.2: in import format a pawn may have its letter.
    assert!(parse_move(b"Pe4", Language::English).is_some());
}

#[test]
fn suffix_annotations_of_section_8_2_3_8_are_glyphs_1_to_6() {
    // Section 10 gives the numbers.
    let game = read("1. e4! e5? 2. d4!! d5?? 3. c4!? c5?! *");
    let nags: Vec<_> = game
        .elements
        .iter()
        .filter_map(|element| match element.kind {
            ElementKind::Glyph { glyph, .. } => Some(glyph.number()),
            _ => None,
        })
        .collect();
    assert_eq!(nags, [1, 2, 3, 4, 5, 6]);
}

#[test]
fn every_glyph_of_section_10_reads() {
    // The table gives 0 to 139; section 8.2.4 allows up to 255.
    let text: String = (0..=255).map(|nag| format!("${nag} ")).collect();
    let game = read(&text);
    assert_eq!(game.faults, []);
    let nags: Vec<_> = game
        .elements
        .iter()
        .map(|element| match element.kind {
            ElementKind::Glyph {
                glyph,
                symbol: false,
            } => u32::from(glyph.number()),
            _ => 999,
        })
        .collect();
    assert_eq!(nags, (0..=255).collect::<Vec<_>>());
    let game = read("$256");
    assert_eq!(game.faults.len(), 1);
    assert_eq!(game.faults[0].kind, FaultKind::BadGlyph);
}

#[test]
fn move_numbers_of_section_8_2_2() {
    // 8.2.2.1: import format takes numbers with any number of periods, or none.
    let game = read("1 e4 1... e5 2. Nf3 3...a6 ..b5 (7...a5) *");
    let numbers: Vec<_> = game
        .elements
        .iter()
        .filter_map(|element| match element.kind {
            ElementKind::Number(MoveNumber { value, dots }) => Some((value, dots)),
            _ => None,
        })
        .collect();
    assert_eq!(
        numbers,
        [
            (Some(1), 0),
            (Some(1), 3),
            (Some(2), 1),
            (Some(3), 3),
            (None, 2),
            (Some(7), 3)
        ]
    );
}

#[test]
fn comments_of_section_5_and_escapes_of_section_6() {
    // Section 5: brace comments do not nest, and a semicolon in one is no comment
    // of its own. Section 6: a percent sign in the first column escapes its line.
    let text = "1. e4 {a ; b} e5 ; c { d\n% e\n2. Nf3 { f\n% g } *";
    let game = read(text);
    assert_eq!(game.faults, []);
    let comments: Vec<_> = game
        .elements
        .iter()
        .filter_map(|element| match element.kind {
            ElementKind::Comment { body, kind } => Some((body.of(text.as_bytes()), kind)),
            _ => None,
        })
        .collect();
    assert_eq!(
        comments,
        [
            (b"a ; b".as_slice(), CommentKind::Brace),
            (b" c { d", CommentKind::Line),
            (b" e", CommentKind::Escape),
            (b" f\n% g ", CommentKind::Brace),
        ]
    );
}

#[test]
fn variations_nest_as_in_section_8_2_5() {
    let game = read("1. e4 (1. d4 d5 (1... Nf6 2. c4) 2. c4) 1... e5 *");
    assert_eq!(game.faults, []);
    let depths: Vec<i32> = game
        .elements
        .iter()
        .scan(0, |depth, element| {
            match element.kind {
                ElementKind::Open => *depth += 1,
                ElementKind::Close => *depth -= 1,
                _ => {}
            }
            Some(*depth)
        })
        .collect();
    assert_eq!(depths.iter().max(), Some(&2));
    assert_eq!(depths.last(), Some(&0));
}

#[test]
fn termination_markers_of_section_8_2_6() {
    for (marker, result) in [
        ("1-0", GameResult::Win(Color::White)),
        ("0-1", GameResult::Win(Color::Black)),
        ("1/2-1/2", GameResult::Draw),
        ("*", GameResult::Unknown),
    ] {
        let game = read(&format!("1. e4 {marker}"));
        assert_eq!(
            game.elements.last().map(|element| element.kind),
            Some(ElementKind::Result(result))
        );
        assert_eq!(result.as_str(), marker);
    }
}

#[test]
fn positions_of_section_16_1_3() {
    // The FEN of the starting position and of those after 1. e4, 1... c5 and 2. Nf3.
    for (line, counters) in [
        (
            "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
            "0 1",
        ),
        (
            "rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq e3 0 1",
            "0 1",
        ),
        (
            "rnbqkbnr/pp1ppppp/8/2p5/4P3/8/PPPP1PPP/RNBQKBNR w KQkq c6 0 2",
            "0 2",
        ),
        (
            "rnbqkbnr/pp1ppppp/8/2p5/4P3/5N2/PPPP1PPP/RNBQKB1R b KQkq - 1 2",
            "1 2",
        ),
    ] {
        let record = parse_epd_line(line.as_bytes()).expect("a record");
        assert_eq!(record.faults, []);
        let found = record.counters.expect("counters");
        assert_eq!(found.of(line.as_bytes()), counters.as_bytes());
        let position = record.position.of(line.as_bytes());
        assert_eq!(
            [position, b" ", counters.as_bytes()].concat(),
            line.as_bytes()
        );
    }
}
