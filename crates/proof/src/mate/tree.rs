//! The table of the proof-number search.

use super::{key::Key, table::Packed};

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

/// 32 bytes. The low 48 bits of the key are compared; its high bits have chosen the
/// bucket, 16 of them or more except in the smallest tables.
#[derive(Clone, Copy, Debug, Default)]
struct Slot {
    settled: u64,
    key_low: u32,
    key_high: u16,
    best: Packed,
    pn: Three,
    dn: Three,
    second: Three,
    rest: Three,
    generation: u8,
    length: u8,
    reach: u8,
    /// The kind in the low two bits, above it the logarithm of the nodes it took.
    kind: u8,
}

impl Slot {
    #[inline]
    const fn holds(&self, key: Key, generation: u8) -> bool {
        self.key_low == key as u32
            && self.key_high == (key >> 32) as u16
            && self.generation == generation
    }
}

const OPEN: u8 = 0;
const WON: u8 = 1;
const LOST: u8 = 2;
const LOST_HERE: u8 = 3;

/// Two slots share a cache line.
#[derive(Clone, Copy, Debug, Default)]
#[repr(align(64))]
struct Bucket([Slot; 2]);

/// A small question uses a small part of the table, which stays in the processor's
/// cache: it starts with the first 2 to the power of so many buckets.
const FIRST_BITS: u32 = 16;

/// When it is half full, the part grows by 2 to the power of so many.
const GROWTH_BITS: u32 = 2;

/// A table of [`Entry`]s that grows up to a fixed size.
#[derive(Debug)]
pub(crate) struct Tree {
    buckets: Vec<Bucket>,
    /// The table never takes more than 2 to the power of so many buckets.
    most_bits: u32,
    /// It uses the first 2 to the power of so many.
    bits: u32,
    /// Slots in use.
    used: usize,
    generation: u8,
}

impl Tree {
    /// A table that never takes more than `bytes`, allocated as it grows.
    pub(crate) const fn new(bytes: usize) -> Self {
        let buckets = bytes / size_of::<Bucket>();
        Self {
            buckets: Vec::new(),
            most_bits: if buckets < 2 { 1 } else { buckets.ilog2() },
            bits: 0,
            used: 0,
            generation: 0,
        }
    }

    /// Allocates the part in use, and not a byte more.
    fn make_room(&mut self) {
        let count = 1_usize << self.bits;
        if self.buckets.len() < count {
            self.buckets.reserve_exact(count - self.buckets.len());
            self.buckets.resize(count, Bucket::default());
        }
    }

    /// Forgets everything.
    pub(crate) fn clear(&mut self) {
        self.bits = self.most_bits.min(FIRST_BITS);
        self.make_room();
        self.used = 0;
        self.generation = self.generation.wrapping_add(1);
        if self.generation == 0 {
            self.buckets.fill(Bucket::default());
            self.generation = 1;
        }
    }

    #[inline]
    const fn index(&self, key: Key) -> usize {
        (key >> (64 - self.bits)) as usize
    }

    /// Spreads the entries over a larger part of the table.
    fn grow(&mut self) {
        let old_bits = self.bits;
        self.bits = (old_bits + GROWTH_BITS).min(self.most_bits);
        self.make_room();
        let gained = self.bits - old_bits;
        // From the last bucket down, so that none is written before it is read.
        for from in (0..1_usize << old_bits).rev() {
            let Some(bucket) = self.buckets.get_mut(from) else {
                continue;
            };
            let Bucket(slots) = std::mem::take(bucket);
            for slot in slots {
                if slot.generation != self.generation {
                    continue;
                }
                // The bucket holds the high 16 bits of the key at least, the slot the
                // other 48.
                let low = u64::from(slot.key_high) << 32 | u64::from(slot.key_low);
                let more = (low << old_bits) >> (64 - gained);
                if let Some(Bucket([first, second])) =
                    self.buckets.get_mut(from << gained | more as usize)
                {
                    if first.generation == self.generation {
                        *second = slot;
                    } else {
                        *first = slot;
                    }
                }
            }
        }
    }

    /// Brings the position's bucket into the cache. Many such calls in a row overlap
    /// their waiting for memory, which looking up one by one does not.
    #[inline]
    pub(crate) fn touch(&self, key: Key) -> u8 {
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
            .find(|slot| slot.holds(key, self.generation))?;
        let state = match slot.kind & 3 {
            WON => State::Won(u16::from(slot.length)),
            LOST => State::Lost,
            LOST_HERE => {
                let [a, b, c] = slot.pn;
                let [deep_low, deep_high, _] = slot.second;
                let [shallow_low, shallow_high, _] = slot.rest;
                State::LostHere(Pin {
                    visit: u32::from_le_bytes([a, b, c, slot.dn[0]]),
                    deep: u16::from_le_bytes([deep_low, deep_high]),
                    shallow: u16::from_le_bytes([shallow_low, shallow_high]),
                })
            }
            _ => State::Open(number(slot.pn), number(slot.dn)),
        };
        Some(Entry {
            state,
            best: slot.best,
            reach: slot.reach,
            settled: slot.settled,
            longest: slot.length,
            others: Others {
                second: number(slot.second),
                rest: number(slot.rest),
                count: slot.length,
            },
        })
    }

    /// Keeps what is known of the position, which took `effort` nodes to find.
    pub(crate) fn put(&mut self, key: Key, entry: Entry, effort: u64) {
        if self.bits < self.most_bits && self.used >= 1 << self.bits {
            self.grow();
        }
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
        let chosen = usize::from(
            !first.holds(key, generation)
                && (second.holds(key, generation) || worth(second) < worth(first)),
        );
        // Proofs are wanted again when the proof is written down.
        let bonus = if matches!(entry.state, State::Won(_)) {
            4
        } else {
            0
        };
        let effort = ((64 - effort.leading_zeros()) as u8 + bonus).min(62);
        let mut slot = Slot {
            settled: entry.settled,
            key_low: key as u32,
            key_high: (key >> 32) as u16,
            best: entry.best,
            generation,
            length: entry.longest.max(entry.others.count),
            reach: entry.reach,
            ..Slot::default()
        };
        let kind = match entry.state {
            State::Open(pn, dn) => {
                slot.pn = three(pn);
                slot.dn = three(dn);
                slot.second = three(entry.others.second);
                slot.rest = three(entry.others.rest);
                OPEN
            }
            State::Won(length) => {
                slot.length = u8::try_from(length).unwrap_or(u8::MAX);
                WON
            }
            State::Lost => LOST,
            State::LostHere(pin) => {
                let [a, b, c, d] = pin.visit.to_le_bytes();
                slot.pn = [a, b, c];
                slot.dn = [d, 0, 0];
                slot.second = three(u32::from(pin.deep));
                slot.rest = three(u32::from(pin.shallow));
                LOST_HERE
            }
        };
        slot.kind = kind | effort << 2;
        if let Some(old) = slots.get_mut(chosen) {
            self.used += usize::from(old.generation != generation);
            *old = slot;
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
    fn entries_survive_growth() {
        let mut tree = Tree::new(64 << 20);
        tree.clear();
        let key = |number: u64| number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let count = 300_000;
        for number in 1..count {
            tree.put(
                key(number),
                Entry::leaf(State::Open(number as u32, 2), 7),
                1,
            );
        }
        assert_eq!(tree.bits, 20);
        let kept = (1..count)
            .filter(|&number| {
                tree.get(key(number))
                    .is_some_and(|entry| entry.state == State::Open(number as u32, 2))
            })
            .count();
        // Some fall to others with the same bucket.
        assert!(kept > 250_000, "{kept}");
        assert!((count..2 * count).all(|number| tree.get(key(number)).is_none()));
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
                others: Others::default(),
            };
            tree.put(key, entry, u64::MAX);
            let found = tree.get(key).unwrap();
            assert_eq!(found.state, state);
            assert_eq!((found.best, found.reach, found.settled), (99, 40, 1 << 63));
        }
    }
}
