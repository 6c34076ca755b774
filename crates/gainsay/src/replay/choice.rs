//! Which move is played where what is written can be several or none.

use gainsay_notation::{ElementKind, Game, Oddities, Signs, WrittenMove};
use shakmaty::{Chess, Move, Position};

use crate::{
    marks::Marks,
    resolve::{Resolution, resolve},
};

/// What a written move comes to.
pub(super) enum Chosen {
    Move(Move, Signs),
    Pass,
    None,
}

/// Decides which move is played in `before`, and marks what is wrong with it.
pub(super) fn chosen(
    game: &Game,
    element: u32,
    before: &Chess,
    written: Option<WrittenMove>,
    marks: &mut Marks,
) -> Chosen {
    let Some(written) = written else {
        *marks |= Marks::UNREADABLE;
        let Some(m) = only_one_for_the_rest(game, element, before) else {
            return Chosen::None;
        };
        *marks |= Marks::GUESSED;
        return Chosen::Move(m, Signs::None);
    };
    let odd = !written.oddities.contains(Oddities::DESCRIPTIVE);
    if odd && !written.oddities.is_empty() {
        *marks |= Marks::ODD_SPELLING;
    }
    let m = match resolve(before, &written) {
        Resolution::Legal(m, noticed) => {
            // Where an old move comes from is written as its author pleases.
            *marks |= if odd {
                noticed
            } else {
                noticed - Marks::NEEDLESS_ORIGIN
            };
            Some(m)
        }
        Resolution::Null => return Chosen::Pass,
        // Old books say no more than a reader needs, who sees what is played next.
        Resolution::Ambiguous(list)
            if !odd && let Some(m) = only_one_that_goes_on(game, element, before, &list) =>
        {
            Some(m)
        }
        Resolution::Ambiguous(list) => {
            *marks |= Marks::AMBIGUOUS;
            likeliest(game, element, before, &list)
        }
        Resolution::NoPromotion(list) => {
            *marks |= Marks::NO_PROMOTION;
            // A queen is meant nearly always, and reading can go on with it.
            list.iter()
                .copied()
                .find(|m| m.promotion() == Some(shakmaty::Role::Queen))
        }
        Resolution::Illegal => {
            *marks |= if before.legal_moves().is_empty() {
                Marks::AFTER_END
            } else {
                Marks::ILLEGAL
            };
            None
        }
    };
    m.map_or(Chosen::None, |m| Chosen::Move(m, written.signs))
}

/// The candidate after which most of the following moves can be played: what the
/// author meant is seen from what he wrote next.
fn likeliest(game: &Game, element: u32, before: &Chess, candidates: &[Move]) -> Option<Move> {
    let mut best = None;
    for &candidate in candidates {
        let (played, _) = followed(game, element, before, candidate);
        if best.is_none_or(|(most, _)| played > most) {
            best = Some((played, candidate));
        }
    }
    best.map(|(_, m)| m)
}

/// The candidate behind which the line can be played on, if it cannot behind any other.
fn only_one_that_goes_on(
    game: &Game,
    element: u32,
    before: &Chess,
    candidates: &[Move],
) -> Option<Move> {
    let mut going_on = candidates.iter().filter_map(|&candidate| {
        let (played, broken) = followed(game, element, before, candidate);
        (!broken).then_some((candidate, played))
    });
    let (candidate, played) = going_on.next()?;
    (played > 0 && going_on.next().is_none()).then_some(candidate)
}

/// The legal move behind which more of the line can be played than behind any other, if that is long:
/// what must have been meant by what is no move.
fn only_one_for_the_rest(game: &Game, element: u32, before: &Chess) -> Option<Move> {
    const LONG: usize = 6;
    let mut best: Option<(usize, Move)> = None;
    let mut twice = false;
    for m in before.legal_moves() {
        let (played, _) = followed(game, element, before, m);
        let most = best.map_or(0, |(most, _)| most);
        twice = played == most || twice && played < most;
        if played > most {
            best = Some((played, m));
        }
    }
    best.filter(|(played, _)| *played >= LONG && !twice)
        .map(|(_, m)| m)
}

/// How many of the moves behind a candidate can be played, and whether the next one cannot, so
/// that the candidate is not meant or something is wrong.
fn followed(game: &Game, element: u32, before: &Chess, candidate: Move) -> (usize, bool) {
    const HORIZON: usize = 16;
    let mut position = before.clone();
    position.play_unchecked(candidate);
    let mut depth = 0_usize;
    let mut played = 0_usize;
    for later in game.elements.iter().skip(element as usize + 1) {
        match later.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close if depth == 0 => break,
            ElementKind::Close => depth -= 1,
            ElementKind::Move(written) if depth == 0 => {
                let m = match resolve(&position, &written) {
                    Resolution::Legal(m, _) => m,
                    Resolution::Illegal => return (played, true),
                    _ => break,
                };
                position.play_unchecked(m);
                played += 1;
                if played == HORIZON {
                    break;
                }
            }
            _ => {}
        }
    }
    (played, false)
}
