//! What a move does.

use shakmaty::{Move, Role, Square};

/// Where the piece that the move takes stands: on its target, or beside it where it takes
/// en passant (FIDE Laws 3.1 and 3.7.3.1); `None` where it takes nothing.
#[must_use]
pub fn taken_on(m: Move) -> Option<Square> {
    match m {
        Move::EnPassant { from, to } => Some(Square::from_coords(to.file(), from.rank())),
        _ => m.is_capture().then(|| m.to()),
    }
}

/// Whether a pawn makes its double step (FIDE Laws 3.7.2).
#[must_use]
pub fn is_double_step(m: Move) -> bool {
    let ranks = |from: Square| i32::from(from.rank()).abs_diff(i32::from(m.to().rank()));
    m.role() == Role::Pawn && m.from().is_some_and(|from| ranks(from) == 2)
}

#[cfg(test)]
mod tests {
    use shakmaty::{Color, Position};

    use super::*;
    use crate::facts::testing::{playouts, position};

    /// The facts again, told from the boards before and behind a move alone.
    #[test]
    fn what_is_gone_from_the_board_was_taken() {
        let en_passant = position("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 2");
        let (mut taken, mut double) = (0, 0);
        for before in playouts(30, 120).into_iter().chain([en_passant]) {
            for m in before.legal_moves() {
                let mut after = before.clone();
                after.play_unchecked(m);
                let theirs = before.board().by_color(!before.turn());
                let gone = theirs & !after.board().by_color(!before.turn());
                assert_eq!(taken_on(m), gone.first(), "{m:?}");
                taken += gone.count();
                let pawns = |position: &shakmaty::Chess| {
                    position.board().pawns() & position.board().by_color(before.turn())
                };
                let moved = pawns(&before) ^ pawns(&after);
                let mut ranks: Vec<u32> = (moved.into_iter())
                    .map(|square| u32::from(square.rank()))
                    .collect();
                ranks.sort_unstable();
                let steps = match before.turn() {
                    Color::White => ranks == [1, 3],
                    Color::Black => ranks == [4, 6],
                };
                assert_eq!(is_double_step(m), steps, "{m:?}");
                double += usize::from(steps);
            }
        }
        assert!(taken > 100 && double > 100);
    }
}
