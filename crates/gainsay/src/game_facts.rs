//! What is known of a game without playing it through: its tags, and its moves as they are written.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    ops::Range,
    sync::{Arc, OnceLock},
};

use gainsay_notation::{ElementKind, Game, GameResult, read_game};
use shakmaty::{Color, Position};

use crate::replay::{Replay, View};

/// A game of a piece; offsets are those of the piece.
#[derive(Clone, Debug)]
pub(crate) struct GameFacts {
    /// Its first move.
    pub(crate) first: Range<usize>,
    /// A fingerprint of the first position and of the main line.
    pub(crate) line: u64,
    /// How many half-moves the main line has.
    pub(crate) plies: u32,
    pub(crate) players: [String; 2],
    pub(crate) annotator: String,
}

/// The games of a piece, which are read when somebody asks for the first time and kept as long as the
/// piece is the same.
#[derive(Clone, Debug, Default)]
pub(crate) struct KeptGames {
    facts: Arc<OnceLock<Vec<GameFacts>>>,
    ending: Arc<OnceLock<Ending>>,
}

/// How the first game of a piece ended, and what its tags say.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ending {
    /// Who is mated at the end of the main line.
    pub(crate) mated: Option<Color>,
    /// The result, where tag and text do not contradict each other.
    pub(crate) result: Option<GameResult>,
    pub(crate) players: [String; 2],
    /// The years that the tags name: of the game first.
    pub(crate) years: Vec<u32>,
}

/// What is kept is told by the bytes of the piece.
impl PartialEq for KeptGames {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for KeptGames {}

impl KeptGames {
    /// The games of a piece with these bytes.
    pub(crate) fn of(&self, text: &[u8]) -> &[GameFacts] {
        self.facts.get_or_init(|| {
            let mut found = Vec::new();
            let mut game = Game::default();
            let mut from = 0;
            while let Some(next) = read_game(text, from, &mut game) {
                from = next.max(from + 1);
                found.extend(facts(text, &game));
            }
            found
        })
    }

    /// The ending of the first game of a piece with these bytes, which is played through.
    pub(crate) fn ending(&self, text: &[u8]) -> &Ending {
        self.ending.get_or_init(|| {
            let mut game = Game::default();
            read_game(text, 0, &mut game);
            let replay = Replay::of(text, &game, None);
            let view = View {
                text,
                game: &game,
                replay: &replay,
                index: 1,
            };
            ending(&view)
        })
    }
}

fn ending(view: &View<'_>) -> Ending {
    let tag = |name: &str| {
        let tag = view.game.tag(view.text, name);
        tag.map_or_else(String::new, |tag| tag.value(view.text).into_owned())
    };
    let main = view.replay.plies.iter().rfind(|ply| ply.depth == 0);
    let last = main.and_then(|ply| ply.after.as_ref());
    let years = ["Date", "UTCDate", "EventDate"].map(tag);
    let years = years.iter().filter_map(|date| date.get(..4)?.parse().ok());
    Ending {
        mated: last.filter(|last| last.is_checkmate()).map(Position::turn),
        result: view.ended(),
        players: [tag("White"), tag("Black")],
        years: years.collect(),
    }
}

/// `None` for a game without moves.
fn facts(text: &[u8], game: &Game) -> Option<GameFacts> {
    let tag = |name: &str| {
        let tag = game.tag(text, name);
        tag.map_or_else(String::new, |tag| tag.value(text).into_owned())
    };
    let mut hasher = DefaultHasher::new();
    tag("FEN").hash(&mut hasher);
    let (mut depth, mut plies, mut first) = (0_u32, 0, None);
    for element in &game.elements {
        match element.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close => depth = depth.saturating_sub(1),
            ElementKind::Move(_) | ElementKind::Word { movelike: true } if depth == 0 => {
                let written = element.span.of(text);
                let signs = |byte: &u8| b"+#!?x-= ".contains(byte);
                let bare: Vec<u8> = written
                    .iter()
                    .copied()
                    .filter(|byte| !signs(byte))
                    .collect();
                bare.hash(&mut hasher);
                first = first.or_else(|| Some(element.span.range()));
                plies += 1;
            }
            _ => {}
        }
    }
    Some(GameFacts {
        first: first?,
        line: hasher.finish(),
        plies,
        players: [tag("White"), tag("Black")],
        annotator: tag("Annotator"),
    })
}
