//! How many pieces bear on a square.

use shakmaty::{Bitboard, Board, Color, Square, attacks};

use super::attack::{attackers, supporters, x_ray_squares};
use super::pin::absolute_pins;

/// How many pieces of one side bear on a square.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bearing {
    /// Those that attack it directly, pinned or not (FIDE Laws 3.1.2, 3.1.3).
    pub direct: Bitboard,
    /// Those of them that a pin to their own king keeps from capturing there.
    pub held: Bitboard,
    /// Those that attack it directly, through others on the same line, as in [`supporters`], or
    /// through one piece of the other side.
    pub all: Bitboard,
}

impl Bearing {
    /// Whether an author may count so many: all that bear on the square directly, or more of
    /// those behind them, or fewer of those that are held. Common practice, no source.
    #[must_use]
    pub fn may_be(self, count: usize) -> bool {
        ((self.direct & !self.held).count()..=self.all.count()).contains(&count)
    }
}

/// The pieces of `by` that attack `target`, or defend it where it is their own.
#[must_use]
pub fn bearing(board: &Board, target: Square, by: Color) -> Bearing {
    let direct = attackers(board, target, by);
    let held = board.king_of(by).map_or(Bitboard::EMPTY, |king| {
        let pinned = absolute_pins(board, by).into_iter().filter(|pin| {
            direct.contains(pin.pinned) && !attacks::ray(king, pin.pinner).contains(target)
        });
        pinned.map(|pin| pin.pinned).collect()
    });
    let through = x_rays_to(board, target, by);
    Bearing {
        direct,
        held,
        all: direct | supporters(board, target, by) | through,
    }
}

/// The sliders of `by` that look at `target` through exactly one piece, one of the other side.
fn x_rays_to(board: &Board, target: Square, by: Color) -> Bitboard {
    let sliders = (board.sliders() & board.by_color(by)).into_iter();
    let sees = |&slider: &Square| {
        let between = attacks::between(slider, target) & board.occupied();
        x_ray_squares(board, slider).contains(target) && (between & board.by_color(!by)).any()
    };
    sliders.filter(sees).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{playouts, steps, walk};
    use shakmaty::Position;

    /// Those that bear on a square, by a walk outwards: along each line the first piece counts if
    /// it attacks the square, and the next one if it is a slider that would.
    fn walk_out(board: &Board, target: Square, by: Color) -> (Vec<Square>, Vec<Square>) {
        let (mut direct, mut all) = (Vec::new(), Vec::new());
        for (df, dr) in (-1..=1).flat_map(|df| (-1..=1).map(move |dr| (df, dr))) {
            let (mut file, mut rank) = (target.file() as i32, target.rank() as i32);
            let mut first = true;
            for distance in 1..8 {
                (file, rank) = (file + df, rank + dr);
                if (df, dr) == (0, 0) || !(0..8).contains(&file) || !(0..8).contains(&rank) {
                    break;
                }
                let here = Square::new((rank * 8 + file) as u32);
                let Some(piece) = board.piece_at(here) else {
                    continue;
                };
                let (deltas, repeats) = steps(piece);
                if !deltas.contains(&(-df, -dr)) || distance > 1 && !repeats {
                    // Through one man of the other side.
                    if first && piece.color != by {
                        let next = (1..8).map(|more| (file + df * more, rank + dr * more));
                        let next = next
                            .take_while(|(file, rank)| {
                                (0..8).contains(file) && (0..8).contains(rank)
                            })
                            .map(|(file, rank)| Square::new((rank * 8 + file) as u32))
                            .find(|&there| board.piece_at(there).is_some());
                        all.extend(next.filter(|&there| {
                            board.piece_at(there).is_some_and(|piece| {
                                let (deltas, repeats) = steps(piece);
                                piece.color == by && repeats && deltas.contains(&(-df, -dr))
                            })
                        }));
                    }
                    break;
                }
                if piece.color == by {
                    all.push(here);
                    direct.extend(first.then_some(here));
                }
                first = false;
            }
        }
        for knight in board.knights() & board.by_color(by) {
            if walk(board, knight, 0).contains(&target) {
                direct.push(knight);
                all.push(knight);
            }
        }
        direct.sort_unstable();
        all.sort_unstable();
        (direct, all)
    }

    #[test]
    fn what_bears_on_a_square_equals_a_walk_outwards_and_the_captures_there() {
        use shakmaty::{FromSetup, Setup};

        let list = |squares: Bitboard| squares.into_iter().collect::<Vec<_>>();
        let mut held = 0;
        for position in playouts(20, 60) {
            let board = position.board();
            for by in Color::ALL {
                for target in board.by_color(!by) & !board.kings() {
                    let bearing = bearing(board, target, by);
                    let (direct, all) = walk_out(board, target, by);
                    assert_eq!(list(bearing.direct), direct, "{board} {target}");
                    assert_eq!(list(bearing.all), all, "{board} {target}");
                    assert!(bearing.may_be(direct.len()) && bearing.may_be(all.len()));
                    assert!(!bearing.may_be(all.len() + 1));
                    // Those that cannot take, out of check, are held; a king by what defends.
                    let mut setup = Setup::empty();
                    setup.board = board.clone();
                    setup.turn = by;
                    let Ok(there) =
                        shakmaty::Chess::from_setup(setup, shakmaty::CastlingMode::Standard)
                    else {
                        continue;
                    };
                    if there.is_check() {
                        continue;
                    }
                    for from in bearing.direct & !board.kings() {
                        let takes = there.capture_moves().into_iter();
                        let takes = takes.filter(|m| m.to() == target);
                        let can = takes.filter(|m| m.from() == Some(from)).count() > 0;
                        assert_eq!(can, !bearing.held.contains(from), "{board} {from} {target}");
                        held += u32::from(!can);
                    }
                }
            }
        }
        assert!(held > 0);
    }
}
