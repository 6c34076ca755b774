//! Positions that can never be won.

use shakmaty::{Bitboard, Board, Chess, Color, Position, Square, attacks};

use crate::verdict::Verdict;

/// Whether `color` cannot checkmate by any legal series of moves whatever the other
/// side does, as far as the material tells (FIDE Laws 6.9 and 9.4; the rule as
/// implemented by shakmaty). `false` does not prove that a mate exists.
#[must_use]
pub fn can_never_mate(position: &Chess, color: Color) -> bool {
    position.has_insufficient_material(color)
}

/// "Insufficient material": neither side can checkmate with what is on the board: two
/// bare kings, king and minor piece against king, or bishops all on squares of one
/// colour (FIDE Laws 5.2.2 and 9.6 of 2023, the cases that material settles).
#[must_use]
pub fn insufficient_material(position: &Chess) -> bool {
    position.is_insufficient_material()
}

/// Whether the position is dead: no series of legal moves leads to checkmate by either
/// side (FIDE Laws 5.2.2).
///
/// *Holds* is exact: insufficient material, or kings and pawns only with every pawn
/// locked for good ([`pawns_locked`]), or the side to move has no legal move and is not
/// mated. *Fails* is exact too: the position is checkmate, or a checkmate follows in
/// one move of the side to move. All else is *unsettled*, for the law has no bound.
#[must_use]
pub fn dead_position(position: &Chess) -> Verdict {
    if position.is_checkmate() {
        return Verdict::Fails;
    }
    if position.is_insufficient_material() || position.is_stalemate() || pawns_locked(position) {
        return Verdict::Holds;
    }
    let mates = position.legal_moves().into_iter().any(|m| {
        let mut next = position.clone();
        next.play_unchecked(m);
        next.is_checkmate()
    });
    if mates {
        Verdict::Fails
    } else {
        Verdict::Unsettled
    }
}

/// Whether only kings and pawns are left, no pawn can ever move or capture, and neither
/// king can ever reach an enemy pawn: only the kings can move, for ever.
#[must_use]
pub fn pawns_locked(position: &Chess) -> bool {
    let board = position.board();
    if board.occupied() != board.pawns() | board.kings()
        || board.pawns().is_empty()
        || position.legal_ep_square().is_some()
    {
        return false;
    }
    Color::ALL
        .into_iter()
        .all(|color| pawns_stand(board, color) && !king_reaches_pawn(board, color))
}

/// Whether every pawn of `color` is stopped by a pawn and attacks none.
fn pawns_stand(board: &Board, color: Color) -> bool {
    board.by_piece(color.pawn()).into_iter().all(|pawn| {
        let stopped = pawn
            .offset(color.fold_wb(8, -8))
            .is_some_and(|ahead| board.pawns().contains(ahead));
        let captures = attacks::pawn_attacks(color, pawn) & board.by_piece((!color).pawn());
        stopped && captures.is_empty()
    })
}

/// Whether the king of `color`, the other king thought away, can walk to an enemy pawn
/// that no pawn defends. Thinking the other king away only lets it walk further.
fn king_reaches_pawn(board: &Board, color: Color) -> bool {
    let theirs = board.by_piece((!color).pawn());
    let guarded = theirs.into_iter().fold(Bitboard::EMPTY, |all, pawn| {
        all | attacks::pawn_attacks(!color, pawn)
    });
    let closed = guarded | board.by_piece(color.pawn());
    let mut reached: Bitboard = board.king_of(color).into_iter().collect();
    let mut fresh = reached;
    while fresh.any() {
        let next = fresh
            .into_iter()
            .fold(Bitboard::EMPTY, |all, square: Square| {
                all | attacks::king_attacks(square)
            });
        fresh = next & !closed & !reached;
        reached |= fresh;
        if (reached & theirs).any() {
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::position;

    #[test]
    fn material_that_cannot_mate() {
        for (fen, dead) in [
            ("8/8/4k3/8/8/3K4/8/8 w - - 0 1", true),
            ("8/8/4k3/8/8/3K1N2/8/8 w - - 0 1", true),
            ("8/5b2/4k3/8/8/3K1B2/8/8 w - - 0 1", true),
            ("8/4b3/4k3/8/8/3K4/4B3/8 w - - 0 1", false),
            ("8/4b3/4k3/8/8/3K4/3B4/8 w - - 0 1", true),
            ("8/8/4k3/8/8/3K1NN1/8/8 w - - 0 1", false),
        ] {
            let p = position(fen);
            let same_colour = dead_position(&p) == Verdict::Holds;
            assert_eq!(same_colour, insufficient_material(&p), "{fen}");
            assert_eq!(insufficient_material(&p), dead, "{fen}");
        }
    }

    #[test]
    fn locked_pawns_are_dead() {
        // A wall from a to h; neither king can cross or capture.
        let wall = position("4k3/8/1p1p1p1p/pPpPpPpP/P1P1P1P1/8/8/4K3 w - - 0 1");
        assert!(pawns_locked(&wall));
        assert_eq!(dead_position(&wall), Verdict::Holds);
        let gate = position("4k3/8/1p1p1p2/pPpPpP2/P1P1P3/8/8/4K3 w - - 0 1");
        assert!(!pawns_locked(&gate));
        assert_eq!(dead_position(&gate), Verdict::Unsettled);
    }

    #[test]
    fn mates_are_not_dead() {
        let p = position("7k/5K2/8/6Q1/8/8/8/8 w - - 0 1");
        assert_eq!(dead_position(&p), Verdict::Fails);
        let stalemate = position("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1");
        assert_eq!(dead_position(&stalemate), Verdict::Holds);
    }
}
