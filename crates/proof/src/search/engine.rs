//! What a search knows and how it moves: shared by root, tree and quiescence.

use shakmaty::zobrist::Zobrist64;
use shakmaty::{Chess, EnPassantMode, Move, Position};

use super::order::{Footprint, Learned, footprint};
use super::table::TranspositionTable;
use super::value::{DEEPEST, MATE};
use crate::budget::Budget;

/// One search from a root.
pub(super) struct Search<'a, 'b> {
    pub(super) table: &'a mut TranspositionTable,
    pub(super) learned: &'a mut Learned,
    budget: &'a mut Budget<'b>,
    /// The budget may not be spent beyond this.
    last_node: u64,
    /// The hashes of the positions since the root, the current one last.
    path: Vec<u64>,
    /// The best line from each ply.
    pub(super) lines: Vec<Vec<Move>>,
    /// The estimate at each ply of the path.
    pub(super) estimates: Vec<i32>,
    /// The budget ran out or the work was stopped; values since then mean nothing.
    pub(super) stopped: bool,
}

/// A position in the tree with what is known of it.
#[derive(Clone, Copy)]
pub(super) struct Visit<'p> {
    pub(super) position: &'p Chess,
    pub(super) hash: u64,
    pub(super) ply: usize,
    /// The move that led here.
    pub(super) last: Option<Footprint>,
    /// The side that moved last passed.
    pub(super) passed: bool,
}

impl<'a, 'b> Search<'a, 'b> {
    /// A search that spends at most `limit` nodes of the budget. `path` has the hashes of
    /// the positions before the root, and of the root.
    pub(super) fn new(
        table: &'a mut TranspositionTable,
        learned: &'a mut Learned,
        budget: &'a mut Budget<'b>,
        limit: u64,
        path: Vec<u64>,
    ) -> Self {
        Self {
            table,
            learned,
            last_node: budget.spent().saturating_add(limit),
            budget,
            path,
            lines: vec![Vec::new(); DEEPEST + 2],
            estimates: vec![0; DEEPEST + 2],
            stopped: false,
        }
    }

    /// Nodes spent of the budget, by this search and before it.
    pub(super) fn spent(&self) -> u64 {
        self.budget.spent()
    }

    pub(super) fn spend(&mut self) -> bool {
        if self.stopped {
            return false;
        }
        if self.budget.spent() >= self.last_node || !self.budget.spend() {
            self.stopped = true;
            return false;
        }
        true
    }

    /// What `value` says of the position after `m`.
    pub(super) fn below(
        &mut self,
        place: Visit<'_>,
        m: Move,
        value: impl FnOnce(&mut Self, Visit<'_>) -> i32,
    ) -> i32 {
        let hash = place.position.update_zobrist_hash(
            Zobrist64(place.hash),
            m,
            EnPassantMode::PseudoLegal,
        );
        let mut next = place.position.clone();
        next.play_unchecked(m);
        let child = Visit {
            position: &next,
            hash: hash.map_or_else(|| hash_of(&next), |hash| hash.0),
            ply: place.ply + 1,
            last: Some(footprint(place.position.turn(), m)),
            passed: false,
        };
        self.at(child, value)
    }

    /// What `value` says of the position after passing; `None` where passing is not
    /// possible.
    pub(super) fn passing(
        &mut self,
        place: Visit<'_>,
        value: impl FnOnce(&mut Self, Visit<'_>) -> i32,
    ) -> Option<i32> {
        let next = place.position.clone().swap_turn().ok()?;
        if !self.spend() {
            return Some(0);
        }
        let child = Visit {
            position: &next,
            hash: hash_of(&next),
            ply: place.ply + 1,
            last: None,
            passed: true,
        };
        Some(self.at(child, value))
    }

    fn at(&mut self, child: Visit<'_>, value: impl FnOnce(&mut Self, Visit<'_>) -> i32) -> i32 {
        self.path.push(child.hash);
        let score = value(self, child);
        self.path.pop();
        score
    }

    /// Puts `m` before the best line of the next ply.
    pub(super) fn keep_line(&mut self, ply: usize, m: Move) {
        let Some((here, rest)) = self.lines.get_mut(ply..).and_then(<[_]>::split_first_mut) else {
            return;
        };
        here.clear();
        here.push(m);
        if let Some(next) = rest.first() {
            here.extend_from_slice(next);
        }
    }

    /// Whether the position occurred before on the path, or is drawn by the rules.
    pub(super) fn is_draw(&self, place: &Visit<'_>) -> bool {
        let position = place.position;
        let back = position.halfmoves() as usize;
        if back >= 100 || position.is_insufficient_material() {
            return true;
        }
        self.path
            .iter()
            .rev()
            .skip(2)
            .step_by(2)
            .take(back / 2)
            .any(|&hash| hash == place.hash)
    }
}

pub(super) fn hash_of(position: &Chess) -> u64 {
    position
        .zobrist_hash::<Zobrist64>(EnPassantMode::PseudoLegal)
        .0
}

/// Plies as a number to compute with.
pub(super) fn plies(ply: usize) -> i32 {
    i32::try_from(ply).unwrap_or(i32::MAX)
}

/// The score of being mated at `ply`.
pub(super) fn mated_at(ply: usize) -> i32 {
    -MATE + plies(ply)
}
