//! The definition of a forced mate, written out with the rules library and nothing
//! else, to hold against the prover. Slow; remembers positions to be usable.

use std::collections::HashMap;

use shakmaty::{Chess, Move, Position};

/// Exhaustive search for mates within a number of moves.
#[derive(Default)]
pub(crate) struct Brute {
    known: HashMap<(Chess, u32, u32), bool>,
    replies: HashMap<u32, Move>,
}

impl Brute {
    /// Whether the side to move mates within `left` moves.
    pub(crate) fn mates(&mut self, position: &Chess, left: u32) -> bool {
        if left == 0 {
            return false;
        }
        // The clock matters only when it can run out on the way.
        let clock = if position.halfmoves() + 2 * left > 100 {
            position.halfmoves()
        } else {
            0
        };
        let key = (position.clone(), clock, left);
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let found = (left > 1 && self.mates(position, left - 1))
            || position
                .legal_moves()
                .into_iter()
                .any(|m| self.mates_with(position, m, left));
        if left > 1 {
            self.known.insert(key, found);
        }
        found
    }

    /// Whether the side to move mates within `left` moves that begin with `m`.
    pub(crate) fn mates_with(&mut self, position: &Chess, m: Move, left: u32) -> bool {
        self.mated(&position.clone().play(m).unwrap(), left - 1)
    }

    /// Whether the side to move is mated within `left` moves of the other.
    pub(crate) fn mated(&mut self, position: &Chess, left: u32) -> bool {
        let mut replies = position.legal_moves();
        if replies.is_empty() {
            return position.is_check();
        }
        if left == 0 || position.halfmoves() >= 100 {
            return false;
        }
        // The reply that helped last time is tried first; this changes no answer.
        let last = self.replies.get(&left).copied();
        replies.sort_by_key(|&reply| Some(reply) != last);
        replies.into_iter().all(|reply| {
            let next = position.clone().play(reply).unwrap();
            let mated = next.halfmoves() < 100 && self.mates(&next, left);
            if !mated {
                self.replies.insert(left, reply);
            }
            mated
        })
    }

    /// The least number of moves, at most `limit`, within which the side to move
    /// mates.
    pub(crate) fn least(&mut self, position: &Chess, limit: u32) -> Option<u32> {
        (1..=limit).find(|&left| self.mates(position, left))
    }
}
