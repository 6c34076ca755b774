//! The table of the proof-number search.

use super::{
    hash::{Slot, Table, Tag},
    key::Key,
    table::Packed,
};

/// Greater than any proof or disproof number. Numbers take three bytes in the table.
pub(crate) const INFINITE: u32 = (1 << 24) - 1;

/// What a disproof that rests on the path needs: the ancestors that were met again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pin {
    /// The visit of the deepest of them.
    pub(crate) visit: u32,
    /// The depth of the deepest of them.
    pub(crate) deep: u16,
    /// The depth of the shallowest of them.
    pub(crate) shallow: u16,
}

/// What is known of a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum State {
    /// Neither proved nor disproved: proof number and disproof number.
    Open(u32, u32),
    /// The attacker mates within so many moves.
    Won(u16),
    /// The attacker never mates.
    Lost,
    /// The attacker does not mate without passing through an ancestor again.
    LostHere(Pin),
}

/// What the table keeps of a position.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entry {
    pub(crate) state: State,
    /// The move that proves it, or while it is open, the move to go on with.
    pub(crate) best: Packed,
    /// How many of its moves have been looked at, in their fixed order.
    pub(crate) reach: u8,
    /// Which of the first 64 of them are settled for good, the wrong way for the side
    /// that moves: they need not be looked up again.
    pub(crate) settled: u64,
    /// The longest mate after one of the settled moves.
    pub(crate) longest: u8,
    /// What the other moves say while the position is open.
    pub(crate) others: Others,
}

/// What an open position's moves say without the best of them, so that a visit can go
/// on with the best and leave the others alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Others {
    /// The second best number.
    pub(crate) second: u32,
    /// The sum of the proof numbers, or the greatest disproof number.
    pub(crate) rest: u32,
    /// How many there are, 255 for more.
    pub(crate) count: u8,
}

impl Entry {
    /// An entry of a position that was looked at and no further.
    pub(crate) const fn leaf(state: State, best: Packed) -> Self {
        Self {
            state,
            best,
            reach: 0,
            settled: 0,
            longest: 0,
            others: Others {
                second: 0,
                rest: 0,
                count: 0,
            },
        }
    }
}

/// An entry in four words, which are read and written whole.
#[derive(Clone, Copy, Debug, Default)]
struct Kept {
    settled: u64,
    /// The proof number and the disproof number, three bytes each, above them the best
    /// move.
    numbers: u64,
    /// The second best number and the rest, three bytes each, above them the length and
    /// the reach.
    others: u64,
    /// In the low byte the kind, in two bits, and above it the logarithm of the nodes it
    /// took, from 1 up; above that the tag.
    tag: Tag,
}

impl Slot for Kept {
    #[inline]
    fn new(tag: Tag) -> Self {
        Self {
            tag,
            ..Self::default()
        }
    }

    #[inline]
    fn tag(&self) -> Tag {
        self.tag & !0xff
    }

    #[inline]
    fn worth(&self) -> u32 {
        self.tag as u32 >> 2 & 0x3f
    }
}

/// Two numbers of three bytes and a small one above them.
const fn join(low: u32, high: u32, above: u16) -> u64 {
    const fn three(number: u32) -> u64 {
        if number > INFINITE {
            INFINITE as u64
        } else {
            number as u64
        }
    }
    three(low) | three(high) << 24 | (above as u64) << 48
}

const fn low(joined: u64) -> u32 {
    joined as u32 & INFINITE
}

const fn high(joined: u64) -> u32 {
    (joined >> 24) as u32 & INFINITE
}

const fn above(joined: u64) -> u16 {
    (joined >> 48) as u16
}

const OPEN: u64 = 0;
const WON: u64 = 1;
const LOST: u64 = 2;
const LOST_HERE: u64 = 3;

/// A table of [`Entry`]s that grows up to a fixed size.
#[derive(Debug)]
pub(crate) struct Tree(Table<Kept, 2>);

impl Tree {
    /// A table that never takes more than `bytes`.
    pub(crate) const fn new(bytes: usize) -> Self {
        Self(Table::new(bytes))
    }

    /// Forgets everything.
    pub(crate) fn clear(&mut self) {
        self.0.clear();
    }

    /// Begins to bring what is known of the position into the processor's cache.
    #[inline]
    pub(crate) fn prefetch(&self, key: Key) {
        self.0.prefetch(key);
    }

    /// What is known of the position.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Option<Entry> {
        let kept = self.0.get(key)?;
        let [length, reach] = above(kept.others).to_le_bytes();
        Some(Entry {
            state: kept.state(),
            best: above(kept.numbers),
            reach,
            settled: kept.settled,
            longest: length,
            others: Others {
                second: low(kept.others),
                rest: high(kept.others),
                count: length,
            },
        })
    }

    /// Whether the position is proved, disproved or open.
    #[inline]
    pub(crate) fn state(&self, key: Key) -> Option<State> {
        Some(self.0.get(key)?.state())
    }

    /// Keeps what is known of the position, which took `effort` nodes to find.
    pub(crate) fn put(&mut self, key: Key, entry: Entry, effort: u64) {
        // Proofs are wanted again when the proof is written down.
        let bonus = if matches!(entry.state, State::Won(_)) {
            5
        } else {
            1
        };
        let effort = (u64::from(64 - effort.leading_zeros()) + bonus).min(63);
        if let Some(kept) = self.0.entry(key) {
            *kept = Kept::of(entry, effort, kept.tag());
        }
    }
}

impl Kept {
    #[inline]
    fn of(entry: Entry, effort: u64, tag: Tag) -> Self {
        let Others {
            second,
            rest,
            count,
        } = entry.others;
        let mut length = entry.longest.max(count);
        let (kind, numbers, others) = match entry.state {
            State::Open(pn, dn) => (OPEN, (pn, dn), (second, rest)),
            State::Won(moves) => {
                length = u8::try_from(moves).unwrap_or(u8::MAX);
                (WON, (0, 0), (0, 0))
            }
            State::Lost => (LOST, (0, 0), (0, 0)),
            State::LostHere(pin) => {
                let visit = (pin.visit & INFINITE, pin.visit >> 24);
                let depths = (u32::from(pin.deep), u32::from(pin.shallow));
                (LOST_HERE, visit, depths)
            }
        };
        let above = u16::from_le_bytes([length, entry.reach]);
        Self {
            settled: entry.settled,
            numbers: join(numbers.0, numbers.1, entry.best),
            others: join(others.0, others.1, above),
            tag: tag | effort << 2 | kind,
        }
    }

    #[inline]
    const fn state(&self) -> State {
        let (first, second) = (low(self.numbers), high(self.numbers));
        match self.tag & 3 {
            WON => State::Won(above(self.others) & 0xff),
            LOST => State::Lost,
            LOST_HERE => State::LostHere(Pin {
                visit: first | second << 24,
                deep: low(self.others) as u16,
                shallow: high(self.others) as u16,
            }),
            _ => State::Open(first, second),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_come_back_as_they_were_put() {
        let mut tree = Tree::new(1 << 16);
        tree.clear();
        let pin = Pin {
            visit: 77,
            deep: 12,
            shallow: 3,
        };
        for (key, state) in [
            State::Open(5, INFINITE - 1),
            State::Won(165),
            State::Lost,
            State::LostHere(pin),
        ]
        .into_iter()
        .enumerate()
        {
            let key = (key as u64 + 1) << 60;
            let entry = Entry {
                state,
                best: 99,
                reach: 40,
                settled: 1 << 63,
                longest: 4,
                others: Others::default(),
            };
            tree.put(key, entry, u64::MAX);
            let found = tree.get(key).unwrap();
            assert_eq!(found.state, state);
            assert_eq!((found.best, found.reach, found.settled), (99, 40, 1 << 63));
        }
    }
}
