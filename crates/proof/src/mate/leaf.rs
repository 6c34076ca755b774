//! What a position says at first sight.

use shakmaty::Position;

use super::{
    checks::{OutOfBudget, evasions, mate_in_one},
    exact::KeyedPosition,
    goal::Goal,
    numbers::{UNSEEN_CHECK, UNSEEN_QUIET},
    order,
    table::{Packed, pack},
    tree::State,
};
use crate::budget::Budget;

/// Looks at a position for the first time; `root` as for [`terminal`].
pub(crate) fn evaluate(
    place: &KeyedPosition,
    goal: Goal,
    root: bool,
    budget: &mut Budget<'_>,
) -> Result<(State, Packed), OutOfBudget> {
    let position = &place.position;
    if !goal.attacking {
        let replies =
            evasions(position, usize::MAX).unwrap_or_else(|| position.legal_moves().len());
        let state = terminal(place, goal, replies, root);
        return Ok((state.unwrap_or(State::Open(replies as u32, 1)), 0));
    }
    // An attacker without a move is noticed when he is to make one.
    if let Some(state) = terminal(place, goal, 1, root) {
        return Ok((state, 0));
    }
    let mut checks = 0;
    if let Some(m) = mate_in_one(position, budget, |_| checks += 1)? {
        return Ok((State::Won(1), pack(m)));
    }
    if goal.left == 1 {
        return Ok((State::Lost, 0));
    }
    // What the numbers will be when its moves are listed.
    let (pn, dn) = if checks > 0 {
        UNSEEN_CHECK
    } else {
        UNSEEN_QUIET
    };
    let moves = checks + order::guess(position);
    Ok((State::Open(pn, dn.saturating_mul(moves as u32)), 0))
}

/// What is settled without looking ahead, given the number of legal moves. `root`
/// says that the attacker is asked about this very position, where play goes on
/// whatever the clock says.
pub(crate) fn terminal(
    place: &KeyedPosition,
    goal: Goal,
    moves: usize,
    root: bool,
) -> Option<State> {
    let position = &place.position;
    let drawn = goal.is_bounded() && place.is_clock_out();
    if goal.attacking {
        let hopeless = goal.left == 0
            || moves == 0
            || (drawn && !root)
            || position.has_insufficient_material(position.turn());
        return hopeless.then_some(State::Lost);
    }
    if moves == 0 {
        return Some(if position.is_check() {
            State::Won(0)
        } else {
            State::Lost
        });
    }
    (goal.left == 0 || drawn).then_some(State::Lost)
}
