//! What an author probably meant by a move that cannot be played.

use gainsay_notation::{Language, WrittenMove};
use shakmaty::{Chess, Position};

use crate::{
    replay::{Ply, View},
    resolve::{Resolution, pass, played, resolve},
    show::{in_language, numbered, san, side},
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

/// Where else in the game the move would be legal, in one clause: the move before says it
/// already, the next move belongs before it, the other side could play it, or it would be
/// legal one or two plies earlier in its line or one later.
pub(crate) fn elsewhere(view: &View<'_>, ply: &Ply, written: &WrittenMove) -> Option<String> {
    let replay = view.replay;
    let parent = ply.parent.and_then(|at| replay.ply(at));
    let begins_side_line = parent.is_some_and(|parent| parent.depth < ply.depth);
    if begins_side_line && let Some(told) = hung(view, ply, written) {
        return Some(told);
    }
    let position = replay.before(ply)?;
    if let Some(told) = changed_places(view, ply, position, written) {
        return Some(told);
    }
    let before = parent.and_then(|parent| replay.before(parent));
    if let (Some(parent), Some(before)) = (parent, before)
        && let Resolution::Legal(m, _) = resolve(before, written)
        && parent.played == Some(m)
    {
        return Some(format!("{} has just been played", view.name(parent)));
    }
    if let Some(passed) = pass(position)
        && let Resolution::Legal(m, _) = resolve(&passed, written)
    {
        let [us, them] = [position.turn(), passed.turn()].map(side);
        return Some(format!(
            "it is {us}'s turn; {} could be played by {them}: a move of {us} may be missing",
            san(&passed, m)
        ));
    }
    hung(view, ply, written)
}

/// The next move of the line can be played here, and the move behind it.
fn changed_places(
    view: &View<'_>,
    ply: &Ply,
    position: &Chess,
    written: &WrittenMove,
) -> Option<String> {
    // Side-lines may stand between the two, but not a whole book.
    const NEAR: usize = 64;
    let plies = &view.replay.plies;
    let at = plies.partition_point(|other| other.element < ply.element);
    let next = plies
        .iter()
        .skip(at + 1)
        .take(NEAR)
        .find(|later| later.parent.is_some_and(|parent| parent as usize == at))?;
    let Resolution::Legal(first, _) = resolve(position, &view.written(next)?) else {
        return None;
    };
    let between = played(position, first);
    let Resolution::Legal(second, _) = resolve(&between, written) else {
        return None;
    };
    let line = crate::show::line(position, &[first, second]);
    Some(format!(
        "{line} would be legal: the two moves may have changed places"
    ))
}

/// Where in its line the move would be legal as an alternative, or behind the move that is
/// played instead.
fn hung(view: &View<'_>, ply: &Ply, written: &WrittenMove) -> Option<String> {
    let replay = view.replay;
    let mut back = ply.parent.and_then(|at| replay.ply(at));
    for _ in 0..2 {
        let earlier = back?;
        let position = replay.before(earlier)?;
        if let Resolution::Legal(m, _) = resolve(position, written) {
            let at = numbered(position, m);
            return Some(if earlier.played == Some(m) {
                format!("{at} was played before")
            } else {
                format!("{at} would be legal instead of {}", view.name(earlier))
            });
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
