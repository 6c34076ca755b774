//! How the searches work together on one question.

use shakmaty::{Move, Position};

use super::{
    checks::{Checks, OutOfBudget},
    dag::Dag,
    exact::{FIFTY_MOVES, KeyedPosition},
    goal::{ANY, Goal, LONGEST},
    solver::Solver,
    tree::State,
    write::Writer,
};
use crate::budget::Budget;

/// Questions about mates up to this length are left to the depth-first search alone.
const SHORT: u32 = 3;

/// The depth-first search goes no deeper than this: it would never end there, and the
/// stack is not endless either.
pub(super) const DEEPENING: u32 = 16;

/// Nodes that are kept for writing the proof down, at most.
const RESERVE: u64 = 400_000;

/// The budget is cut in so many turns for the search for shorter mates.
const TURNS: u64 = 8;

/// And in so many for those that come before a proof is written down.
const PEEKS: u64 = 64;

/// What became of a question.
#[derive(Debug, Default)]
pub(crate) struct Solved {
    /// A mate, with its proof.
    pub(crate) proof: Option<Dag>,
    /// There is no mate within so many moves; [`ANY`] when there is none at all.
    pub(crate) refuted: u32,
}

impl Solver<'_> {
    /// Looks for a mate within `limit` moves, the shorter the better.
    pub(crate) fn solve(
        &mut self,
        place: &KeyedPosition,
        limit: u32,
        budget: &mut Budget<'_>,
    ) -> Solved {
        let mut outcome = Solved::default();
        let position = &place.position;
        if limit == 0
            || position.legal_moves().is_empty()
            || position.has_insufficient_material(position.turn())
        {
            outcome.refuted = limit;
            return outcome;
        }
        let bound = limit.min(LONGEST);
        let all = budget.left();
        // A part is kept for writing the proof down once it is found.
        let reserve = (all / 16).min(RESERVE);

        // Shorter mates first, as far as a part of the budget goes: that finds the
        // quiet keys of problems, and the least number at once.
        let deepening = all / 8;
        let started = budget.spent();
        for left in 1..=bound.min(DEEPENING) {
            let spent = budget.spent() - started;
            let cap = if left == bound && left <= SHORT {
                all - reserve
            } else {
                deepening
            };
            let mut share = budget.share(cap.saturating_sub(spent));
            let found = self.exact().attack(place, left, &mut share);
            budget.settle(&share);
            match found {
                Ok(true) => {
                    outcome.proof = self.build(place, left, budget);
                    return outcome;
                }
                Ok(false) => outcome.refuted = left,
                Err(OutOfBudget) => break,
            }
        }
        if outcome.refuted >= limit {
            return outcome;
        }

        // A proof of any length is quickly found and says where to look for a short
        // one. For a bounded question it gets a part only.
        let mut next = bound;
        let cap = if limit == ANY { all } else { all / 4 };
        let mut share = budget.share(cap.min(budget.left().saturating_sub(reserve)));
        let found = self.prove(place, Goal::attack(ANY), &mut share);
        budget.settle(&share);
        match found {
            Ok(State::Won(_)) => {
                if let Some(dag) = self.build(place, ANY, budget) {
                    next = next.min(dag.length().saturating_sub(1));
                    if dag.length() <= bound && dag.keeps_fifty_moves(place.position.halfmoves()) {
                        outcome.proof = Some(dag);
                    }
                }
            }
            Ok(State::Lost) => {
                outcome.refuted = ANY;
                return outcome;
            }
            _ => {}
        }

        // Then shorter and shorter, until one is refuted or the budget is spent. A mate
        // that is shorter by one may be harder to find than one much shorter, whose
        // tree is smaller: both are tried in turns, and the tables keep what was done.
        // A proof is written down before the search that follows it grows long enough
        // to push it out of the tables.
        let mut unwritten = None;
        let mut halfway = false;
        while next > outcome.refuted {
            let bound = if halfway {
                (outcome.refuted + next).div_ceil(2)
            } else {
                next
            };
            let free = budget.left().saturating_sub(reserve);
            if free == 0 {
                break;
            }
            let turn = all / if unwritten.is_some() { PEEKS } else { TURNS };
            let mut share = budget.share(free.min(turn + 1));
            let found = self.prove(place, Goal::attack(bound), &mut share);
            budget.settle(&share);
            match found {
                Ok(State::Won(length)) => {
                    unwritten = Some(u32::from(length));
                    next = u32::from(length).saturating_sub(1);
                    continue;
                }
                Ok(State::Lost) => outcome.refuted = bound,
                _ if share.spent() == 0 => break,
                _ => {}
            }
            if let Some(length) = unwritten.take() {
                outcome.proof = self.build(place, length, budget).or(outcome.proof);
            } else if found.is_err() {
                halfway = !halfway;
            }
        }
        if let Some(length) = unwritten {
            outcome.proof = self.build(place, length, budget).or(outcome.proof);
        }
        outcome
    }

    /// Writes down the proof of a mate within `left` moves that was just found.
    pub(crate) fn build(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Option<Dag> {
        Writer::new(self, budget).build(place, left)
    }

    /// Whether the defender, to move, is mated within `left` more moves.
    pub(crate) fn mated(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<Mated, OutOfBudget> {
        for fewer in 0..=left.min(SHORT - 1) {
            let all = budget.left();
            let mut share = budget.share(if fewer == left { all } else { all / 8 });
            let found = self.exact().defend(place, fewer, &mut share);
            budget.settle(&share);
            match found {
                Ok(true) => return Ok(Mated::Within(fewer)),
                Ok(false) if fewer == left => return Ok(Mated::Not),
                Ok(false) => {}
                Err(OutOfBudget) => break,
            }
        }
        let all = budget.left();
        let mut share = budget.share(if left == ANY { all } else { all / 4 });
        let found = self.prove(place, Goal::defend(ANY), &mut share);
        budget.settle(&share);
        let mut bound = left.min(LONGEST);
        match found {
            Ok(State::Won(length)) => {
                let length = u32::from(length);
                // Proofs of any length do not look at the clock.
                let safe = place.position.halfmoves().saturating_add(2 * length) <= FIFTY_MOVES;
                if length <= left && safe {
                    return Ok(Mated::Within(length));
                }
                bound = bound.min(length);
            }
            Ok(State::Lost) => return Ok(Mated::Not),
            _ if left == ANY => return Ok(Mated::Unknown),
            _ => {}
        }
        match self.prove(place, Goal::defend(bound), budget)? {
            State::Won(length) => Ok(Mated::Within(u32::from(length))),
            State::Lost if bound == left => Ok(Mated::Not),
            _ => Ok(Mated::Unknown),
        }
    }

    /// A reply after which the attacker does not mate within `left` moves, where one
    /// is known to exist or the defender has none.
    pub(crate) fn escape(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<Option<Move>, OutOfBudget> {
        let replies = place.position.legal_moves();
        if left == 0 || place.is_clock_out() {
            return Ok(replies.first().copied());
        }
        if left <= SHORT {
            return self.exact().escape(place, left, budget);
        }
        for reply in replies {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let next = place.after(reply);
            if next.is_clock_out() || self.prove(&next, Goal::attack(left), budget)? == State::Lost
            {
                return Ok(Some(reply));
            }
        }
        Ok(None)
    }

    /// Shows why there is no mate within `left` moves: the move that leaves the
    /// fewest replies that escape, and one of these.
    pub(crate) fn attempt(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Vec<Move> {
        let mut share = budget.share(ATTEMPT);
        let mut best = Attempt {
            outs: usize::MAX,
            line: Vec::new(),
        };
        // What was found when the share ran out is good enough to show.
        let _ = self.attempts(place, left, &mut share, &mut best);
        budget.settle(&share);
        best.line
    }

    fn attempts(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
        best: &mut Attempt,
    ) -> Result<(), OutOfBudget> {
        let Some(checks) = Checks::new(&place.position) else {
            return Ok(());
        };
        let mut firsts = place.position.legal_moves();
        firsts.sort_by_key(|&m| !checks.may_check(m));
        for first in firsts {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let after = place.after(first);
            let replies = after.position.legal_moves();
            // A stalemate leaves no reply to show; anything else is likelier.
            let mut outs = if replies.is_empty() {
                usize::MAX - 1
            } else {
                0
            };
            let mut line = vec![first];
            for reply in replies {
                if outs >= best.outs {
                    break;
                }
                if !budget.spend() {
                    return Err(OutOfBudget);
                }
                let next = after.after(reply);
                let escapes = left <= 1
                    || next.is_clock_out()
                    || if left <= SHORT + 1 {
                        !self.exact().attack(&next, left - 1, budget)?
                    } else {
                        let fewer = if left == ANY { ANY } else { left - 1 };
                        self.prove(&next, Goal::attack(fewer), budget)? == State::Lost
                    };
                if escapes {
                    outs += 1;
                    if line.len() == 1 {
                        line.push(reply);
                    }
                }
            }
            if outs < best.outs {
                *best = Attempt { outs, line };
            }
        }
        Ok(())
    }
}

/// Nodes that may go into choosing the attempt to show.
const ATTEMPT: u64 = 50_000;

/// A first move that does not mate.
struct Attempt {
    /// Replies that escape.
    outs: usize,
    /// The move and one of these replies.
    line: Vec<Move>,
}

/// What is known of a defender to move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mated {
    /// Mated within so many moves of the attacker.
    Within(u32),
    /// Not mated as asked.
    Not,
    /// Not settled.
    Unknown,
}
