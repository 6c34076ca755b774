//! What is known of a game without playing it through: its tags, and its moves as they are written.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    ops::Range,
    sync::{Arc, OnceLock},
};

use gainsay_notation::{ElementKind, Game, read_game};

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
pub(crate) struct KeptGames(Arc<OnceLock<Vec<GameFacts>>>);

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
        self.0.get_or_init(|| {
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
