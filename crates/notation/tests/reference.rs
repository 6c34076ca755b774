//! Comparison with an independent reference: the pgn-reader library (0.29.0)
//! on every game of the collections that it ships under `benches/`.

mod common;

use std::ops::ControlFlow;

use gainsay_notation::{ElementKind, FaultKind, Game, GameResult, Signs, read_game};
use pgn_reader::shakmaty::san::{San, SanPlus, Suffix};
use pgn_reader::{Nag, Outcome, RawComment, RawTag, Reader, Skip, Visitor};
use shakmaty::{Color, KnownOutcome};

/// One game as both readers tell it.
#[derive(Debug, Default, PartialEq, Eq)]
struct Told {
    tags: Vec<(Vec<u8>, Vec<u8>)>,
    movetext: Vec<Token>,
}

#[derive(Debug, PartialEq, Eq)]
enum Token {
    Move(San, Option<Suffix>),
    Glyph(u8),
    Comment(Vec<u8>),
    Open,
    Close,
    Outcome(Outcome),
}

struct Collect;

impl Visitor for Collect {
    type Tags = Told;
    type Movetext = Told;
    type Output = Told;

    fn begin_tags(&mut self) -> ControlFlow<Told, Told> {
        ControlFlow::Continue(Told::default())
    }

    fn tag(&mut self, told: &mut Told, name: &[u8], value: RawTag<'_>) -> ControlFlow<Told> {
        told.tags.push((name.to_vec(), value.decode().into_owned()));
        ControlFlow::Continue(())
    }

    fn begin_movetext(&mut self, told: Told) -> ControlFlow<Told, Told> {
        ControlFlow::Continue(told)
    }

    fn san(&mut self, told: &mut Told, san: SanPlus) -> ControlFlow<Told> {
        told.movetext.push(Token::Move(san.san, san.suffix));
        ControlFlow::Continue(())
    }

    fn nag(&mut self, told: &mut Told, nag: Nag) -> ControlFlow<Told> {
        told.movetext.push(Token::Glyph(nag.0));
        ControlFlow::Continue(())
    }

    fn comment(&mut self, told: &mut Told, comment: RawComment<'_>) -> ControlFlow<Told> {
        told.movetext
            .push(Token::Comment(comment.as_bytes().to_vec()));
        ControlFlow::Continue(())
    }

    fn begin_variation(&mut self, told: &mut Told) -> ControlFlow<Told, Skip> {
        told.movetext.push(Token::Open);
        ControlFlow::Continue(Skip(false))
    }

    fn end_variation(&mut self, told: &mut Told) -> ControlFlow<Told> {
        told.movetext.push(Token::Close);
        ControlFlow::Continue(())
    }

    fn outcome(&mut self, told: &mut Told, outcome: Outcome) -> ControlFlow<Told> {
        told.movetext.push(Token::Outcome(outcome));
        ControlFlow::Continue(())
    }

    fn end_game(&mut self, told: Told) -> Told {
        told
    }
}

fn by_reference(text: &[u8]) -> Vec<Told> {
    let mut reader = Reader::build(text)
        .set_supported_comment_length(1 << 16)
        .finish();
    reader
        .read_games(&mut Collect)
        .map(|game| game.expect("pgn-reader accepts its own collections"))
        .collect()
}

fn by_us(text: &[u8], faults: &mut Vec<FaultKind>) -> Vec<Told> {
    let mut told = Vec::new();
    let mut game = Game::default();
    let mut at = 0;
    while let Some(next) = read_game(text, at, &mut game) {
        at = next;
        faults.extend(game.faults.iter().map(|fault| fault.kind));
        let tags = game
            .tags
            .iter()
            .map(|tag| {
                let name = tag.name.of(text).to_vec();
                (name, tag.value(text).into_owned().into_bytes())
            })
            .collect();
        let movetext = game
            .elements
            .iter()
            .filter_map(|element| {
                Some(match element.kind {
                    ElementKind::Number(_) => return None,
                    ElementKind::Move(written) => Token::Move(
                        written.shape.san().expect("a move of the standard"),
                        match written.signs {
                            Signs::None => None,
                            Signs::Check | Signs::DoubleCheck => Some(Suffix::Check),
                            Signs::Mate => Some(Suffix::Checkmate),
                        },
                    ),
                    ElementKind::Glyph { glyph, .. } => Token::Glyph(glyph.number()),
                    ElementKind::Comment { body, .. } => Token::Comment(body.of(text).to_vec()),
                    ElementKind::Open => Token::Open,
                    ElementKind::Close => Token::Close,
                    ElementKind::Result(GameResult::Unknown) => Token::Outcome(Outcome::Unknown),
                    ElementKind::Result(GameResult::Draw) => {
                        Token::Outcome(Outcome::Known(KnownOutcome::Draw))
                    }
                    ElementKind::Result(GameResult::Win(winner)) => {
                        Token::Outcome(Outcome::Known(KnownOutcome::Decisive { winner }))
                    }
                    ElementKind::Word { .. } => {
                        panic!("a loose word at {:?}", element.span)
                    }
                })
            })
            .collect();
        told.push(Told { tags, movetext });
    }
    told
}

#[test]
fn every_game_of_the_collections_reads_the_same() {
    let collections = common::collections();
    assert!(collections.len() >= 6, "the six collections are there");
    let mut games = 0;
    let mut moves = 0;
    for (name, text) in &collections {
        let expected = by_reference(text);
        let mut faults = Vec::new();
        let told = by_us(text, &mut faults);
        assert_eq!(told.len(), expected.len(), "number of games in {name}");
        for (number, (ours, theirs)) in told.iter().zip(&expected).enumerate() {
            assert_eq!(ours, theirs, "game {} of {name}", number + 1);
        }
        assert_eq!(faults, [], "faults in {name}");
        games += told.len();
        moves += told
            .iter()
            .flat_map(|game| &game.movetext)
            .filter(|token| matches!(token, Token::Move(..)))
            .count();
    }
    assert!(
        games > 1000 && moves > 80_000,
        "{games} games, {moves} moves"
    );
}

#[test]
fn forms_of_the_reference_tests_read_the_same() {
    // Movetext from pgn-reader's own unit tests (src/reader.rs).
    let text = br#"[White "hello\" "][Black "world"]1.f3! e5$71 2.g4 ?? (-- {}) O-O O-O-O#!?0-1"#;
    let mut faults = Vec::new();
    assert_eq!(by_us(text, &mut faults), by_reference(text));
    let text = "1-0 0-1 1/2-1/2 1–0 0–1 ½–½".as_bytes();
    assert_eq!(by_us(text, &mut faults), by_reference(text));
    let text = b"-- Z0 --+ Z0+ --# Z0#";
    assert_eq!(by_us(text, &mut faults), by_reference(text));
    assert_eq!(faults, []);
    let told = by_us(b"1-0", &mut faults);
    assert_eq!(
        told[0].movetext,
        [Token::Outcome(Outcome::Known(KnownOutcome::Decisive {
            winner: Color::White
        }))]
    );
}
