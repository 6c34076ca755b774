//! Playing a cited line from a position.

use gainsay_commentary::CitedMove;
use gainsay_notation::{MoveNumber, Oddities};
use shakmaty::{Chess, Color, Move, Position, Role};

use super::signs::meaning;
use crate::{
    resolve::{Resolution, pass, played, resolve},
    scene::{Step, count},
};

/// An attempt to play a line.
#[derive(Clone, Debug)]
pub(crate) struct Broken {
    /// The moves that can be played.
    pub(crate) steps: Vec<Step>,
    /// The position in which the next move cannot be played.
    pub(crate) position: Chess,
    /// Which move of the line that is.
    pub(crate) at: usize,
    /// Whether the line got there without going back, so that nothing else can be meant.
    pub(super) certain: bool,
}

impl Broken {
    /// A line whose first move cannot be played behind the moves of another.
    pub(crate) fn behind(steps: &[Step]) -> Option<Self> {
        Some(Self {
            position: steps.last()?.after.clone(),
            steps: steps.to_vec(),
            at: 0,
            certain: true,
        })
    }
}

/// More positions of earlier lines than this are not kept for one comment.
pub(super) const KEPT: usize = 512;

/// What an attempt came to.
pub(super) enum Attempt {
    Whole(Vec<Step>),
    Broken(Broken),
}

/// How strictly numbers are taken.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Numbers {
    Count,
    Ignore,
}

/// The ways to play all of `moves` from these positions.
pub(super) fn readings(starts: &[Chess], moves: &[CitedMove]) -> Vec<Vec<Step>> {
    let mut readings: Vec<Vec<Step>> = Vec::new();
    for start in starts.iter().filter(|_| !moves.is_empty()) {
        if let Attempt::Whole(steps) = play(start, moves, Numbers::Count) {
            let same = |other: &Vec<Step>| {
                other.last().map(|step| &step.after) == steps.last().map(|step| &step.after)
            };
            if !readings.iter().any(same) {
                readings.push(steps);
            }
        }
    }
    readings
}

/// The count that a number asks for.
pub(crate) fn expected(number: MoveNumber) -> Option<u32> {
    let value = number.value?;
    Some(
        value
            .saturating_mul(2)
            .saturating_add(u32::from(number.dots >= 2)),
    )
}

/// Plays `moves` from `start`. A number that belongs to an earlier ply of the line goes
/// back to it: prose nests its lines without brackets, so that each numbered move may
/// answer any position that came up before.
pub(super) fn play(start: &Chess, moves: &[CitedMove], numbers: Numbers) -> Attempt {
    let mut seen: Vec<Chess> = vec![start.clone()];
    let mut steps: Vec<Step> = Vec::new();
    let mut jumped = false;
    for (at, cited) in moves.iter().enumerate() {
        let rest = moves.get(at + 1..).unwrap_or_default();
        let places = match cited.number {
            Some(number) if at > 0 && numbers == Numbers::Count => places(&seen, number),
            _ => vec![seen.len() - 1],
        };
        let mut best: Option<(usize, usize, Step)> = None;
        for &place in &places {
            let Some(step) = seen
                .get(place)
                .and_then(|position| furthest(position, cited, rest))
            else {
                continue;
            };
            // Where several positions will do, what comes next tells which is meant.
            let follows = if places.len() > 1 {
                straight(&step.after, rest)
            } else {
                0
            };
            if best.as_ref().is_none_or(|(most, ..)| follows > *most) {
                best = Some((follows, place, step));
            }
        }
        let Some((_, place, step)) = best else {
            let position = places
                .first()
                .and_then(|&place| seen.get(place))
                .unwrap_or(start)
                .clone();
            return Attempt::Broken(Broken {
                certain: !jumped && !places.is_empty() && !is_ambiguous(&steps, moves),
                steps,
                position,
                at,
            });
        };
        jumped |= place + 1 != seen.len();
        seen.push(step.after.clone());
        steps.push(step);
    }
    Attempt::Whole(steps)
}

/// The positions that a number can go back to, the latest first.
fn places(seen: &[Chess], number: MoveNumber) -> Vec<usize> {
    const MOST: usize = 16;
    let fits = |position: &Chess| match expected(number) {
        Some(wanted) => count(position) == wanted,
        None => position.turn() == Color::Black,
    };
    (0..seen.len())
        .rev()
        .take(KEPT)
        .filter(|&place| seen.get(place).is_some_and(fits))
        .take(MOST)
        .collect()
}

/// So many moves tell enough of a line.
const FEW: usize = 4;

/// How many of the next few moves can be played straight on.
fn straight(position: &Chess, moves: &[CitedMove]) -> usize {
    let mut position = position.clone();
    for (at, cited) in moves.iter().take(FEW).enumerate() {
        let jumps = cited
            .number
            .and_then(expected)
            .is_some_and(|wanted| wanted != count(&position));
        let next = moves.get(at + 1);
        match step(&position, cited, next).filter(|_| !jumps) {
            Some(step) => position = step.after,
            // What goes back somewhere contradicts nothing.
            None => return if jumps { FEW } else { at },
        }
    }
    FEW
}

/// Plays one move; where it is ambiguous, the one behind which most of `rest` can be played.
fn furthest(position: &Chess, cited: &CitedMove, rest: &[CitedMove]) -> Option<Step> {
    let Resolution::Ambiguous(list) = meaning(position, &cited.written) else {
        return step(position, cited, rest.first());
    };
    let steps = list.iter().map(|&m| made(position, m));
    let mut best: Option<(usize, Step)> = None;
    for step in steps {
        let follows = straight(&step.after, rest);
        if best.as_ref().is_none_or(|(most, _)| follows > *most) {
            best = Some((follows, step));
        }
    }
    best.map(|(_, step)| step)
}

/// Whether one of the moves played may have been another, so that what follows need not be wrong.
pub(super) fn is_ambiguous(steps: &[Step], moves: &[CitedMove]) -> bool {
    (0..steps.len()).any(|at| may_be_another(steps, moves, at))
}

/// Whether the move at `at` of a line may have been another. In old notation, which says no more
/// than a reader needs, what follows tells which is meant.
pub(crate) fn may_be_another(steps: &[Step], moves: &[CitedMove], at: usize) -> bool {
    let (Some(step), Some(cited)) = (steps.get(at), moves.get(at)) else {
        return false;
    };
    let Resolution::Ambiguous(list) = meaning(&step.before, &cited.written) else {
        return false;
    };
    let rest = moves.get(at + 1..).unwrap_or_default();
    if rest.is_empty() || !cited.written.oddities.contains(Oddities::DESCRIPTIVE) {
        return true;
    }
    let goes_on = |m: &&Move| straight(&played(&step.before, **m), rest) == FEW;
    list.iter().filter(goes_on).count() != 1
}

fn made(position: &Chess, m: Move) -> Step {
    Step {
        before: position.clone(),
        mv: Some(m),
        after: played(position, m),
    }
}

/// Plays one move; where it is ambiguous, the one that lets `next` be played.
pub(crate) fn step(position: &Chess, cited: &CitedMove, next: Option<&CitedMove>) -> Option<Step> {
    match meaning(position, &cited.written) {
        Resolution::Legal(m, _) => Some(made(position, m)),
        Resolution::Ambiguous(list) => {
            let goes_on = |m: &&Move| {
                next.is_none_or(|next| {
                    matches!(
                        resolve(&played(position, **m), &next.written),
                        Resolution::Legal(..)
                    )
                })
            };
            list.iter()
                .find(goes_on)
                .or_else(|| list.first())
                .map(|&m| made(position, m))
        }
        Resolution::NoPromotion(list) => list
            .iter()
            .find(|m| m.promotion() == Some(Role::Queen))
            .or_else(|| list.first())
            .map(|&m| made(position, m)),
        Resolution::Null => pass(position).map(|after| Step {
            before: position.clone(),
            mv: None,
            after,
        }),
        Resolution::Illegal => None,
    }
}
