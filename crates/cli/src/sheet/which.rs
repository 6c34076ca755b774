//! Which position of a game a board shows.

use std::ops::Range;

use gainsay::{Reading, Settings, show};
use shakmaty::{Bitboard, Chess, Move, Position as _};

/// A move of a game, of its main line or of another.
struct Played {
    /// The move as written, with its number.
    name: String,
    before: Chess,
    after: Chess,
    mv: Move,
    /// The move before it.
    last: Option<Move>,
}

/// Which position it is.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Which {
    /// In words that begin a sentence: `Before 6...Bh5`.
    pub(crate) told: Option<String>,
    /// The squares of the move that was played last.
    pub(crate) moved: Bitboard,
}

/// The moves of one game at a time: what is asked about stands in the order of the text.
#[derive(Default)]
pub(crate) struct Moves {
    game: Option<Range<usize>>,
    start: Option<Chess>,
    played: Vec<Played>,
}

impl Moves {
    /// Tells a position at a move of the game that stands at `game` in `text`.
    pub(crate) fn which(
        &mut self,
        text: &[u8],
        game: Option<&Range<usize>>,
        mv: Option<&str>,
        position: &Chess,
    ) -> Which {
        if self.game.as_ref() != game {
            self.read(game.and_then(|game| text.get(game.clone())));
            self.game = game.cloned();
        }
        let named = |played: &&Played| Some(played.name.as_str()) == mv;
        let own: Vec<&Played> = self.played.iter().filter(named).collect();
        // What stands at the move itself goes before what the game has elsewhere.
        let all: Vec<&Played> = own.iter().copied().chain(&self.played).collect();
        let after = |played: &&&Played| is_same(&played.after, position);
        if let Some(played) = own.iter().find(after) {
            return told(format!("After {}", played.name), Some(played.mv));
        }
        if let Some(played) = own.iter().find(|played| is_same(&played.before, position)) {
            return told(format!("Before {}", played.name), played.last);
        }
        if let Some(played) = all.iter().find(after) {
            return told(format!("After {}", played.name), Some(played.mv));
        }
        let passes = show::side(!position.turn());
        if let Some(played) = all.iter().find(|played| is_passed(&played.after, position)) {
            let words = format!("After {}, if {passes} passes", played.name);
            return told(words, Some(played.mv));
        }
        if let Some(start) = &self.start {
            if is_same(start, position) {
                return told("At the start".to_owned(), None);
            }
            if is_passed(start, position) {
                return told(format!("At the start, if {passes} passes"), None);
            }
        }
        match mv {
            Some(mv) => told(format!("At {mv}"), None),
            None => Which::default(),
        }
    }

    fn read(&mut self, text: Option<&[u8]>) {
        *self = Self::default();
        let text = text.unwrap_or_default();
        let reading = Reading::of(text, &Settings::default());
        let Some(view) = reading.views(text).next() else {
            return;
        };
        self.start.clone_from(&view.replay.start.position);
        let last = |parent: Option<u32>| view.replay.ply(parent?)?.played;
        self.played
            .extend(view.replay.plies.iter().filter_map(|ply| {
                Some(Played {
                    name: view.name(ply),
                    before: view.replay.before(ply)?.clone(),
                    after: ply.after.clone()?,
                    mv: ply.played?,
                    last: last(ply.parent),
                })
            }));
    }
}

fn told(words: String, last: Option<Move>) -> Which {
    Which {
        told: Some(words),
        moved: last.into_iter().flat_map(show::ends).collect(),
    }
}

fn is_same(one: &Chess, other: &Chess) -> bool {
    one.turn() == other.turn() && one.board() == other.board()
}

fn is_passed(one: &Chess, other: &Chess) -> bool {
    one.turn() != other.turn() && one.board() == other.board()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_position_is_told_by_its_moves() {
        let text = b"1. e4 e5 (1... c5 2. Nf3) 2. Nc3 Nf6 *";
        let mut moves = Moves::default();
        for (fen, mv, wanted, squares) in [
            (
                "rnbqkbnr/pppp1ppp/8/4p3/4P3/8/PPPP1PPP/RNBQKBNR w KQkq - 0 2",
                "1...e5",
                Some("After 1...e5"),
                "e5e7",
            ),
            (
                "rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq - 0 1",
                "1...e5",
                Some("Before 1...e5"),
                "e2e4",
            ),
            (
                "rnbqkbnr/pp1ppppp/8/2p5/4P3/5N2/PPPP1PPP/RNBQKB1R w KQkq - 0 3",
                "2.Nf3",
                Some("After 2.Nf3, if Black passes"),
                "f3g1",
            ),
            (
                "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
                "1.e4",
                Some("Before 1.e4"),
                "",
            ),
            (
                "rnbqkbnr/pppppppp/8/8/3P4/8/PPP1PPPP/RNBQKBNR b KQkq - 0 1",
                "1.e4",
                Some("At 1.e4"),
                "",
            ),
        ] {
            let position = gainsay::read_fen(fen, false).0.expect("a position");
            let which = moves.which(text, Some(&(0..text.len())), Some(mv), &position);
            assert_eq!(which.told.as_deref(), wanted);
            let marked: String = (which.moved.into_iter())
                .map(|square| square.to_string())
                .collect();
            let mut marked: Vec<&str> = (marked.as_bytes().chunks(2))
                .filter_map(|square| std::str::from_utf8(square).ok())
                .collect();
            marked.sort_unstable();
            assert_eq!(marked.concat(), squares, "{fen}");
        }
    }
}
