//! Who attacks and who defends what.

use shakmaty::{Bitboard, Board, Color, Role, Square, attacks};

/// Whether the piece on `from` attacks the square `target`.
///
/// A piece attacks every square on which it could capture, even when it is pinned
/// and may not move (FIDE Laws of Chess 2023, articles 3.1.2 and 3.1.3). A pawn
/// therefore attacks diagonally only. False when `from` is empty.
#[must_use]
pub fn attacks(board: &Board, from: Square, target: Square) -> bool {
    board.attacks_from(from).contains(target)
}

/// Whether the piece on `from` attacks a piece of the other colour on `target`.
#[must_use]
pub fn attacks_piece(board: &Board, from: Square, target: Square) -> bool {
    attacks(board, from, target)
        && matches!(
            (board.color_at(from), board.color_at(target)),
            (Some(us), Some(them)) if us != them
        )
}

/// Whether the piece on `from` defends the piece of its own colour on `target`:
/// it could recapture there. Common practice, no source.
#[must_use]
pub fn defends(board: &Board, from: Square, target: Square) -> bool {
    from != target
        && attacks(board, from, target)
        && board.color_at(from).is_some()
        && board.color_at(from) == board.color_at(target)
}

/// The pieces of `by` that attack `target` (FIDE Laws 3.1.2, 3.1.3).
#[must_use]
pub fn attackers(board: &Board, target: Square, by: Color) -> Bitboard {
    board.attacks_to(target, by, board.occupied())
}

/// The pieces of `by` with the given role that attack `target`.
#[must_use]
pub fn attackers_by_role(board: &Board, target: Square, by: Color, role: Role) -> Bitboard {
    attackers(board, target, by) & board.by_role(role)
}

/// The pieces that defend the piece on `target`; empty when no piece stands there.
#[must_use]
pub fn defenders(board: &Board, target: Square) -> Bitboard {
    board
        .color_at(target)
        .map_or(Bitboard::EMPTY, |color| attackers(board, target, color))
}

/// The pieces of `by` that attack `target` once every slider in front of them on the
/// same line, own or enemy, is thought away: attackers in the first and in every
/// later row. These are the pieces that count in an exchange on `target`.
/// Common practice, no source.
#[must_use]
pub fn supporters(board: &Board, target: Square, by: Color) -> Bitboard {
    let mut occupied = board.occupied();
    let mut all = Bitboard::EMPTY;
    loop {
        let white = board.attacks_to(target, Color::White, occupied);
        let black = board.attacks_to(target, Color::Black, occupied);
        let fresh = (white | black) & occupied;
        if fresh.is_empty() {
            return all & board.by_color(by);
        }
        all |= fresh;
        occupied &= !fresh;
    }
}

/// Whether `by` controls `target`: more of its pieces than of the other side's bear on
/// the square, those standing behind one another counted. Common practice, no source.
#[must_use]
pub fn controls(board: &Board, by: Color, target: Square) -> bool {
    supporters(board, target, by).count() > supporters(board, target, !by).count()
}

/// A slider that looks through exactly one piece at another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct XRay {
    /// Where the slider stands.
    pub slider: Square,
    /// The piece it looks through, of either colour.
    pub through: Square,
    /// The next piece on the line.
    pub target: Square,
}

/// The squares that the slider on `from` would attack if the first piece on each of
/// its lines were lifted, less those it attacks already. Empty for other pieces.
/// Common practice, no source.
#[must_use]
pub fn x_ray_squares(board: &Board, from: Square) -> Bitboard {
    if !board.sliders().contains(from) {
        return Bitboard::EMPTY;
    }
    let Some(piece) = board.piece_at(from) else {
        return Bitboard::EMPTY;
    };
    let direct = board.attacks_from(from);
    let first = direct & board.occupied();
    attacks::attacks(from, piece, board.occupied() & !first) & !direct
}

/// Every pair of pieces in line with a slider of `by`, in the order of the squares.
#[must_use]
pub fn x_rays(board: &Board, by: Color) -> Vec<XRay> {
    let mut found = Vec::new();
    for slider in board.sliders() & board.by_color(by) {
        let seen = board.attacks_from(slider) & board.occupied();
        for target in x_ray_squares(board, slider) & board.occupied() {
            let blockers = attacks::between(slider, target) & seen;
            if let Some(through) = blockers.single_square() {
                found.push(XRay {
                    slider,
                    through,
                    target,
                });
            }
        }
    }
    found
}

/// Two sliders of one side on a line along which both move, nothing between them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Battery {
    /// The one on the lower square (a1 lowest, h8 highest).
    pub first: Square,
    /// The one on the higher square.
    pub second: Square,
}

/// The batteries of `by`: rooks doubled on a line, queen and bishop on a diagonal.
/// Common practice, no source.
#[must_use]
pub fn batteries(board: &Board, by: Color) -> Vec<Battery> {
    let sliders = board.sliders() & board.by_color(by);
    let mut found = Vec::new();
    for first in sliders {
        for second in board.attacks_from(first) & sliders {
            if first < second && attacks(board, second, first) {
                found.push(Battery { first, second });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, square, walk};
    use shakmaty::Position;

    #[test]
    fn attacks_and_x_rays_equal_a_walk_over_the_squares() {
        for position in playouts(40, 60) {
            let board = position.board();
            for from in board.occupied() {
                let direct = walk(board, from, 0);
                let seen: Vec<_> = Square::ALL
                    .into_iter()
                    .filter(|&to| attacks(board, from, to))
                    .collect();
                assert_eq!(direct, seen, "{board} {from}");
                if board.sliders().contains(from) {
                    let behind: Vec<_> = x_ray_squares(board, from).into_iter().collect();
                    assert_eq!(walk(board, from, 1), behind, "{board} {from}");
                }
                for to in board.occupied() {
                    let same = board.color_at(from) == board.color_at(to);
                    assert_eq!(defends(board, from, to), direct.contains(&to) && same);
                    assert_eq!(
                        attacks_piece(board, from, to),
                        direct.contains(&to) && !same
                    );
                }
            }
        }
    }

    #[test]
    fn supporters_include_the_second_row() {
        let board = board("3r2k1/3r4/8/3p4/8/8/3R4/3Q2K1");
        assert_eq!(supporters(&board, square("d5"), Color::White).count(), 2);
        assert_eq!(supporters(&board, square("d5"), Color::Black).count(), 2);
        assert!(!controls(&board, Color::White, square("d5")));
        // Black sees d1 and d2 only through its own pawn.
        assert!(controls(&board, Color::White, square("a1")));
    }

    #[test]
    fn batteries_need_both_to_move_along_the_line() {
        let board = board("6k1/8/8/8/8/1Q6/2B5/3R2K1");
        assert_eq!(
            batteries(&board, Color::White),
            vec![Battery {
                first: square("c2"),
                second: square("b3")
            }]
        );
    }
}
