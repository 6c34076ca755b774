//! The reader of game text.

use crate::Game;

/// Reads the game that begins at or after `from` in `text` into `game`, and
/// returns where reading of the next one must begin; `None` when nothing but
/// white space is left.
///
/// A game ends at its termination marker or where the tags of the next begin.
/// The spans of `game` are offsets into `text`.
pub fn read_game(text: &[u8], from: usize, game: &mut Game) -> Option<usize> {
    let _ = (text, from);
    game.clear();
    None
}
