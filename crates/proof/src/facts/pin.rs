//! Pins.

use shakmaty::{Board, Color, Role, Square};

use super::attack::x_rays;
use super::exchange::{role_value, undefended};

/// What stands behind the pinned piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PinKind {
    /// The king: leaving the line is illegal (FIDE Laws 3.9.2).
    Absolute,
    /// Another piece that would be lost: leaving the line costs material.
    Relative,
}

/// A piece that shields another of its side from an enemy slider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pin {
    /// The piece that is pinned.
    pub pinned: Square,
    /// The enemy slider.
    pub pinner: Square,
    /// The piece it is pinned to.
    pub behind: Square,
    /// Whether that is the king.
    pub kind: PinKind,
}

/// The pieces of `color` that stand alone between their king and an enemy slider
/// moving along that line (FIDE Laws 3.9.2; Nimzowitsch, *My System*, 1925, part I,
/// chapter on the pinned piece). A pawn or slider that may still move along the line
/// is pinned all the same.
#[must_use]
pub fn absolute_pins(board: &Board, color: Color) -> Vec<Pin> {
    pins(board, color)
        .into_iter()
        .filter(|pin| pin.kind == PinKind::Absolute)
        .collect()
}

/// Every pin against `color`, absolute and relative.
///
/// A relative pin: an enemy slider attacks the piece, and the next piece behind it on
/// the line is of the same side and is worth more than the pinned piece, or is worth
/// more than the pinner and no less than the pinned piece, or is undefended once the
/// pinned piece has left (Nimzowitsch, *My System*, 1925, "half-pin" and pin against
/// the queen; the exact bounds are common practice, no source).
#[must_use]
pub fn pins(board: &Board, color: Color) -> Vec<Pin> {
    let own = board.by_color(color);
    x_rays(board, !color)
        .into_iter()
        .filter(|ray| own.contains(ray.through) && own.contains(ray.target))
        .filter_map(|ray| {
            let front = board.role_at(ray.through)?;
            let back = board.role_at(ray.target)?;
            let slider = board.role_at(ray.slider)?;
            let kind = if back == Role::King {
                PinKind::Absolute
            } else {
                let worth = role_value(back);
                let loose = {
                    let mut lifted = board.clone();
                    lifted.discard_piece_at(ray.through);
                    undefended(&lifted, ray.target)
                };
                let costs = worth > role_value(front)
                    || (worth > role_value(slider) && worth >= role_value(front))
                    || loose;
                if front == Role::King || !costs {
                    return None;
                }
                PinKind::Relative
            };
            Some(Pin {
                pinned: ray.through,
                pinner: ray.slider,
                behind: ray.target,
                kind,
            })
        })
        .collect()
}

/// Whether the piece on `target` is pinned, absolutely or relatively; with `to` given,
/// whether it is pinned to the piece on that square.
#[must_use]
pub fn is_pinned(board: &Board, target: Square, to: Option<Square>) -> bool {
    board.color_at(target).is_some_and(|color| {
        pins(board, color)
            .iter()
            .any(|pin| pin.pinned == target && to.is_none_or(|to| to == pin.behind))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, square};
    use shakmaty::{Bitboard, Position, attacks};

    #[test]
    fn lifting_an_absolutely_pinned_piece_and_no_other_exposes_the_king() {
        let mut found = 0;
        for position in playouts(60, 80) {
            let board = position.board();
            for color in Color::ALL {
                let Some(king) = board.king_of(color) else {
                    continue;
                };
                let pinned: Bitboard = absolute_pins(board, color)
                    .iter()
                    .map(|p| p.pinned)
                    .collect();
                found += pinned.count();
                let before = board.attacks_to(king, !color, board.occupied());
                for piece in board.by_color(color).without(king) {
                    let mut lifted = board.clone();
                    lifted.discard_piece_at(piece);
                    let after = lifted.attacks_to(king, !color, lifted.occupied());
                    assert_eq!(pinned.contains(piece), after != before, "{board} {piece}");
                }
                for pin in absolute_pins(board, color) {
                    assert!(attacks::between(pin.pinner, pin.behind).contains(pin.pinned));
                }
            }
        }
        assert!(found > 50);
    }

    #[test]
    fn pins_to_the_queen_and_to_a_loose_piece() {
        let b = board("3qk3/8/5n2/6B1/8/8/8/4K3");
        assert!(is_pinned(&b, square("f6"), None));
        assert!(is_pinned(&b, square("f6"), Some(square("d8"))));
        assert!(!is_pinned(&b, square("f6"), Some(square("e8"))));
        let loose = board("7k/8/2n5/8/b7/8/8/4K3");
        assert!(pins(&loose, Color::Black).is_empty());
        let loose = board("7k/3b4/2n5/8/B7/8/8/4K3");
        assert!(is_pinned(&loose, square("c6"), Some(square("d7"))));
        let held = board("3k4/3b4/2n5/8/B7/8/8/4K3");
        assert!(!is_pinned(&held, square("c6"), None));
    }
}
