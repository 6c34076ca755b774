//! A section of game text, read and played through.

use gainsay_notation::{Game, read_game};

use crate::{
    replay::{Replay, View},
    settings::Settings,
};

/// A section of game text, read and played through. All offsets are relative to the
/// section.
///
/// ```
/// use gainsay::{Reading, Settings};
/// let text = b"1. e4 (1. d4) e5 *\n\n[Event \"A\"]\n\n1. c4 *";
/// let reading = Reading::of(text, &Settings::default());
/// let plies: Vec<usize> = reading.views(text).map(|view| view.replay.plies.len()).collect();
/// assert_eq!(plies, [3, 1]);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Reading {
    games: Vec<(Game, Replay)>,
}

impl Reading {
    /// Reads and plays through the games of `text`.
    #[must_use]
    pub fn of(text: &[u8], settings: &Settings) -> Self {
        let mut games = Vec::new();
        let mut from = 0;
        let mut game = Game::default();
        while let Some(next) = read_game(text, from, &mut game) {
            let replay = Replay::of(text, &game, settings.language);
            games.push((std::mem::take(&mut game), replay));
            // The reader always moves on; this makes sure that nothing can hang here.
            from = next.max(from + 1);
        }
        Self { games }
    }

    /// The games with their text, in order.
    pub fn views<'a>(&'a self, text: &'a [u8]) -> impl Iterator<Item = View<'a>> {
        self.games
            .iter()
            .zip(1..)
            .map(move |((game, replay), index)| View {
                text,
                game,
                replay,
                index,
            })
    }
}
