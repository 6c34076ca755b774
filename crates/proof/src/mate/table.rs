//! A table of facts about positions, of fixed size, that forgets between questions
//! without being wiped.

use shakmaty::{Move, MoveList, Role};

use super::key::Key;

/// A move in sixteen bits, to be found again among the legal moves; 0 is no move.
pub(crate) type Packed = u16;

/// Packs a move. Origin, target and promotion tell the legal moves of a position
/// apart.
pub(crate) fn pack(m: Move) -> Packed {
    let from = m.from().map_or(0, |from| from.to_usize() as u16);
    let to = m.to().to_usize() as u16;
    let promotion: u16 = match m.promotion() {
        None => 0,
        Some(Role::Knight) => 1,
        Some(Role::Bishop) => 2,
        Some(Role::Rook) => 3,
        Some(_) => 4,
    };
    from | to << 6 | promotion << 12
}

/// The move of `moves` that was packed.
pub(crate) fn unpack(packed: Packed, moves: &MoveList) -> Option<Move> {
    if packed == 0 {
        return None;
    }
    moves.iter().copied().find(|&m| pack(m) == packed)
}

/// What is known of a position: mate within `proved` moves, none within `refuted`.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Fact {
    proved: u8,
    refuted: u8,
    /// The first move of the proof.
    pub(crate) best: Packed,
}

impl Fact {
    pub(crate) const fn proves(self, left: u32) -> bool {
        self.proved != 0 && self.proved as u32 <= left
    }

    pub(crate) const fn length(self) -> u32 {
        self.proved as u32
    }

    pub(crate) const fn refutes(self, left: u32) -> bool {
        self.refuted as u32 >= left
    }
}

#[derive(Clone, Copy, Debug, Default)]
struct Slot {
    key: Key,
    fact: Fact,
    generation: u16,
}

const WAYS: usize = 4;

/// A table of [`Fact`]s.
#[derive(Debug)]
pub(crate) struct FactTable {
    bytes: usize,
    buckets: Vec<[Slot; WAYS]>,
    generation: u16,
}

impl FactTable {
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
            let count = self.bytes / size_of::<[Slot; WAYS]>();
            self.buckets = vec![[Slot::default(); WAYS]; count.max(1)];
        }
        self.generation = self.generation.wrapping_add(1);
        if self.generation == 0 {
            self.buckets.fill([Slot::default(); WAYS]);
            self.generation = 1;
        }
    }

    /// The bucket of a key: the key's high half, scaled to the number of buckets.
    #[inline]
    fn index(&self, key: Key) -> usize {
        ((u128::from(key) * self.buckets.len() as u128) >> 64) as usize
    }

    /// What is known of the position.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Fact {
        let Some(bucket) = self.buckets.get(self.index(key)) else {
            return Fact::default();
        };
        for slot in bucket {
            if slot.key == key && slot.generation == self.generation {
                return slot.fact;
            }
        }
        Fact::default()
    }

    /// Notes a mate within `left` moves that begins with `best`.
    pub(crate) fn prove(&mut self, key: Key, left: u32, best: Packed) {
        let left = u8::try_from(left).unwrap_or(u8::MAX).max(1);
        if let Some(fact) = self.entry(key)
            && (fact.proved == 0 || left < fact.proved)
        {
            fact.proved = left;
            fact.best = best;
        }
    }

    /// Notes that there is no mate within `left` moves.
    pub(crate) fn refute(&mut self, key: Key, left: u32) {
        // A number that does not fit is noted as the weaker fact that fits.
        let left = u8::try_from(left).unwrap_or(u8::MAX);
        if let Some(fact) = self.entry(key) {
            fact.refuted = fact.refuted.max(left);
        }
    }

    /// The slot of the key, made by dropping the fact that was cheapest to find.
    fn entry(&mut self, key: Key) -> Option<&mut Fact> {
        let index = self.index(key);
        let generation = self.generation;
        let bucket = self.buckets.get_mut(index)?;
        let mut chosen = 0;
        let mut least = u32::MAX;
        for (way, slot) in bucket.iter().enumerate() {
            if slot.generation != generation {
                if least > 0 {
                    least = 0;
                    chosen = way;
                }
            } else if slot.key == key {
                chosen = way;
                break;
            } else {
                let worth = 1 + u32::from(slot.fact.proved.max(slot.fact.refuted));
                if worth < least {
                    least = worth;
                    chosen = way;
                }
            }
        }
        let slot = bucket.get_mut(chosen)?;
        if slot.key != key || slot.generation != generation {
            *slot = Slot {
                key,
                fact: Fact::default(),
                generation,
            };
        }
        Some(&mut slot.fact)
    }
}
