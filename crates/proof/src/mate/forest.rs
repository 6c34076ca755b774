//! The positions whose moves the proof-number search has listed, with what it knows of
//! each move.
//!
//! Everything about a position lies in one block of words, so that a visit reads what
//! it needs in one go and lists no move twice. When the room is used up, the oldest
//! blocks make way for new ones; those that took much work are moved ahead of them
//! once more.

use super::{key::Key, table::Packed};

/// Greater than any proof or disproof number. Numbers take three bytes in a block.
pub(crate) const INFINITE: u32 = (1 << 24) - 1;

/// Where a block begins, in words.
pub(crate) type At = u32;

/// No block.
pub(crate) const NOWHERE: At = u32::MAX;

/// The words of a block before those of its moves: the key and the rest of the head.
const HEAD: usize = 2;

/// Blocks that are moved ahead for one new block, at most, so that no step of the
/// search does much work.
const MOVED: usize = 64;

/// Blocks that took fewer nodes than two to the power of this are never moved ahead.
const WORTHY: u8 = 6;

/// What a block says of its position besides the moves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Head {
    /// How many moves are listed.
    pub(crate) count: u8,
    /// How many of these are checks, when the attacker is to move.
    pub(crate) checking: u8,
    /// About how many moves are not listed yet: the attacker's quiet moves, until they
    /// are needed.
    pub(crate) unlisted: u8,
    /// How many have been looked at.
    pub(crate) reach: u8,
    /// How many of these are not settled for good.
    pub(crate) live: u8,
    /// The longest mate after a settled move.
    pub(crate) longest: u8,
    /// The logarithm of the nodes spent on the position, or more while it is being
    /// searched.
    pub(crate) effort: u8,
}

impl Head {
    const fn pack(self) -> u64 {
        u64::from_le_bytes([
            self.count,
            self.checking,
            self.unlisted,
            self.reach,
            self.live,
            self.longest,
            self.effort,
            0,
        ])
    }

    const fn unpack(word: u64) -> Self {
        let [count, checking, unlisted, reach, live, longest, effort, _] = word.to_le_bytes();
        Self {
            count,
            checking,
            unlisted,
            reach,
            live,
            longest,
            effort,
        }
    }

    /// How many words the block has.
    fn size(self) -> usize {
        HEAD + usize::from(self.count)
    }
}

/// A move and, once it was looked at, the numbers of the position after it. A disproof
/// number of 0 means that the position is disproved on this path.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Child(u64);

impl Child {
    pub(crate) fn new(m: Packed, (pn, dn): (u32, u32)) -> Self {
        let three = |number: u32| u64::from(number.min(INFINITE));
        Self(three(pn) | three(dn) << 24 | u64::from(m) << 48)
    }

    pub(crate) const fn m(self) -> Packed {
        (self.0 >> 48) as Packed
    }

    pub(crate) const fn pn(self) -> u32 {
        self.0 as u32 & INFINITE
    }

    pub(crate) const fn dn(self) -> u32 {
        (self.0 >> 24) as u32 & INFINITE
    }
}

/// The blocks.
#[derive(Debug)]
pub(crate) struct Forest {
    words: Vec<u64>,
    /// There are never more words.
    most: usize,
    /// Where the next block goes.
    head: usize,
    /// Where the oldest block begins, once the words are used for a second time; from
    /// the head to there nothing is kept.
    tail: usize,
    /// Where the blocks end that begin at the tail or behind it.
    end: usize,
}

impl Forest {
    /// Room for blocks that never takes more than `bytes`, but for a few kilobytes.
    pub(crate) const fn new(bytes: usize) -> Self {
        let most = bytes / size_of::<u64>();
        // Positions have fewer than 256 moves; places are numbers of 32 bits.
        let most = if most < 1024 { 1024 } else { most };
        Self {
            words: Vec::new(),
            most: if most < NOWHERE as usize {
                most
            } else {
                NOWHERE as usize
            },
            head: 0,
            tail: 0,
            end: 0,
        }
    }

    /// Forgets everything.
    pub(crate) fn clear(&mut self) {
        self.words.clear();
        // Memory that is reserved and not yet written takes no room.
        self.words.reserve_exact(self.most);
        self.head = 0;
        self.tail = 0;
        self.end = 0;
    }

    /// The head of the block at a place, if it belongs to the position with this key.
    #[inline]
    pub(crate) fn head(&self, at: At, key: Key) -> Option<Head> {
        match self.words.get(at as usize..)? {
            [found, head, ..] if *found == key => Some(Head::unpack(*head)),
            _ => None,
        }
    }

    /// Replaces the head of a block.
    #[inline]
    pub(crate) fn set_head(&mut self, at: At, head: Head) {
        if let Some(word) = self.words.get_mut(at as usize + 1) {
            *word = head.pack();
        }
    }

    /// The first `count` moves of a block.
    #[inline]
    pub(crate) fn children(&self, at: At, count: u8) -> impl Iterator<Item = Child> {
        let first = at as usize + HEAD;
        let words = self.words.get(first..first + usize::from(count));
        words.unwrap_or_default().iter().map(|&word| Child(word))
    }

    /// A move of a block.
    #[inline]
    pub(crate) fn child(&self, at: At, index: u8) -> Child {
        let word = self.words.get(at as usize + HEAD + usize::from(index));
        word.map_or_else(Child::default, |&word| Child(word))
    }

    /// Replaces a move of a block.
    #[inline]
    pub(crate) fn set_child(&mut self, at: At, index: u8, child: Child) {
        let word = self.words.get_mut(at as usize + HEAD + usize::from(index));
        if let Some(word) = word {
            *word = child.0;
        }
    }

    /// A new block for the position with this key. Its moves must be set. Tells of
    /// every block that it moved the key and the new place.
    pub(crate) fn add(&mut self, key: Key, head: Head, moved: impl FnMut(Key, At)) -> At {
        let size = head.size();
        self.make_room(size, moved);
        let at = self.head;
        self.head += size;
        if self.words.len() < self.head {
            self.words.resize(self.head, 0);
        }
        if let Some([first, second, ..]) = self.words.get_mut(at..) {
            *first = key;
            *second = head.pack();
        }
        at as At
    }

    /// Sees to it that so many words are free behind the head.
    fn make_room(&mut self, size: usize, mut moved: impl FnMut(Key, At)) {
        let mut moves = 0;
        loop {
            let is_old = self.tail < self.end;
            let free = if is_old { self.tail } else { self.most };
            if self.head + size <= free {
                return;
            }
            if !is_old {
                self.end = self.head;
                self.head = 0;
                self.tail = 0;
                continue;
            }
            let Some(&[key, head, ..]) = self.words.get(self.tail..) else {
                self.tail = self.end;
                continue;
            };
            let head = Head::unpack(head);
            let length = head.size();
            if let Some(word) = self.words.get_mut(self.tail) {
                // Nobody must find the block here any more.
                *word = !key;
            }
            if head.effort >= WORTHY && moves < MOVED {
                let block = self.tail..(self.tail + length).min(self.words.len());
                self.words.copy_within(block, self.head);
                if let Some(word) = self.words.get_mut(self.head) {
                    *word = key;
                }
                moved(key, self.head as At);
                self.head += length;
                moves += 1;
            }
            self.tail += length;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    fn key(number: u32) -> Key {
        u64::from(number + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15)
    }

    /// Blocks of many sizes, in little room: what is found is what was put, the youngest
    /// are always found, and of the older ones those that took much work are.
    #[test]
    fn blocks_are_found_as_they_were_put_or_not_at_all() {
        let mut forest = Forest::new(1 << 16);
        for _ in 0..2 {
            forest.clear();
            let mut places: HashMap<Key, At> = HashMap::new();
            let worthy = |number: u32| number.is_multiple_of(500);
            for number in 0..20_000_u32 {
                let head = Head {
                    count: (number * 7 % 61) as u8,
                    reach: (number % 251) as u8,
                    effort: if worthy(number) { WORTHY } else { WORTHY - 1 },
                    ..Head::default()
                };
                let mut moved = Vec::new();
                let at = forest.add(key(number), head, |key, at| moved.push((key, at)));
                places.extend(moved);
                places.insert(key(number), at);
                for index in 0..head.count {
                    forest.set_child(at, index, Child::new(number as u16, (number, index.into())));
                }
                for back in 0..3_000.min(number + 1) {
                    let number = number - back;
                    let at = places[&key(number)];
                    let Some(head) = forest.head(at, key(number)) else {
                        assert!(back > 100 && !worthy(number), "{number} {back}");
                        continue;
                    };
                    assert_eq!(
                        (head.count, head.reach),
                        ((number * 7 % 61) as u8, (number % 251) as u8)
                    );
                    if back % 100 == 0 {
                        for (index, child) in forest.children(at, head.count).enumerate() {
                            let numbers = (child.m(), child.pn(), child.dn());
                            assert_eq!(numbers, (number as u16, number, index as u32));
                        }
                    }
                }
            }
            assert!(forest.words.len() <= 1 << 13);
        }
    }
}
