//! A table of facts about positions that forgets between questions without being
//! wiped.

use shakmaty::{Chess, Move, MoveList, Position, Role, Square};

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

/// The legal move that was packed in `position`, built without listing the moves.
/// `None` for what cannot be a move there; a move packed elsewhere may give anything
/// else, but never captures a king.
pub(crate) fn rebuild(packed: Packed, position: &Chess) -> Option<Move> {
    if packed == 0 {
        return None;
    }
    let board = position.board();
    let from = Square::new(u32::from(packed & 63));
    let to = Square::new(u32::from(packed >> 6 & 63));
    let promotion = match packed >> 12 {
        0 => None,
        1 => Some(Role::Knight),
        2 => Some(Role::Bishop),
        3 => Some(Role::Rook),
        _ => Some(Role::Queen),
    };
    let role = board.role_at(from)?;
    if !position.us().contains(from) || board.kings().contains(to) {
        return None;
    }
    if position.us().contains(to) {
        return (role == Role::King && position.castles().castling_rights().contains(to))
            .then_some(Move::Castle {
                king: from,
                rook: to,
            });
    }
    let capture = board.role_at(to);
    if role == Role::Pawn && capture.is_none() && from.file() != to.file() {
        return (position.maybe_ep_square() == Some(to)).then_some(Move::EnPassant { from, to });
    }
    Some(Move::Normal {
        role,
        from,
        capture,
        to,
        promotion: promotion.filter(|_| role == Role::Pawn),
    })
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

/// A cache line.
#[derive(Clone, Copy, Debug, Default)]
#[repr(align(64))]
struct Bucket([Slot; WAYS]);

/// The table starts with the first 2 to the power of so many buckets, and grows by
/// 2 to the power of [`GROWTH_BITS`] when it is half full.
const FIRST_BITS: u32 = 12;
const GROWTH_BITS: u32 = 2;

/// A table of [`Fact`]s that grows up to a fixed size.
#[derive(Debug)]
pub(crate) struct FactTable {
    buckets: Vec<Bucket>,
    /// The table never takes more than 2 to the power of so many buckets.
    most_bits: u32,
    /// It uses the first 2 to the power of so many.
    bits: u32,
    /// Slots in use.
    used: usize,
    generation: u16,
}

impl FactTable {
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

    /// The bucket of a key: its high bits.
    #[inline]
    const fn index(&self, key: Key) -> usize {
        (key >> (64 - self.bits)) as usize
    }

    /// Spreads the facts over a larger part of the table.
    fn grow(&mut self) {
        let old_bits = self.bits;
        self.bits = (old_bits + GROWTH_BITS).min(self.most_bits);
        self.make_room();
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
                let to = self.index(slot.key);
                if let Some(Bucket(slots)) = self.buckets.get_mut(to)
                    && let Some(free) = slots
                        .iter_mut()
                        .find(|other| other.generation != self.generation)
                {
                    *free = slot;
                }
            }
        }
    }

    /// What is known of the position.
    #[inline]
    pub(crate) fn get(&self, key: Key) -> Fact {
        let Some(bucket) = self.buckets.get(self.index(key)) else {
            return Fact::default();
        };
        for slot in &bucket.0 {
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
        if self.bits < self.most_bits && self.used >= 2 << self.bits {
            self.grow();
        }
        let index = self.index(key);
        let generation = self.generation;
        let Bucket(bucket) = self.buckets.get_mut(index)?;
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
            self.used += usize::from(slot.generation != generation);
            *slot = Slot {
                key,
                fact: Fact::default(),
                generation,
            };
        }
        Some(&mut slot.fact)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use shakmaty::{CastlingMode, fen::Fen};

    #[test]
    fn every_legal_move_is_found_again_from_its_sixteen_bits() {
        fn walk(position: &Chess, depth: u32, count: &mut u32) {
            let moves = position.legal_moves();
            for &m in &moves {
                assert_eq!(unpack(pack(m), &moves), Some(m));
                assert_eq!(rebuild(pack(m), position), Some(m));
                *count += 1;
                if depth > 1 {
                    let mut next = position.clone();
                    next.play_unchecked(m);
                    walk(&next, depth - 1, count);
                }
            }
            // Bits that belong to no legal move neither panic nor take a king.
            for packed in (0..=u16::MAX).step_by(97) {
                if let Some(m) = rebuild(packed, position) {
                    assert_ne!(m.capture(), Some(Role::King));
                }
            }
        }
        let mut count = 0;
        for fen in [
            "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
            "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
            "8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1",
        ] {
            let position: Chess = fen
                .parse::<Fen>()
                .unwrap()
                .into_position(CastlingMode::Standard)
                .unwrap();
            walk(&position, 2, &mut count);
        }
        assert!(count > 2_000);
    }

    #[test]
    fn facts_survive_growth() {
        let mut table = FactTable::new(16 << 20);
        table.clear();
        let key = |number: u64| number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        for number in 1..100_000 {
            table.refute(key(number), (number % 100) as u32);
        }
        assert_eq!(table.bits, 16);
        let kept = (1..100_000)
            .filter(|&number| {
                number % 100 > 0 && table.get(key(number)).refutes((number % 100) as u32)
            })
            .count();
        assert!(kept > 90_000, "{kept}");
        assert!((100_000..200_000).all(|number| !table.get(key(number)).refutes(1)));
    }

    #[test]
    fn facts_are_kept_and_forgotten() {
        let mut table = FactTable::new(1 << 12);
        table.clear();
        table.prove(7 << 50, 5, 3);
        table.refute(7 << 50, 2);
        let fact = table.get(7 << 50);
        assert!(fact.proves(5) && !fact.proves(4) && fact.refutes(2) && !fact.refutes(3));
        table.prove(7 << 50, 6, 4);
        assert_eq!(
            (table.get(7 << 50).length(), table.get(7 << 50).best),
            (5, 3)
        );
        table.clear();
        assert!(!table.get(7 << 50).proves(200));
    }
}
