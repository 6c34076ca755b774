//! The table of the proof-number search.

use super::{
    forest::At,
    hash::{HashTable, Slot, Tag},
    key::Key,
    table::Packed,
};

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

/// What the table keeps of a position whose moves were listed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entry {
    pub(crate) state: State,
    /// The attacker's move that proves it.
    pub(crate) best: Packed,
    /// Where its moves are.
    pub(crate) block: At,
}

/// An entry in five half words, so that three fit into a cache line.
#[derive(Clone, Copy, Debug, Default)]
struct Kept {
    /// In the low byte the kind, in two bits, and above it the logarithm of the nodes it
    /// took, from 1 up; above that the tag, which goes on in the next.
    low: u32,
    high: u32,
    /// The two numbers, the length and the best move, or the pin.
    first: u32,
    second: u32,
    block: At,
}

impl Slot for Kept {
    #[inline]
    fn new(tag: Tag) -> Self {
        Self {
            low: tag as u32,
            high: (tag >> 32) as u32,
            ..Self::default()
        }
    }

    #[inline]
    fn tag(&self) -> Tag {
        Tag::from(self.high) << 32 | Tag::from(self.low & !0xff)
    }

    #[inline]
    fn worth(&self) -> u32 {
        self.low >> 2 & 0x3f
    }
}

const OPEN: u32 = 0;
const WON: u32 = 1;
const LOST: u32 = 2;
const LOST_HERE: u32 = 3;

/// A table of [`Entry`]s that grows up to a fixed size.
#[derive(Debug)]
pub(crate) struct Tree(HashTable<Kept, 3>);

impl Tree {
    /// A table that never takes more than `bytes`.
    pub(crate) const fn new(bytes: usize) -> Self {
        Self(HashTable::new(bytes))
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
            best: (kept.second >> 16) as Packed,
            block: kept.block,
        })
    }

    /// Whether the position is proved, disproved or open.
    #[inline]
    pub(crate) fn state(&self, key: Key) -> Option<State> {
        Some(self.0.get(key)?.state())
    }

    /// Keeps what is known of the position, which took `effort` nodes to find, as the
    /// logarithm of [`effort_of`].
    pub(crate) fn put(&mut self, key: Key, entry: Entry, effort: u8) {
        // Proofs are wanted again when the proof is written down.
        let bonus = if matches!(entry.state, State::Won(_)) {
            5
        } else {
            1
        };
        let effort = u32::from((effort + bonus).min(63));
        if let Some(kept) = self.0.entry(key) {
            let (kind, first, second) = match entry.state {
                State::Open(pn, dn) => (OPEN, pn, dn),
                State::Won(length) => (WON, length.into(), u32::from(entry.best) << 16),
                State::Lost => (LOST, 0, 0),
                State::LostHere(Pin {
                    visit,
                    deep,
                    shallow,
                }) => (LOST_HERE, visit, u32::from(deep) | u32::from(shallow) << 16),
            };
            kept.low = kept.low & !0xff | effort << 2 | kind;
            kept.first = first;
            kept.second = second;
            kept.block = entry.block;
        }
    }

    /// Notes that a block was moved.
    pub(crate) fn moved(&mut self, key: Key, block: At) {
        if let Some(kept) = self.0.get_mut(key) {
            kept.block = block;
        }
    }
}

/// The logarithm of a number of nodes, from 0 up.
pub(crate) const fn effort_of(nodes: u64) -> u8 {
    (64 - nodes.leading_zeros()) as u8
}

impl Kept {
    #[inline]
    const fn state(&self) -> State {
        match self.low & 3 {
            WON => State::Won(self.first as u16),
            LOST => State::Lost,
            LOST_HERE => State::LostHere(Pin {
                visit: self.first,
                deep: self.second as u16,
                shallow: (self.second >> 16) as u16,
            }),
            _ => State::Open(self.first, self.second),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mate::forest::INFINITE;

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
                block: 1 << 31,
            };
            tree.put(key, entry, 60);
            let found = tree.get(key).unwrap();
            assert_eq!((found.state, found.block), (state, 1 << 31));
            if let State::Won(_) = state {
                assert_eq!(found.best, 99);
            }
            tree.moved(key, 7);
            assert_eq!(tree.get(key).unwrap().block, 7);
        }
    }
}
