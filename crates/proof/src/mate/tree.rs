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
    /// The move that proves it, or the reply that disproves it.
    pub(crate) best: Packed,
    /// How many of its moves have been looked at, in their fixed order.
    pub(crate) reach: u8,
}

#[derive(Clone, Copy, Debug, Default)]
struct Slot {
    key: Key,
    a: u32,
    b: u32,
    best: Packed,
    generation: u16,
    length: u16,
    kind: u8,
    reach: u8,
}

const OPEN: u8 = 0;
const WON: u8 = 1;
const LOST: u8 = 2;
const LOST_HERE: u8 = 3;
const WAYS: usize = 4;

#[derive(Clone, Copy, Debug, Default)]
struct Bucket {
    slots: [Slot; WAYS],
    effort: [u8; WAYS],
}

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

    /// What is known of the position.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Option<Entry> {
        let bucket = self.buckets.get(self.index(key))?;
        let slot = bucket
            .slots
            .iter()
            .find(|slot| slot.key == key && slot.generation == self.generation)?;
        let state = match slot.kind {
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
        })
    }

    /// Keeps what is known of the position, which took `effort` nodes to find.
    pub(crate) fn put(&mut self, key: Key, entry: Entry, effort: u64) {
        let index = self.index(key);
        let generation = self.generation;
        let Some(bucket) = self.buckets.get_mut(index) else {
            return;
        };
        let mut chosen = 0;
        let mut least = u8::MAX;
        for way in 0..WAYS {
            let slot = &bucket.slots[way];
            if slot.generation == generation && slot.key == key {
                chosen = way;
                break;
            }
            let worth = if slot.generation == generation {
                1 + bucket.effort[way]
            } else {
                0
            };
            if worth < least {
                least = worth;
                chosen = way;
            }
        }
        let (kind, a, b, length) = match entry.state {
            State::Open(pn, dn) => (OPEN, pn, dn, 0),
            State::Won(length) => (WON, 0, 0, length),
            State::Lost => (LOST, 0, 0, 0),
            State::LostHere(pin) => (
                LOST_HERE,
                pin.visit,
                u32::from(pin.deep) << 16 | u32::from(pin.shallow),
                0,
            ),
        };
        let slot = &mut bucket.slots[chosen];
        let effort = (64 - effort.leading_zeros()) as u8 + if kind == WON { 4 } else { 0 };
        *slot = Slot {
            key,
            a,
            b,
            best: entry.best,
            generation,
            length,
            kind,
            reach: entry.reach,
        };
        bucket.effort[chosen] = effort;
    }
}
