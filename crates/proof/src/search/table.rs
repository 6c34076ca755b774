//! The transposition table.

use shakmaty::{Move, Square};

use super::value::MATE_BOUND;

/// What a stored score says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bound {
    /// The true score is at most this.
    Upper,
    /// The true score is at least this.
    Lower,
    /// The score is exact for its depth.
    Exact,
}

impl Bound {
    /// What a search with the window from `alpha` to `beta` says by its score.
    pub(super) const fn of(score: i32, alpha: i32, beta: i32) -> Self {
        if score >= beta {
            Self::Lower
        } else if score > alpha {
            Self::Exact
        } else {
            Self::Upper
        }
    }
}

/// A move in 16 bits: from, to, promotion; 0 is none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Packed(u16);

impl Packed {
    pub(super) const NONE: Self = Self(0);

    pub(super) fn new(m: Move) -> Self {
        let from = m.from().unwrap_or(Square::A1) as u16;
        let promotion = m.promotion().map_or(0, |role| role as u16);
        Self(from | ((m.to() as u16) << 6) | (promotion << 12))
    }
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    key: u32,
    /// The search that wrote it; entries of other searches are as good as empty.
    search: u16,
    pub(super) best: Packed,
    pub(super) score: i16,
    pub(super) estimate: i16,
    pub(super) depth: i8,
    pub(super) bound: Bound,
}

impl Entry {
    /// The score, where it lies outside the window or is exact and its depth is at least
    /// `depth`: nothing need be searched then.
    pub(super) fn settled(&self, depth: i32, alpha: i32, beta: i32) -> Option<i32> {
        let score = i32::from(self.score);
        let settles = match self.bound {
            Bound::Exact => true,
            Bound::Lower => score >= beta,
            Bound::Upper => score <= alpha,
        };
        (settles && i32::from(self.depth) >= depth).then_some(score)
    }

    /// The score, where it tells more than `estimate` does.
    pub(super) fn refined(&self, estimate: i32) -> Option<i32> {
        let score = i32::from(self.score);
        match self.bound {
            Bound::Exact => true,
            Bound::Lower => score > estimate,
            Bound::Upper => score < estimate,
        }
        .then_some(score)
    }
}

const EMPTY: Entry = Entry {
    key: 0,
    search: 0,
    best: Packed::NONE,
    score: 0,
    estimate: 0,
    depth: i8::MIN,
    bound: Bound::Upper,
};

/// Two entries of one index: the first keeps the deepest, the second the latest.
type Bucket = [Entry; 2];

/// Positions already searched. A power of two of buckets.
#[derive(Debug)]
pub(super) struct TranspositionTable {
    buckets: Vec<Bucket>,
    /// How many buckets are used by the current search.
    used: usize,
    /// The number of the current search, from 1.
    search: u16,
}

/// So many buckets are made ready between two looks at the stop flag: 64 kilobytes.
const PIECE: usize = 1 << 11;

impl TranspositionTable {
    pub(super) const fn new() -> Self {
        Self {
            buckets: Vec::new(),
            used: 1,
            search: 0,
        }
    }

    /// Forgets everything and makes room for a search of `nodes`, within `memory` bytes.
    /// Ends early when `stopped` says so; the table is small then, but sound.
    pub(super) fn reset(&mut self, nodes: u64, memory: usize, stopped: impl Fn() -> bool) {
        let most = (memory / size_of::<Bucket>()).max(1);
        let most = 1 << most.ilog2();
        let wanted = usize::try_from(nodes)
            .unwrap_or(usize::MAX)
            .clamp(1 << 11, 1 << 40)
            .next_power_of_two()
            / 2;
        let used = wanted.min(most);
        // Old entries are told by their number, so that nothing need be cleared until
        // the numbers run out.
        if self.search == u16::MAX {
            self.buckets.clear();
            self.search = 0;
        }
        self.search += 1;
        self.used = 1;
        self.buckets
            .reserve_exact(used.saturating_sub(self.buckets.len()));
        while self.buckets.len() < used {
            if stopped() {
                return;
            }
            let next = (self.buckets.len() + PIECE).min(used);
            self.buckets.resize(next, [EMPTY; 2]);
        }
        self.used = used;
    }

    #[allow(clippy::cast_possible_truncation)]
    const fn place(&self, hash: u64) -> (usize, u32) {
        ((hash as usize) & (self.used - 1), (hash >> 32) as u32)
    }

    pub(super) fn get(&self, hash: u64, ply: i32) -> Option<Entry> {
        let (index, key) = self.place(hash);
        let mut entry = *self
            .buckets
            .get(index)?
            .iter()
            .find(|entry| entry.key == key && entry.search == self.search)?;
        // Mates are stored as seen from the position itself.
        let score = i32::from(entry.score);
        let here = if score >= MATE_BOUND {
            score - ply
        } else if score <= -MATE_BOUND {
            score + ply
        } else {
            score
        };
        entry.score = clamp(here);
        Some(entry)
    }

    #[allow(clippy::too_many_arguments)]
    pub(super) fn put(
        &mut self,
        hash: u64,
        ply: i32,
        depth: i32,
        score: i32,
        estimate: i32,
        bound: Bound,
        best: Packed,
    ) {
        let (index, key) = self.place(hash);
        let search = self.search;
        let Some([deep, late]) = self.buckets.get_mut(index) else {
            return;
        };
        let stored = if score >= MATE_BOUND {
            score + ply
        } else if score <= -MATE_BOUND {
            score - ply
        } else {
            score
        };
        let mut entry = Entry {
            key,
            search,
            best,
            score: clamp(stored),
            estimate: clamp(estimate),
            depth: i8::try_from(depth.clamp(-8, 120)).unwrap_or(0),
            bound,
        };
        let same = |old: &Entry| old.key == key && old.search == search;
        if same(deep) || deep.search != search || deep.depth <= entry.depth {
            if same(deep) && best == Packed::NONE {
                entry.best = deep.best;
            }
            if !same(deep) {
                *late = *deep;
            }
            *deep = entry;
        } else {
            if same(late) && best == Packed::NONE {
                entry.best = late.best;
            }
            *late = entry;
        }
    }
}

fn clamp(score: i32) -> i16 {
    i16::try_from(score).unwrap_or(if score > 0 { i16::MAX } else { i16::MIN })
}
