//! Depth-first search for mates within a number of moves: exact, and quick for
//! short mates.
//!
//! Positions are told apart by the moves left as well, since a position may recur
//! with fewer of them; so no cycle arises and no answer depends on the path.

use std::cmp::Reverse;

use shakmaty::{Chess, Move, Position};

use super::{
    checks::{OutOfBudget, mate_in_one},
    key::{Key, key_after, with_number},
    order,
    table::{Fact, FactTable, pack, rebuild},
};
use crate::budget::Budget;

/// Half-moves without a capture or pawn move after which a game is drawn on the
/// claim of either player (FIDE Laws of Chess, article 9.3). A mate given by the
/// last of them counts.
pub(crate) const FIFTY_MOVES: u32 = 100;

/// A position with its key.
#[derive(Clone, Debug)]
pub(crate) struct KeyedPosition {
    pub(crate) position: Chess,
    pub(crate) key: Key,
}

impl KeyedPosition {
    pub(crate) fn new(position: &Chess) -> Self {
        Self {
            position: position.clone(),
            key: super::key::key(position),
        }
    }

    pub(crate) fn after(&self, m: Move) -> Self {
        let key = key_after(&self.position, self.key, m);
        let mut after = self.clone();
        after.play(m, key);
        after
    }

    /// Plays a move after which the key is known.
    #[inline]
    pub(crate) fn play(&mut self, m: Move, key: Key) {
        self.position.play_unchecked(m);
        self.key = key;
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

/// The last two replies that refuted an attacking move, by moves left.
type Killers = [[Option<Move>; 2]; 64];

/// What the searches of one question learn about the order of replies.
#[derive(Debug)]
pub(crate) struct Recall {
    killers: Killers,
    /// How often a reply refuted an attacking move, by its squares.
    refuted: Vec<u32>,
    /// The moves of all positions on the path.
    moves: Vec<Move>,
}

impl Default for Recall {
    fn default() -> Self {
        Self {
            killers: [[None; 2]; 64],
            refuted: vec![0; 64 * 64],
            moves: Vec::new(),
        }
    }
}

/// A search for mates within a number of moves.
#[derive(Debug)]
pub(crate) struct Exact<'t> {
    table: &'t mut FactTable,
    recall: &'t mut Recall,
}

impl<'t> Exact<'t> {
    pub(crate) const fn new(table: &'t mut FactTable, recall: &'t mut Recall) -> Self {
        Self { table, recall }
    }

    /// Whether the side to move mates within `left` moves.
    pub(crate) fn attack(
        &mut self,
        place: &KeyedPosition,
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
        let start = self.recall.moves.len();
        let found = self.first_move(place, left, known, budget);
        self.recall.moves.truncate(start);
        match found? {
            Some(m) => self.table.prove(fact_key, left, pack(m)),
            None => self.table.refute(fact_key, left),
        }
        Ok(found?.is_some())
    }

    /// The first move of a mate within `left` moves.
    fn first_move(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        known: Fact,
        budget: &mut Budget<'_>,
    ) -> Result<Option<Move>, OutOfBudget> {
        let position = &place.position;
        let hint = rebuild(known.best(), position).filter(|&m| position.is_legal(m));
        if let Some(m) = hint
            && self.mates(place, m, left, budget)?
        {
            return Ok(hint);
        }
        for list in [order::checks, order::quiet] {
            let mut at = self.recall.moves.len();
            list(position, &mut self.recall.moves);
            while let Some(&m) = self.recall.moves.get(at) {
                if Some(m) != hint && self.mates(place, m, left, budget)? {
                    return Ok(Some(m));
                }
                at += 1;
            }
        }
        Ok(None)
    }

    fn mates(
        &mut self,
        place: &KeyedPosition,
        m: Move,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<bool, OutOfBudget> {
        if !budget.spend() {
            return Err(OutOfBudget);
        }
        self.defend(&place.after(m), left - 1, budget)
    }

    /// Whether the side to move is mated, or will be within `left` more moves of
    /// the other side whatever it does.
    pub(crate) fn defend(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<bool, OutOfBudget> {
        if left == 0 || place.is_clock_out() {
            return Ok(place.position.is_checkmate());
        }
        let escape = self.escape(place, left, budget)?;
        Ok(escape.is_none() && !place.position.is_stalemate())
    }

    /// A reply after which there is no mate within `left` moves.
    pub(crate) fn escape(
        &mut self,
        place: &KeyedPosition,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<Option<Move>, OutOfBudget> {
        let slot = (left as usize).min(self.recall.killers.len() - 1);
        let killers = self.recall.killers.get(slot).copied().unwrap_or_default();
        // These often save making a list of the replies.
        for reply in killers.into_iter().flatten() {
            if place.position.is_legal(reply) && self.escapes(place, reply, left, budget)? {
                self.note(reply, slot);
                return Ok(Some(reply));
            }
        }
        let start = self.recall.moves.len();
        order::defending(&place.position, &mut self.recall.moves);
        if let Some(replies) = self.recall.moves.get_mut(start..) {
            let refuted = &self.recall.refuted;
            replies.sort_by_key(|&m| Reverse(refuted.get(squares(m)).copied()));
        }
        let mut at = start;
        let mut found = Ok(None);
        while let Some(&reply) = self.recall.moves.get(at) {
            at += 1;
            if killers.contains(&Some(reply)) {
                continue;
            }
            match self.escapes(place, reply, left, budget) {
                Ok(false) => {}
                Ok(true) => {
                    self.note(reply, slot);
                    found = Ok(Some(reply));
                    break;
                }
                Err(error) => {
                    found = Err(error);
                    break;
                }
            }
        }
        self.recall.moves.truncate(start);
        found
    }

    fn escapes(
        &mut self,
        place: &KeyedPosition,
        reply: Move,
        left: u32,
        budget: &mut Budget<'_>,
    ) -> Result<bool, OutOfBudget> {
        if !budget.spend() {
            return Err(OutOfBudget);
        }
        let next = place.after(reply);
        Ok(next.is_clock_out() || !self.attack(&next, left, budget)?)
    }

    /// Remembers a reply that refuted an attacking move.
    fn note(&mut self, reply: Move, slot: usize) {
        if let Some([first, second]) = self.recall.killers.get_mut(slot)
            && *first != Some(reply)
        {
            *second = first.replace(reply);
        }
        if let Some(count) = self.recall.refuted.get_mut(squares(reply)) {
            *count += 1;
        }
    }
}

/// A number for the origin and the target of a move.
fn squares(m: Move) -> usize {
    m.from().map_or(0, |from| from.to_usize() << 6) | m.to().to_usize()
}
