//! What the proof-number search asks of a position.

use shakmaty::Position;

use super::{
    exact::{FIFTY_MOVES, KeyedPosition},
    key::{Key, with_number},
};

/// The longest mate within which the bounded searches look.
pub(crate) const LONGEST: u32 = 200;

/// No bound on the number of moves.
pub(crate) const ANY: u32 = u32::MAX;

/// What is asked of a position: does the attacker, who is to move or not, mate
/// within `left` more moves of his own?
#[derive(Clone, Copy, Debug)]
pub(crate) struct Goal {
    pub(crate) attacking: bool,
    pub(crate) left: u32,
}

impl Goal {
    /// The attacker, to move, mates within `left` moves.
    pub(crate) const fn attack(left: u32) -> Self {
        Self {
            attacking: true,
            left,
        }
    }

    /// The defender, to move, is mated within `left` more moves of the attacker.
    pub(crate) const fn defend(left: u32) -> Self {
        Self {
            attacking: false,
            left,
        }
    }

    pub(crate) const fn is_bounded(self) -> bool {
        self.left != ANY
    }

    /// The question after a move.
    pub(crate) const fn next(self) -> Self {
        Self {
            attacking: !self.attacking,
            left: if self.attacking && self.is_bounded() {
                self.left.saturating_sub(1)
            } else {
                self.left
            },
        }
    }

    /// The number under which facts are kept: from 1 up.
    pub(crate) const fn measure(self) -> u32 {
        self.left + if self.attacking { 0 } else { 1 }
    }

    /// The key under which facts are kept: with the fifty-move clock as soon as it
    /// can run out on the way.
    pub(crate) const fn fact_key(self, key: Key, clock: u32) -> Key {
        let plies = 2 * self.left + if self.attacking { 0 } else { 1 };
        if clock.saturating_add(plies) <= FIFTY_MOVES {
            key
        } else {
            with_number(key, clock)
        }
    }

    /// The key under which the search keeps its numbers about a position.
    pub(crate) fn key(self, place: &KeyedPosition) -> Key {
        self.tree_key(place.key, place.position.halfmoves())
    }

    /// The same for a position that has this key and clock.
    pub(crate) const fn tree_key(self, key: Key, clock: u32) -> Key {
        if self.is_bounded() {
            with_number(self.fact_key(key, clock), self.left + 1000)
        } else {
            key
        }
    }
}
