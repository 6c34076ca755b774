//! What an author probably meant by a move that cannot be played.

use gainsay_notation::{Language, WrittenMove, WrittenShape, parse_move};
use shakmaty::{Chess, Position};

use crate::{
    replay::{Ply, View},
    resolve::{Resolution, pass, played, resolve},
    show::{in_language, numbered, san, side},
};

/// The legal moves of `position` that are likest to `written`, the likest first, in SAN with the
/// letters of `language`.
///
/// Alike are moves of the same kind of piece to the same square, and those whose SAN is one letter
/// or digit away (Damerau-Levenshtein distance, signs left out). The former go first; where a
/// capture is written, captures go before others.
pub(crate) fn nearest(position: &Chess, written: &str, language: Language) -> Vec<String> {
    const MOST: usize = 3;
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|c| !matches!(c, '+' | '#' | '!' | '?' | 'x' | '-' | '='))
            .collect()
    };
    let wanted = plain(written);
    let (goal, captures) = match parse_move(written.as_bytes(), language).map(|it| it.shape) {
        Some(WrittenShape::To {
            role, to, capture, ..
        }) => (Some((role, to)), capture),
        Some(WrittenShape::PawnCapture { .. }) => (None, true),
        _ => (None, false),
    };
    let mut found: Vec<((bool, bool, usize), String)> = position
        .legal_moves()
        .into_iter()
        .filter_map(|m| {
            let text = in_language(&san(position, m), language);
            let elsewhere = goal != Some((m.role(), m.to()));
            let distance = strsim::damerau_levenshtein(&wanted, &plain(&text));
            let quiet = captures && !m.is_capture();
            (!elsewhere || distance <= 1).then_some(((elsewhere, quiet, distance), text))
        })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_likest_move_is_offered_first() {
        // Behind 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 5.O-O Be7 6.Re1 b5.
        let fen = "r1bqk2r/2ppbppp/p1n2n2/1p2p3/B3P3/5N2/PPPP1PPP/RNBQR1K1 w kq - 0 7";
        let position = crate::read_fen(fen, false).0.expect("a position");
        for (written, offered) in [
            // A capture where something can be captured.
            ("Nxd5", &["Nxe5", "Nd4", "Ng5"][..]),
            // Without the sign nothing speaks for one.
            ("Nd5", &["Nd4", "Ng5", "Nxe5"]),
            // The same piece to the same square, however it is written.
            ("Nf3d4", &["Nd4"]),
            ("Nbd4", &["Nd4"]),
            ("axb5", &["Bxb5"]),
        ] {
            assert_eq!(
                nearest(&position, written, Language::English),
                offered,
                "{written}"
            );
        }
    }
}
