//! Position keys that can be had for a move before it is played.
//!
//! Looking up the positions after every move of a node is most of a proof-number
//! search's work; a key that needs no board saves playing moves that the table
//! already knows.

use shakmaty::{Chess, Color, Move, Piece, Position, Role, Square};

/// The key of a position, without clocks and move numbers. The en passant file is
/// part of it after every double step, even when no capture is possible: two equal
/// positions may then have different keys, which loses a transposition and no truth.
pub(crate) type Key = u64;

const fn mix(mut state: u64) -> u64 {
    // SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
    state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    state ^ (state >> 31)
}

const fn keys<const N: usize>(seed: u64) -> [u64; N] {
    let mut table = [0; N];
    let mut index = 0;
    while index < N {
        table[index] = mix(mix(seed) ^ (index as u64).wrapping_mul(0xd134_2543_de82_ef95));
        index += 1;
    }
    table
}

static PIECES: [u64; 1024] = keys(1);
static RIGHTS: [u64; 64] = keys(2);
static EN_PASSANT: [u64; 8] = keys(3);
const BLACK: u64 = mix(0xb1ac);

#[inline]
fn piece(square: Square, color: Color, role: Role) -> u64 {
    PIECES[(usize::from(color.is_white()) << 9) | ((role as usize & 7) << 6) | square.to_usize()]
}

/// The key of a position, from scratch.
pub(crate) fn key(position: &Chess) -> Key {
    let mut key = 0;
    for (square, Piece { color, role }) in position.board().iter() {
        key ^= piece(square, color, role);
    }
    for rook in position.castles().castling_rights() {
        key ^= RIGHTS[rook.to_usize()];
    }
    if let Some(square) = position.maybe_ep_square() {
        key ^= EN_PASSANT[square.file().to_usize()];
    }
    if position.turn() == Color::Black {
        key ^= BLACK;
    }
    key
}

/// The key after the legal move `m` in `position`, whose key is `key`.
#[inline]
pub(crate) fn key_after(position: &Chess, key: Key, m: Move) -> Key {
    let us = position.turn();
    let mut key = key ^ BLACK;
    if let Some(square) = position.maybe_ep_square() {
        key ^= EN_PASSANT[square.file().to_usize()];
    }
    let rights = position.castles().castling_rights();
    if rights.any() {
        let mut lost = shakmaty::Bitboard::EMPTY;
        if m.role() == Role::King {
            lost |= rights & position.us();
        } else if let Some(from) = m.from()
            && m.role() == Role::Rook
        {
            lost |= rights & shakmaty::Bitboard::from(from);
        }
        if m.capture() == Some(Role::Rook) {
            lost |= rights & shakmaty::Bitboard::from(m.to());
        }
        for rook in lost {
            key ^= RIGHTS[rook.to_usize()];
        }
    }
    match m {
        Move::Normal {
            role,
            from,
            capture,
            to,
            promotion,
        } => {
            key ^= piece(from, us, role) ^ piece(to, us, promotion.unwrap_or(role));
            if let Some(captured) = capture {
                key ^= piece(to, !us, captured);
            }
            if role == Role::Pawn && from.to_usize().abs_diff(to.to_usize()) == 16 {
                key ^= EN_PASSANT[from.file().to_usize()];
            }
        }
        Move::EnPassant { from, to } => {
            key ^= piece(from, us, Role::Pawn)
                ^ piece(to, us, Role::Pawn)
                ^ piece(Square::from_coords(to.file(), from.rank()), !us, Role::Pawn);
        }
        Move::Castle { king, rook } => {
            let side = shakmaty::CastlingSide::from_queen_side(rook < king);
            key ^= piece(king, us, Role::King)
                ^ piece(rook, us, Role::Rook)
                ^ piece(side.king_to(us), us, Role::King)
                ^ piece(side.rook_to(us), us, Role::Rook);
        }
        Move::Put { role, to } => key ^= piece(to, us, role),
    }
    key
}

/// A key that also tells apart the numbers that a question depends on.
#[inline]
pub(crate) const fn with_number(key: Key, number: u32) -> Key {
    key ^ mix(0x00c1_0c4b ^ ((number as u64) << 32))
}

#[cfg(test)]
mod tests {
    use super::*;
    use shakmaty::{CastlingMode, fen::Fen};

    /// Every position within a few plies of positions with castling, en passant and
    /// promotions has the same key incrementally and from scratch. That the walk
    /// reaches what it should is checked by published numbers of move paths (perft counts,
    /// from examples/perft of python-chess's source package).
    #[test]
    fn the_key_after_a_move_is_the_key_of_the_position_after_it() {
        fn walk(position: &Chess, known: Key, depth: u32) -> u64 {
            assert_eq!(known, key(position));
            if depth == 0 {
                return 1;
            }
            position
                .legal_moves()
                .into_iter()
                .map(|m| {
                    let mut next = position.clone();
                    next.play_unchecked(m);
                    walk(&next, key_after(position, known, m), depth - 1)
                })
                .sum()
        }
        for (fen, depth, paths) in [
            (
                "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
                4,
                197_281,
            ),
            (
                "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
                3,
                97_862,
            ),
            (
                "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
                3,
                9_467,
            ),
            ("8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1", 4, 43_238),
            (
                "rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8",
                3,
                62_379,
            ),
        ] {
            let position: Chess = fen
                .parse::<Fen>()
                .unwrap()
                .into_position(CastlingMode::Standard)
                .unwrap();
            assert_eq!(walk(&position, key(&position), depth), paths, "{fen}");
        }
    }
}
