//! Why a move is not legal.

use shakmaty::{Bitboard, Board, Chess, Color, Piece, Position, Role, Square, attacks};

/// What keeps a piece from going to a square.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Obstacle {
    /// No piece stands on the square it should come from.
    NoPiece,
    /// The piece belongs to the side that is not to move.
    OtherSide,
    /// A piece of the same side stands on the target (FIDE Laws 3.1).
    OwnPiece,
    /// The enemy king stands there, and a king is never captured (FIDE Laws 1.4.1).
    KingThere,
    /// No piece of this kind moves so (FIDE Laws 3.2 to 3.8); also a pawn that would
    /// capture where nothing stands, or walk straight onto a piece.
    Movement,
    /// A piece stands in between (FIDE Laws 3.5), on this square.
    Blocked(Square),
    /// The king is in check and stays so (FIDE Laws 3.9.2).
    LeavesInCheck,
    /// The piece is pinned to its king by the enemy piece on this square (FIDE Laws 3.9.2).
    Pinned(Square),
    /// The king would go to a square that the piece on this square attacks (FIDE Laws
    /// 3.9.2).
    IntoCheck(Square),
}

/// Why the side to move may not move its piece from one square to the other, or `None`
/// when it may. Castling is told by `structure::can_castle`, not here; a king's two-step
/// is [`Obstacle::Movement`].
#[must_use]
pub fn obstacle(position: &Chess, from: Square, to: Square) -> Option<Obstacle> {
    let board = position.board();
    let Some(piece) = board.piece_at(from) else {
        return Some(Obstacle::NoPiece);
    };
    if piece.color != position.turn() {
        return Some(Obstacle::OtherSide);
    }
    match board.piece_at(to) {
        Some(there) if there.color == piece.color => return Some(Obstacle::OwnPiece),
        Some(there) if there.role == Role::King => return Some(Obstacle::KingThere),
        _ => {}
    }
    let passing = piece.role == Role::Pawn && position.maybe_ep_square() == Some(to);
    let captured = if passing && attacks::pawn_attacks(piece.color, from).contains(to) {
        Square::from_coords(to.file(), from.rank())
    } else {
        if let Some(obstacle) = way(board, piece, from, to) {
            return Some(obstacle);
        }
        to
    };
    let king = board.king_of(piece.color)?;
    let occupied = board.occupied().without(from).without(captured).with(to);
    let stands = if piece.role == Role::King { to } else { king };
    let attackers = board.attacks_to(stands, !piece.color, occupied) & occupied.without(to);
    let attacker = attackers.first()?;
    if piece.role == Role::King {
        return Some(Obstacle::IntoCheck(attacker));
    }
    if attackers.intersects(position.checkers()) {
        return Some(Obstacle::LeavesInCheck);
    }
    Some(Obstacle::Pinned(attacker))
}

/// What stands in the way of the piece's own movement.
fn way(board: &Board, piece: Piece, from: Square, to: Square) -> Option<Obstacle> {
    let empty = if piece.role == Role::Pawn {
        pawn_way(board, piece.color, from, to)
    } else {
        attacks::attacks(from, piece, Bitboard::EMPTY)
    };
    if !empty.contains(to) {
        return Some(Obstacle::Movement);
    }
    let between = attacks::between(from, to) & board.occupied();
    // The piece nearest to the mover is the one that blocks.
    between
        .into_iter()
        .min_by_key(|square| square.distance(from))
        .map(Obstacle::Blocked)
}

/// Where a pawn goes when nothing but the target and its colour is looked at.
fn pawn_way(board: &Board, color: Color, from: Square, to: Square) -> Bitboard {
    if board.color_at(to) == Some(!color) {
        return attacks::pawn_attacks(color, from);
    }
    let ahead = color.fold_wb(8, -8);
    let mut squares: Bitboard = from.offset(ahead).into_iter().collect();
    if color.relative_rank(from.rank()) == shakmaty::Rank::Second {
        squares |= from.offset(2 * ahead).into_iter().collect::<Bitboard>();
    }
    squares
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{playouts, position, square};
    use shakmaty::Move;

    #[test]
    fn exactly_the_legal_moves_have_no_obstacle() {
        for position in playouts(60, 90) {
            let legal: Vec<(Square, Square)> = position
                .legal_moves()
                .iter()
                .filter(|m| matches!(m, Move::Normal { .. } | Move::EnPassant { .. }))
                .filter_map(|m| Some((m.from()?, m.to())))
                .collect();
            for from in Square::ALL {
                for to in Square::ALL {
                    assert_eq!(
                        obstacle(&position, from, to).is_none(),
                        legal.contains(&(from, to)),
                        "{} {from} {to}",
                        position.board()
                    );
                }
            }
        }
    }

    #[test]
    fn the_reasons() {
        let p = position("4r1k1/8/8/8/1b6/2N5/4B3/R3K3 w Q - 0 1");
        let why = |from: &str, to: &str| obstacle(&p, square(from), square(to));
        assert_eq!(why("c3", "d5"), Some(Obstacle::Pinned(square("b4"))));
        assert_eq!(why("e2", "d3"), Some(Obstacle::Pinned(square("e8"))));
        assert_eq!(why("a1", "e1"), Some(Obstacle::OwnPiece));
        assert_eq!(why("a1", "h1"), Some(Obstacle::Blocked(square("e1"))));
        assert_eq!(why("a1", "b3"), Some(Obstacle::Movement));
        assert_eq!(why("d4", "d5"), Some(Obstacle::NoPiece));
        assert_eq!(why("g8", "g7"), Some(Obstacle::OtherSide));
        assert_eq!(why("e1", "d1"), None);
        let checked = position("4r1k1/8/8/8/8/8/P7/4K3 w - - 0 1");
        assert_eq!(
            obstacle(&checked, square("a2"), square("a3")),
            Some(Obstacle::LeavesInCheck)
        );
        assert_eq!(
            obstacle(&checked, square("e1"), square("e2")),
            Some(Obstacle::IntoCheck(square("e8")))
        );
    }
}
