//! Forks, skewers and discoveries.

use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::attack::{XRay, x_rays};
use super::exchange::{exchange, role_value};

/// The enemy pieces, pawns and king included, that the piece on `from` attacks.
/// The widest sense of "attacks two pieces at once".
#[must_use]
pub fn attacked_pieces(board: &Board, from: Square) -> Bitboard {
    board.color_at(from).map_or(Bitboard::EMPTY, |color| {
        board.attacks_from(from) & board.by_color(!color)
    })
}

/// The targets of a fork from `from`: attacked enemy pieces that are the king, worth
/// more than the attacker, or won by exchange if it captures them. Common practice,
/// no source.
#[must_use]
pub fn fork_targets(board: &Board, from: Square) -> Bitboard {
    let Some(attacker) = board.role_at(from) else {
        return Bitboard::EMPTY;
    };
    attacked_pieces(board, from)
        .into_iter()
        .filter(|&target| {
            board.role_at(target).is_some_and(|role| {
                role == Role::King
                    || role_value(role) > role_value(attacker)
                    || exchange(board, from, target).is_some_and(|value| value > 0)
            })
        })
        .collect()
}

/// Every piece of `by` that forks, with its targets: at least two of
/// [`fork_targets`]. Common practice, no source.
#[must_use]
pub fn forks(board: &Board, by: Color) -> Vec<(Square, Bitboard)> {
    several(board, by, fork_targets)
}

/// Every piece of `by` that attacks two or more enemy pieces, whatever their worth:
/// the wide sense of "double attack". Common practice, no source.
#[must_use]
pub fn double_attacks(board: &Board, by: Color) -> Vec<(Square, Bitboard)> {
    several(board, by, attacked_pieces)
}

fn several(
    board: &Board,
    by: Color,
    targets: impl Fn(&Board, Square) -> Bitboard,
) -> Vec<(Square, Bitboard)> {
    board
        .by_color(by)
        .into_iter()
        .map(|from| (from, targets(board, from)))
        .filter(|(_, targets)| targets.more_than_one())
        .collect()
}

/// A slider that attacks a piece behind which another stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Skewer {
    /// The slider.
    pub attacker: Square,
    /// The piece attacked, king or worth no less than the one behind.
    pub front: Square,
    /// The piece that falls when the front one leaves.
    pub behind: Square,
}

/// The skewers of `by`: its slider attacks an enemy piece that is the king or is worth
/// at least as much as the next enemy piece behind it on the line, that piece being
/// no pawn or no defended pawn. Common practice, no source.
#[must_use]
pub fn skewers(board: &Board, by: Color) -> Vec<Skewer> {
    let theirs = board.by_color(!by);
    x_rays(board, by)
        .into_iter()
        .filter(|ray| theirs.contains(ray.through) && theirs.contains(ray.target))
        .filter(|ray| {
            let (Some(front), Some(behind)) =
                (board.role_at(ray.through), board.role_at(ray.target))
            else {
                return false;
            };
            let idle = behind == Role::Pawn
                && board
                    .attacks_to(ray.target, !by, board.occupied())
                    .without(ray.through)
                    .any();
            behind != Role::King && role_value(front) >= role_value(behind) && !idle
        })
        .map(|ray| Skewer {
            attacker: ray.slider,
            front: ray.through,
            behind: ray.target,
        })
        .collect()
}

/// The lines of `by` that one of its own pieces masks: moving `through` away would
/// uncover an attack of `slider` on the enemy piece on `target`. The condition for a
/// discovered attack. Common practice, no source.
#[must_use]
pub fn masked_lines(board: &Board, by: Color) -> Vec<XRay> {
    x_rays(board, by)
        .into_iter()
        .filter(|ray| {
            board.color_at(ray.through) == Some(by) && board.color_at(ray.target) == Some(!by)
        })
        .collect()
}

/// An attack that a move uncovers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Discovery {
    /// The slider whose line was opened; it did not move itself.
    pub attacker: Square,
    /// The enemy piece it attacks now and did not attack before.
    pub target: Square,
}

/// The attacks that the legal move `m` uncovers: sliders of the mover, other than the
/// moved piece, that attack an enemy piece after the move and not before it. En
/// passant may uncover by lifting the captured pawn, too. Common practice, no source.
#[must_use]
pub fn discoveries(position: &Chess, m: Move) -> Vec<Discovery> {
    let mover = position.turn();
    let before = position.board();
    let Ok(next) = position.clone().play(m) else {
        return Vec::new();
    };
    let after = next.board();
    let mut found = Vec::new();
    for attacker in after.sliders() & after.by_color(mover) & before.by_color(mover) {
        if before.piece_at(attacker) != after.piece_at(attacker) {
            continue;
        }
        let old = before.attacks_from(attacker);
        for target in after.attacks_from(attacker) & after.by_color(!mover) {
            if !old.contains(target) {
                found.push(Discovery { attacker, target });
            }
        }
    }
    found
}

/// Whether the legal move `m` gives discovered check: a slider other than the moved
/// piece attacks the king. Common practice, no source.
#[must_use]
pub fn gives_discovered_check(position: &Chess, m: Move) -> bool {
    let mover = position.turn();
    position
        .clone()
        .play(m)
        .ok()
        .and_then(|next| next.board().king_of(!mover))
        .is_some_and(|king| discoveries(position, m).iter().any(|d| d.target == king))
}

/// Whether the legal move `m` gives double check: two pieces attack the king at once.
#[must_use]
pub fn gives_double_check(position: &Chess, m: Move) -> bool {
    position
        .clone()
        .play(m)
        .is_ok_and(|next| is_double_check(&next))
}

/// Whether the side to move is in double check.
#[must_use]
pub fn is_double_check(position: &Chess) -> bool {
    position.checkers().more_than_one()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, position, square, uci};

    #[test]
    fn a_knight_forks_king_and_rook() {
        let b = board("r3k3/2N5/8/8/8/8/8/4K3");
        assert_eq!(
            forks(&b, Color::White),
            vec![(square("c7"), Bitboard::from(square("a8")) | square("e8"))]
        );
        let b = board("4k3/2p1p3/8/3N4/8/8/8/4K3");
        // Two defended pawns are attacked, but nothing is forked: e7 is held by the king.
        assert_eq!(double_attacks(&b, Color::White).len(), 1);
        assert!(forks(&b, Color::White).is_empty());
    }

    /// Forks and skewers, said by walking from the piece square by square.
    #[test]
    fn forks_and_skewers_equal_their_definition_in_random_games() {
        let (mut forked, mut skewered) = (0, 0);
        for position in playouts(80, 100) {
            let board = position.board();
            let us = position.turn();
            let mut expected = Vec::new();
            let mut lined = Vec::new();
            for from in position.us() {
                let worth = role_value(board.role_at(from).unwrap());
                let targets: Bitboard = position
                    .them()
                    .into_iter()
                    .filter(|&target| board.attacks_from(from).contains(target))
                    .filter(|&target| {
                        let role = board.role_at(target).unwrap();
                        role_value(role) > worth
                            || position.legal_moves().iter().any(|&m| {
                                m.from() == Some(from)
                                    && m.to() == target
                                    && m.promotion().is_none_or(|r| r == Role::Queen)
                                    && crate::facts::exchange_of(&position, m) > 0
                            })
                    })
                    .collect();
                if targets.count() > 1 {
                    expected.push((from, targets));
                }
                let slides = board.sliders().contains(from);
                for front in board.attacks_from(from) & position.them() {
                    // The next man behind on the same line.
                    let behind = Square::ALL
                        .into_iter()
                        .filter(|&s| shakmaty::attacks::between(from, s).contains(front))
                        .filter(|&s| board.occupied().contains(s))
                        .min_by_key(|s| s.distance(front));
                    let Some(behind) = behind.filter(|_| slides) else {
                        continue;
                    };
                    let (a, b) = (
                        board.role_at(front).unwrap(),
                        board.role_at(behind).unwrap(),
                    );
                    let idle = b == Role::Pawn
                        && board.occupied().into_iter().any(|s| {
                            s != front
                                && board.color_at(s) == Some(!us)
                                && board.attacks_from(s).contains(behind)
                        });
                    if position.them().contains(behind)
                        && b != Role::King
                        && role_value(a) >= role_value(b)
                        && !idle
                    {
                        lined.push((from, front, behind));
                    }
                }
            }
            forked += expected.len();
            skewered += lined.len();
            assert_eq!(forks(board, us), expected, "{board}");
            let mut found: Vec<_> = skewers(board, us)
                .iter()
                .map(|s| (s.attacker, s.front, s.behind))
                .collect();
            found.sort_unstable();
            lined.sort_unstable();
            assert_eq!(found, lined, "{board}");
        }
        assert!(forked > 50 && skewered > 50);
    }

    #[test]
    fn skewers_want_the_better_piece_in_front() {
        let b = board("4r3/8/8/4k3/8/8/8/4R1K1");
        assert_eq!(
            skewers(&b, Color::White),
            vec![Skewer {
                attacker: square("e1"),
                front: square("e5"),
                behind: square("e8")
            }]
        );
        let b = board("4k3/8/8/4r3/8/8/8/4R1K1");
        assert!(skewers(&b, Color::White).is_empty());
    }

    #[test]
    fn discovered_and_double_check() {
        let p = position("4k3/8/8/8/4N3/8/8/4R1K1 w - - 0 1");
        assert!(gives_discovered_check(&p, uci(&p, "e4c3")));
        assert!(!gives_double_check(&p, uci(&p, "e4c3")));
        assert!(gives_double_check(&p, uci(&p, "e4f6")));
        assert!(gives_double_check(&p, uci(&p, "e4d6")));
        assert!(!gives_discovered_check(&p, uci(&p, "g1h1")));
    }

    /// A discovered check, said otherwise: after the move the king is attacked by a
    /// piece that stands where it stood before.
    #[test]
    fn discovered_checks_equal_their_definition_in_random_games() {
        let mut seen = 0;
        for position in playouts(80, 90) {
            for m in position.legal_moves() {
                if m.is_castle() {
                    continue;
                }
                let mut next = position.clone();
                next.play_unchecked(m);
                let uncovered = next.checkers().without(m.to()).any();
                seen += usize::from(uncovered);
                assert_eq!(
                    gives_discovered_check(&position, m),
                    uncovered,
                    "{} {m}",
                    position.board()
                );
                assert_eq!(
                    gives_double_check(&position, m),
                    next.checkers().count() == 2
                );
            }
        }
        assert!(seen > 20);
    }

    #[test]
    fn masked_lines_are_the_discoveries_to_come() {
        let b = board("4k3/8/8/8/4N3/8/8/4R1K1");
        assert_eq!(masked_lines(&b, Color::White).len(), 1);
    }
}
