//! The king and the squares around it.

use shakmaty::{Bitboard, Board, Color, Square, attacks};

/// How the squares around a king are taken from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct KingField {
    /// Where the king stands.
    pub king: Square,
    /// Squares it may step to: not held by an own man and not attacked.
    pub free: Bitboard,
    /// Squares held by its own men.
    pub blocked: Bitboard,
    /// Squares not held by its own men which the enemy attacks, the king thought away.
    pub covered: Bitboard,
}

/// The squares around the king of `color`; `None` when the board has no such king.
/// Castling is left aside. The king is lifted before attacks are looked up, so that it
/// cannot hide behind itself (FIDE Laws 3.8.1 and 3.9.2).
#[must_use]
pub fn king_field(board: &Board, color: Color) -> Option<KingField> {
    let king = board.king_of(color)?;
    let mut field = KingField {
        king,
        free: Bitboard::EMPTY,
        blocked: Bitboard::EMPTY,
        covered: Bitboard::EMPTY,
    };
    let occupied = board.occupied().without(king);
    for square in attacks::king_attacks(king) {
        if board.by_color(color).contains(square) {
            field.blocked.add(square);
        } else if board.attacks_to(square, !color, occupied).any() {
            field.covered.add(square);
        } else {
            field.free.add(square);
        }
    }
    Some(field)
}

/// The squares to which the king of `color` may step, were it its turn.
#[must_use]
pub fn escape_squares(board: &Board, color: Color) -> Bitboard {
    king_field(board, color).map_or(Bitboard::EMPTY, |field| field.free)
}

/// Whether `square` is one of the four corners.
#[must_use]
pub fn in_corner(square: Square) -> bool {
    Bitboard::CORNERS.contains(square)
}

/// Whether `square` lies on the edge of the board.
#[must_use]
pub fn on_edge(square: Square) -> bool {
    Bitboard::EDGES.contains(square)
}

/// Whether the king of `color` stands in the corner: on a corner square, or in the wide
/// sense (`near`) also on a square next to one, as after castling short and "in the
/// corner". Common practice, no source.
#[must_use]
pub fn king_in_corner(board: &Board, color: Color, near: bool) -> bool {
    board.king_of(color).is_some_and(|king| {
        in_corner(king)
            || (near
                && Bitboard::CORNERS
                    .into_iter()
                    .any(|corner| corner.distance(king) == 1))
    })
}

/// The corner nearest to `square`.
#[must_use]
pub fn corner_of(square: Square) -> Square {
    Bitboard::CORNERS
        .into_iter()
        .min_by_key(|corner| corner.distance(square))
        .unwrap_or(square)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, square};
    use shakmaty::{Move, Position, Role};

    #[test]
    fn escape_squares_equal_the_legal_king_moves() {
        for position in playouts(60, 100) {
            let by_rules: Bitboard = position
                .legal_moves()
                .iter()
                .filter(|m| {
                    matches!(
                        m,
                        Move::Normal {
                            role: Role::King,
                            ..
                        }
                    )
                })
                .map(|m| m.to())
                .collect();
            assert_eq!(escape_squares(position.board(), position.turn()), by_rules);
            let field = king_field(position.board(), position.turn()).unwrap();
            assert_eq!(
                field.free | field.blocked | field.covered,
                attacks::king_attacks(field.king)
            );
        }
    }

    #[test]
    fn corners() {
        let b = board("6k1/8/8/8/8/8/8/K7");
        assert!(king_in_corner(&b, Color::White, false));
        assert!(!king_in_corner(&b, Color::Black, false));
        assert!(king_in_corner(&b, Color::Black, true));
        assert_eq!(corner_of(square("f6")), square("h8"));
        assert!(on_edge(square("a4")) && !on_edge(square("b4")));
    }
}
