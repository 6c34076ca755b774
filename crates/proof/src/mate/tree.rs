//! The table of the proof-number search.

use super::{
    hash::{Table, Value},
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

type Three = [u8; 3];

const fn three(number: u32) -> Three {
    let [a, b, c, over] = number.to_le_bytes();
    if over == 0 { [a, b, c] } else { [u8::MAX; 3] }
}

const fn number([a, b, c]: Three) -> u32 {
    u32::from_le_bytes([a, b, c, 0])
}

/// An entry in bytes, so that with its key it takes 32 of them.
#[derive(Clone, Copy, Debug, Default)]
struct Kept {
    settled: [u8; 8],
    best: [u8; 2],
    pn: Three,
    dn: Three,
    second: Three,
    rest: Three,
    length: u8,
    reach: u8,
    /// The kind in the low two bits, above it the logarithm of the nodes it took, from
    /// 1 up.
    kind: u8,
}

impl Value for Kept {
    fn worth(&self) -> u32 {
        u32::from(self.kind >> 2)
    }
}

const OPEN: u8 = 0;
const WON: u8 = 1;
const LOST: u8 = 2;
const LOST_HERE: u8 = 3;

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
        Some(Entry {
            state: kept.state(),
            best: Packed::from_le_bytes(kept.best),
            reach: kept.reach,
            settled: u64::from_le_bytes(kept.settled),
            longest: kept.length,
            others: Others {
                second: number(kept.second),
                rest: number(kept.rest),
                count: kept.length,
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
        let effort = ((64 - effort.leading_zeros()) as u8 + bonus).min(63);
        if let Some(kept) = self.0.entry(key) {
            *kept = Kept::new(entry, effort);
        }
    }
}

impl Kept {
    fn new(entry: Entry, effort: u8) -> Self {
        let mut kept = Self {
            settled: entry.settled.to_le_bytes(),
            best: entry.best.to_le_bytes(),
            length: entry.longest.max(entry.others.count),
            reach: entry.reach,
            ..Self::default()
        };
        let kind = match entry.state {
            State::Open(pn, dn) => {
                kept.pn = three(pn);
                kept.dn = three(dn);
                kept.second = three(entry.others.second);
                kept.rest = three(entry.others.rest);
                OPEN
            }
            State::Won(length) => {
                kept.length = u8::try_from(length).unwrap_or(u8::MAX);
                WON
            }
            State::Lost => LOST,
            State::LostHere(pin) => {
                let [a, b, c, d] = pin.visit.to_le_bytes();
                kept.pn = [a, b, c];
                kept.dn = [d, 0, 0];
                kept.second = three(u32::from(pin.deep));
                kept.rest = three(u32::from(pin.shallow));
                LOST_HERE
            }
        };
        kept.kind = kind | effort << 2;
        kept
    }

    #[inline]
    fn state(&self) -> State {
        match self.kind & 3 {
            WON => State::Won(u16::from(self.length)),
            LOST => State::Lost,
            LOST_HERE => {
                let [a, b, c] = self.pn;
                let [deep_low, deep_high, _] = self.second;
                let [shallow_low, shallow_high, _] = self.rest;
                State::LostHere(Pin {
                    visit: u32::from_le_bytes([a, b, c, self.dn[0]]),
                    deep: u16::from_le_bytes([deep_low, deep_high]),
                    shallow: u16::from_le_bytes([shallow_low, shallow_high]),
                })
            }
            _ => State::Open(number(self.pn), number(self.dn)),
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
