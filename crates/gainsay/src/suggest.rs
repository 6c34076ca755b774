//! What an author probably meant by a move that cannot be played.

use gainsay_notation::{Language, WrittenMove};
use shakmaty::{Chess, Position};

use crate::{
    Ply, Resolution, View, resolve,
    show::{in_language, numbered, san},
};

/// The legal moves of `position` whose SAN in the letters of `language` is nearest to
/// `written`, nearest first.
///
/// Nearness is the Damerau-Levenshtein distance, at most two letters; a move on the
/// same square by the same kind of piece counts as one letter.
pub(crate) fn nearest(position: &Chess, written: &str, language: Language) -> Vec<String> {
    const MOST: usize = 3;
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|c| !matches!(c, '+' | '#' | '!' | '?' | 'x' | '-' | '='))
            .collect()
    };
    let wanted = plain(written);
    let mut found: Vec<(usize, String)> = position
        .legal_moves()
        .into_iter()
        .map(|m| {
            let text = in_language(&san(position, m), language);
            (strsim::damerau_levenshtein(&wanted, &plain(&text)), text)
        })
        .filter(|&(distance, _)| distance <= 1)
        .collect();
    found.sort();
    found.truncate(MOST);
    found.into_iter().map(|(_, text)| text).collect()
}

/// Where else in the game the move would be legal: one or two plies earlier in its
/// line (an alternative to the move before) or one later.
pub(crate) fn elsewhere(view: &View<'_>, ply: &Ply, written: &WrittenMove) -> Option<String> {
    let replay = view.replay;
    let mut back = ply.parent.and_then(|at| replay.ply(at));
    for _ in 0..2 {
        let earlier = back?;
        let position = replay.before(earlier)?;
        if let Resolution::Legal(m, _) = resolve(position, written) {
            return Some(format!(
                "{} would be legal instead of {}",
                numbered(position, m),
                view.name(earlier)
            ));
        }
        if let Some(after) = replay
            .plies
            .iter()
            .skip(ply.parent? as usize + 1)
            .find(|later| later.parent == ply.parent && later.after.is_some())
            && let Some(position) = &after.after
            && let Resolution::Legal(m, _) = resolve(position, written)
        {
            return Some(format!(
                "{} would be legal after {}",
                numbered(position, m),
                view.name(after)
            ));
        }
        back = earlier.parent.and_then(|at| replay.ply(at));
    }
    None
}
