//! A hash table that grows a bucket at a time: linear hashing (Litwin, "Linear
//! hashing: a new tool for file and table addressing", VLDB 1980).
//!
//! No single step of it does much work, so that a search that is told to stop never
//! waits for the table; a small question uses a small table, which stays in the
//! processor's cache; and forgetting everything costs next to nothing.

use prefetch_index::prefetch_index;

use super::key::Key;

/// What a table keeps of a position, and the key under which it does. The default value
/// says nothing.
pub(crate) trait Slot: Copy + Default {
    /// A slot that says nothing yet, to be kept under this tag.
    fn new(tag: Tag) -> Self;

    /// What it was made with.
    fn tag(&self) -> Tag;

    /// How much it is worth to keep: 0 for what says nothing.
    fn worth(&self) -> u32;
}

/// A key whose low eight bits are zero. These have chosen the bucket, since a table has
/// [`FIRST`] buckets at least, except in tests.
pub(crate) type Tag = Key;

const fn tag(key: Key) -> Tag {
    key & !0xff
}

/// A cache line.
#[derive(Clone, Copy, Debug)]
#[repr(align(64))]
struct Bucket<S, const WAYS: usize>([S; WAYS]);

impl<S: Slot, const WAYS: usize> Default for Bucket<S, WAYS> {
    fn default() -> Self {
        Self([S::default(); WAYS])
    }
}

/// The table begins with so many buckets, a power of two.
const FIRST: usize = 256;

/// It grows when more than this part of the slots is in use, in eighths.
const FULL: usize = 3;

/// A table of slots by the keys of positions, `WAYS` in a bucket.
#[derive(Debug)]
pub(crate) struct HashTable<S, const WAYS: usize> {
    buckets: Vec<Bucket<S, WAYS>>,
    /// The table never has more buckets.
    most: usize,
    /// The least mask of low bits that covers all buckets.
    mask: usize,
    /// Slots in use.
    used: usize,
}

impl<S: Slot, const WAYS: usize> HashTable<S, WAYS> {
    /// A table that never takes more than `bytes`, but for a few kilobytes.
    pub(crate) const fn new(bytes: usize) -> Self {
        let most = bytes / size_of::<Bucket<S, WAYS>>();
        Self {
            buckets: Vec::new(),
            most: if most < FIRST { FIRST } else { most },
            mask: FIRST - 1,
            used: 0,
        }
    }

    /// Forgets everything.
    pub(crate) fn clear(&mut self) {
        self.buckets.clear();
        // Memory that is reserved and not yet written takes no room.
        self.buckets.reserve_exact(self.most);
        self.buckets.resize(FIRST, Bucket::default());
        self.mask = FIRST - 1;
        self.used = 0;
    }

    /// The bucket of a key: its low bits, one bit less where that bucket has not been
    /// split yet.
    #[inline]
    const fn index(&self, key: Key) -> usize {
        let index = key as usize & self.mask;
        if index < self.buckets.len() {
            index
        } else {
            index & (self.mask >> 1)
        }
    }

    /// Adds a bucket, which takes its share of the one that it is split from.
    fn grow(&mut self) {
        let new = self.buckets.len();
        if new > self.mask {
            self.mask = self.mask << 1 | 1;
        }
        let top = self.mask ^ (self.mask >> 1);
        let mut added = Bucket::default();
        if let Some(Bucket(old)) = self.buckets.get_mut(new ^ top) {
            for (from, to) in old.iter_mut().zip(&mut added.0) {
                if from.worth() > 0 && from.tag() & top as Key != 0 {
                    *to = std::mem::take(from);
                }
            }
        }
        self.buckets.push(added);
    }

    /// Begins to bring the key's bucket into the processor's cache.
    #[inline]
    pub(crate) fn prefetch(&self, key: Key) {
        prefetch_index(&self.buckets, self.index(key));
    }

    /// What is kept under the key.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Option<&S> {
        let tag = tag(key);
        let Bucket(slots) = self.buckets.get(self.index(key))?;
        let slot = slots.iter().find(|slot| slot.tag() == tag)?;
        (slot.worth() > 0).then_some(slot)
    }

    /// The same, to be changed.
    #[inline]
    pub(crate) fn get_mut(&mut self, key: Key) -> Option<&mut S> {
        let tag = tag(key);
        let index = self.index(key);
        let Bucket(slots) = self.buckets.get_mut(index)?;
        slots
            .iter_mut()
            .find(|slot| slot.tag() == tag && slot.worth() > 0)
    }

    /// The place to keep something under the key. Where nothing was kept, it says
    /// nothing, and what was worth least may have been dropped for it.
    #[inline]
    pub(crate) fn entry(&mut self, key: Key) -> Option<&mut S> {
        while self.used * 8 > self.buckets.len() * WAYS * FULL && self.buckets.len() < self.most {
            self.grow();
        }
        let tag = tag(key);
        let index = self.index(key);
        let Bucket(slots) = self.buckets.get_mut(index)?;
        let mut chosen = 0;
        let mut least = u32::MAX;
        for (way, slot) in slots.iter().enumerate() {
            let worth = slot.worth();
            if slot.tag() == tag && worth > 0 {
                chosen = way;
                least = u32::MAX;
                break;
            }
            if worth < least {
                chosen = way;
                least = worth;
            }
        }
        let slot = slots.get_mut(chosen)?;
        if least < u32::MAX {
            self.used += usize::from(least == 0);
            *slot = S::new(tag);
        }
        Some(slot)
    }

    /// How many buckets there are.
    #[cfg(test)]
    pub(crate) const fn buckets(&self) -> usize {
        self.buckets.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Clone, Copy, Debug, Default)]
    #[repr(C, packed(4))]
    struct Number {
        tag: Tag,
        number: u32,
    }

    impl Slot for Number {
        fn new(tag: Tag) -> Self {
            Self { tag, number: 0 }
        }

        fn tag(&self) -> Tag {
            self.tag
        }

        fn worth(&self) -> u32 {
            self.number
        }
    }

    type Numbers = HashTable<Number, 5>;

    fn key(number: u32) -> Key {
        u64::from(number).wrapping_mul(0x9e37_79b9_7f4a_7c15)
    }

    fn put(table: &mut Numbers, number: u32) {
        table.entry(key(number)).unwrap().number = number;
    }

    fn kept(table: &Numbers, numbers: std::ops::Range<u32>) -> usize {
        numbers
            .filter(|&number| {
                table
                    .get(key(number))
                    .is_some_and(|kept| kept.worth() == number)
            })
            .count()
    }

    #[test]
    fn a_bucket_is_a_cache_line() {
        assert_eq!(size_of::<Bucket<Number, 5>>(), 64);
    }

    /// After every single entry the table has grown by two buckets at most, and what
    /// was put is found again.
    #[test]
    fn it_grows_step_by_step_and_loses_next_to_nothing() {
        let mut table = Numbers::new(64 << 20);
        table.clear();
        for number in 1..300_000 {
            let before = table.buckets();
            put(&mut table, number);
            assert!(table.buckets() <= before + 2);
            assert_eq!(kept(&table, number..number + 1), 1);
            if number.is_power_of_two() {
                assert!(kept(&table, 1..number + 1) * 100 >= number as usize * 98);
            }
        }
        assert!(kept(&table, 1..300_000) > 294_000);
        assert_eq!(kept(&table, 300_000..600_000), 0);
    }

    #[test]
    fn it_keeps_to_its_size_and_what_is_worth_most() {
        let mut table = Numbers::new(1 << 20);
        table.clear();
        for number in 1..200_000 {
            put(&mut table, number);
        }
        assert_eq!(table.buckets(), (1 << 20) / 64);
        let slots = 5 * table.buckets();
        assert!(kept(&table, 1..200_000) <= slots);
        assert!(kept(&table, 150_000..200_000) > 45_000);
    }

    #[test]
    fn what_is_forgotten_never_comes_back() {
        let mut table = Numbers::new(1 << 20);
        for _ in 0..3 {
            table.clear();
            assert_eq!((table.buckets(), kept(&table, 1..20_000)), (FIRST, 0));
            for number in 1..20_000 {
                assert_eq!(kept(&table, number..number + 1), 0);
                put(&mut table, number);
            }
        }
    }
}
