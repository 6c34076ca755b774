//! Depth-first search for mates within a number of moves: exact, and quick for
//! short mates.
//!
//! Positions are told apart by the moves left as well, since a position may recur
//! with fewer of them; so no cycle arises and no answer depends on the path.

use shakmaty::{Chess, Move, MoveList, Position};

use super::{
    checks::{Checks, OutOfBudget, mate_in_one},
    key::{Key, key_after, with_number},
    table::{Fact, FactTable, pack, unpack},
};
use crate::Budget;

/// Half-moves without a capture or pawn move after which a game is drawn on the
/// claim of either player (FIDE Laws of Chess, article 9.3). A mate given by the
/// last of them counts.
pub(crate) const FIFTY_MOVES: u32 = 100;

/// A position with its key.
#[derive(Clone, Debug)]
pub(crate) struct Place {
    pub(crate) position: Chess,
    pub(crate) key: Key,
}

impl Place {
    pub(crate) fn new(position: &Chess) -> Self {
        Self {
            position: position.clone(),
            key: super::key::key(position),
        }
    }

    pub(crate) fn after(&self, m: Move) -> Self {
        let mut position = self.position.clone();
        position.play_unchecked(m);
        Self {
            position,
            key: key_after(&self.position, self.key, m),
        }
    }

    /// The key under which facts about mates within `left` moves are kept. The
    /// fifty-move clock is part of it as soon as it can run out on the way.
    pub(crate) fn fact_key(&self, left: u32) -> Key {
        let clock = self.position.halfmoves();
        if clock.saturating_add(2 * left).saturating_sub(1) < FIFTY_MOVES {
            self.key
        } else {
            with_number(self.key, clock)
        }
    }

    /// Whether a game is drawn here by the fifty-move rule, unless it is mate.
    pub(crate) fn is_clock_out(&self) -> bool {
        self.position.halfmoves() >= FIFTY_MOVES
    }
}

/// Replies that refuted an attacking move lately, by moves left.
type Killers = [Option<Move>; 64];

/// A search for mates within a number of moves.
#[derive(Debug)]
pub(crate) struct Exact<'t> {
    table: &'t mut FactTable,
    killers: Killers,
}

/// A move of the attacker with what orders it.
struct Try {
    rank: u32,
    m: Move,
}

impl<'t> Exact<'t> {
    pub(crate) fn new(table: &'t mut FactTable) -> Self {
        Self {
            table,
            killers: [None; 64],
        }
    }

    /// Whether the side to move mates within `left` moves.
    pub(crate) fn attack(
        &mut self,
        place: &Place,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<bool, OutOfBudget> {
        let fact_key = place.fact_key(left);
        let mut known = Fact::default();
        if left > 1 {
            known = self.table.get(fact_key);
            if known.proves(left) {
                return Ok(true);
            }
            if known.refutes(left) {
                return Ok(false);
            }
        }
        let attacker = place.position.turn();
        if place.position.has_insufficient_material(attacker) {
            return Ok(false);
        }
        // Shorter mates first: they are cheap, and moves left are precious.
        if left > 1 && !known.refutes(left - 1) && self.attack(place, left - 1, budget)? {
            return Ok(true);
        }
        if left == 1 {
            return Ok(mate_in_one(&place.position, budget, |_| {})?.is_some());
        }
        let moves = place.position.legal_moves();
        let Some(checks) = Checks::new(&place.position) else {
            return Ok(false);
        };
        let hint = unpack(known.best(), &moves);
        let mut tries: Vec<Try> = moves
            .iter()
            .map(|&m| Try {
                rank: rank(&checks, m, hint),
                m,
            })
            .collect();
        tries.sort_by_key(|t| t.rank);
        for Try { m, .. } in tries {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            if self.defend(&place.after(m), left - 1, budget)? {
                self.table.prove(fact_key, left, pack(m));
                return Ok(true);
            }
        }
        self.table.refute(fact_key, left);
        Ok(false)
    }

    /// Whether the side to move is mated, or will be within `left` more moves of
    /// the other side whatever it does.
    pub(crate) fn defend(
        &mut self,
        place: &Place,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<bool, OutOfBudget> {
        let replies = place.position.legal_moves();
        if replies.is_empty() {
            return Ok(place.position.is_check());
        }
        if left == 0 || place.is_clock_out() {
            return Ok(false);
        }
        Ok(self.escape(place, replies, left, budget)?.is_none())
    }

    /// A reply after which there is no mate within `left` moves.
    pub(crate) fn escape(
        &mut self,
        place: &Place,
        mut replies: MoveList,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<Option<Move>, OutOfBudget> {
        let slot = (left as usize).min(self.killers.len() - 1);
        let killer = self.killers.get(slot).copied().flatten();
        replies.sort_by_key(|&m| {
            if Some(m) == killer {
                0
            } else if m.is_capture() {
                1
            } else {
                2
            }
        });
        for reply in replies {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let next = place.after(reply);
            if next.is_clock_out() || !self.attack(&next, left, budget)? {
                if let Some(killer) = self.killers.get_mut(slot) {
                    *killer = Some(reply);
                }
                return Ok(Some(reply));
            }
        }
        Ok(None)
    }
}

fn rank(checks: &Checks, m: Move, hint: Option<Move>) -> u32 {
    if Some(m) == hint {
        0
    } else if checks.may_check(m) {
        1
    } else if m.is_capture() || m.is_promotion() {
        2
    } else {
        3
    }
}
