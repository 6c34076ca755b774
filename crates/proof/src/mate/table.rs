//! The table of facts about positions.

use shakmaty::{Chess, Move, MoveList, Position, Role, Square};

use super::{
    hash::{HashTable, Slot, Tag},
    key::Key,
};

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
    best: [u8; 2],
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

    /// The first move of the proof.
    pub(crate) const fn best(self) -> Packed {
        Packed::from_le_bytes(self.best)
    }
}

/// A fact and the two halves of its tag, so that five fit into a cache line.
#[derive(Clone, Copy, Debug, Default)]
struct Kept {
    fact: Fact,
    low: u32,
    high: u32,
}

impl Slot for Kept {
    #[inline]
    fn new(tag: Tag) -> Self {
        Self {
            fact: Fact::default(),
            low: tag as u32,
            high: (tag >> 32) as u32,
        }
    }

    #[inline]
    fn tag(&self) -> Tag {
        Tag::from(self.high) << 32 | Tag::from(self.low)
    }

    /// Long mates and refutations take long to find.
    #[inline]
    fn worth(&self) -> u32 {
        u32::from(self.fact.proved.max(self.fact.refuted))
    }
}

/// A table of [`Fact`]s that grows up to a fixed size.
#[derive(Debug)]
pub(crate) struct FactTable(HashTable<Kept, 5>);

impl FactTable {
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
    pub(crate) fn get(&self, key: Key) -> Fact {
        self.0.get(key).map_or_else(Fact::default, |kept| kept.fact)
    }

    /// Notes a mate within `left` moves that begins with `best`.
    pub(crate) fn prove(&mut self, key: Key, left: u32, best: Packed) {
        let left = u8::try_from(left).unwrap_or(u8::MAX).max(1);
        if let Some(Kept { fact, .. }) = self.0.entry(key)
            && (fact.proved == 0 || left < fact.proved)
        {
            fact.proved = left;
            fact.best = best.to_le_bytes();
        }
    }

    /// Notes that there is no mate within `left` moves.
    pub(crate) fn refute(&mut self, key: Key, left: u32) {
        // A number that does not fit is noted as the weaker fact that fits.
        let left = u8::try_from(left).unwrap_or(u8::MAX);
        if left > 0
            && let Some(Kept { fact, .. }) = self.0.entry(key)
        {
            fact.refuted = fact.refuted.max(left);
        }
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
    fn facts_are_kept_and_forgotten() {
        let mut table = FactTable::new(1 << 12);
        table.clear();
        table.prove(7 << 50, 5, 3);
        table.refute(7 << 50, 2);
        let fact = table.get(7 << 50);
        assert!(fact.proves(5) && !fact.proves(4) && fact.refutes(2) && !fact.refutes(3));
        table.prove(7 << 50, 6, 4);
        assert_eq!(
            (table.get(7 << 50).length(), table.get(7 << 50).best()),
            (5, 3)
        );
        table.clear();
        assert!(!table.get(7 << 50).proves(200));
    }
}
