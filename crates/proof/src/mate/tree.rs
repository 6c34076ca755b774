//! The table of the proof-number search.

use super::{key::Key, table::Packed};

/// Greater than any proof or disproof number.
pub(crate) const INFINITE: u32 = 1 << 30;

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
    /// The move that proves it.
    pub(crate) best: Packed,
    /// How many of its moves have been looked at, in their fixed order.
    pub(crate) reach: u8,
    /// Which of the first 64 of them are settled for good, the wrong way for the side
    /// that moves: they need not be looked up again.
    pub(crate) settled: u64,
    /// The longest mate after one of the settled moves.
    pub(crate) longest: u16,
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
        }
    }
}

#[derive(Clone, Copy, Debug, Default)]
struct Slot {
    key: Key,
    settled: u64,
    a: u32,
    b: u32,
    best: Packed,
    generation: u16,
    length: u16,
    reach: u8,
    /// The kind in the low two bits, above it the logarithm of the nodes it took.
    kind: u8,
}

const OPEN: u8 = 0;
const WON: u8 = 1;
const LOST: u8 = 2;
const LOST_HERE: u8 = 3;

/// Two slots share a cache line.
#[derive(Clone, Copy, Debug, Default)]
#[repr(align(64))]
struct Bucket([Slot; 2]);

/// A table of [`Entry`]s, of fixed size.
#[derive(Debug)]
pub(crate) struct Tree {
    bytes: usize,
    buckets: Vec<Bucket>,
    generation: u16,
}

impl Tree {
    /// A table that never takes more than `bytes`, allocated on first use.
    pub(crate) const fn new(bytes: usize) -> Self {
        Self {
            bytes,
            buckets: Vec::new(),
            generation: 0,
        }
    }

    /// Forgets everything.
    pub(crate) fn clear(&mut self) {
        if self.buckets.is_empty() {
            let count = self.bytes / size_of::<Bucket>();
            self.buckets = vec![Bucket::default(); count.max(1)];
        }
        self.generation = self.generation.wrapping_add(1);
        if self.generation == 0 {
            self.buckets.fill(Bucket::default());
            self.generation = 1;
        }
    }

    #[inline]
    fn index(&self, key: Key) -> usize {
        ((u128::from(key) * self.buckets.len() as u128) >> 64) as usize
    }

    /// Brings the position's bucket into the cache. Many such calls in a row overlap
    /// their waiting for memory, which looking up one by one does not.
    #[inline]
    pub(crate) fn touch(&self, key: Key) -> u16 {
        self.buckets
            .get(self.index(key))
            .map_or(0, |bucket| bucket.0[0].generation)
    }

    /// What is known of the position.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Option<Entry> {
        let bucket = self.buckets.get(self.index(key))?;
        let slot = bucket
            .0
            .iter()
            .find(|slot| slot.key == key && slot.generation == self.generation)?;
        let state = match slot.kind & 3 {
            WON => State::Won(slot.length),
            LOST => State::Lost,
            LOST_HERE => State::LostHere(Pin {
                visit: slot.a,
                deep: (slot.b >> 16) as u16,
                shallow: slot.b as u16,
            }),
            _ => State::Open(slot.a, slot.b),
        };
        Some(Entry {
            state,
            best: slot.best,
            reach: slot.reach,
            settled: slot.settled,
            longest: slot.length,
        })
    }

    /// Keeps what is known of the position, which took `effort` nodes to find.
    pub(crate) fn put(&mut self, key: Key, entry: Entry, effort: u64) {
        let index = self.index(key);
        let generation = self.generation;
        let Some(Bucket(slots)) = self.buckets.get_mut(index) else {
            return;
        };
        let [first, second] = &*slots;
        let worth = |slot: &Slot| {
            if slot.generation == generation {
                1 + (slot.kind >> 2)
            } else {
                0
            }
        };
        let holds = |slot: &Slot| slot.generation == generation && slot.key == key;
        let chosen = usize::from(!holds(first) && (holds(second) || worth(second) < worth(first)));
        let (kind, a, b, length) = match entry.state {
            State::Open(pn, dn) => (OPEN, pn, dn, entry.longest),
            State::Won(length) => (WON, 0, 0, length),
            State::Lost => (LOST, 0, 0, 0),
            State::LostHere(pin) => (
                LOST_HERE,
                pin.visit,
                u32::from(pin.deep) << 16 | u32::from(pin.shallow),
                entry.longest,
            ),
        };
        // Proofs are wanted again when the proof is written down.
        let effort = (64 - effort.leading_zeros()) as u8 + if kind == WON { 4 } else { 0 };
        if let Some(slot) = slots.get_mut(chosen) {
            *slot = Slot {
                key,
                settled: entry.settled,
                a,
                b,
                best: entry.best,
                generation,
                length,
                reach: entry.reach,
                kind: kind | effort.min(62) << 2,
            };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cleared_table_knows_nothing_and_a_bucket_is_a_cache_line() {
        assert_eq!(size_of::<Bucket>(), 64);
        let mut tree = Tree::new(1 << 12);
        tree.clear();
        for key in 1..2000_u64 {
            tree.put(key << 40, Entry::leaf(State::Open(key as u32, 2), 7), key);
        }
        let kept = (1..2000_u64)
            .filter(|key| {
                tree.get(key << 40)
                    .is_some_and(|entry| entry.state == State::Open(*key as u32, 2))
            })
            .count();
        assert!(kept > 0 && kept <= 128);
        tree.clear();
        assert!((1..2000_u64).all(|key| tree.get(key << 40).is_none()));
    }

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
            };
            tree.put(key, entry, u64::MAX);
            let found = tree.get(key).unwrap();
            assert_eq!(found.state, state);
            assert_eq!((found.best, found.reach, found.settled), (99, 40, 1 << 63));
        }
    }
}
