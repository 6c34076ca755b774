//! How free a piece is, and how much it has to guard: what "trapped" and "overloaded" are
//! refuted by. The narrow senses are [`super::trapped`] and [`super::overloaded`].

use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Square};

use super::attack::x_ray_squares;
use super::exchange::{exchange_of, hanging, safe_squares};
use super::pin::pins;

/// The squares that the piece on `from` reaches in at most two moves of its own, the other
/// side passing, on each of which it loses nothing by exchange ([`safe_squares`]); the one
/// it stands on left out. A piece that is shut in, as a rook between its king and the
/// corner, reaches few. Common practice, no source.
#[must_use]
pub fn roams(board: &Board, from: Square) -> Bitboard {
    let near = safe_squares(board, from);
    let Some(piece) = board.piece_at(from) else {
        return near;
    };
    let mut reached = near;
    for stop in near {
        let mut moved = board.clone();
        moved.discard_piece_at(from);
        moved.set_piece_at(stop, piece);
        reached |= safe_squares(&moved, stop);
    }
    reached.without(from)
}

/// Whether a piece is anything but trapped: it is not pinned in any way, has a safe move,
/// and reaches at least `FREE` squares in two ([`roams`]). Common practice, no source.
#[must_use]
pub fn is_free(board: &Board, square: Square) -> bool {
    /// A knight in the corner with one way out reaches as many.
    const FREE: usize = 4;
    let Some(color) = board.color_at(square) else {
        return false;
    };
    let pinned = pins(board, color).iter().any(|pin| pin.pinned == square);
    !pinned && roams(board, square).count() >= FREE
}

/// A move of the piece on `from`, whose side is to move, after which the other side has no
/// move that traps it: whatever it plays, the piece does not hang or has a safe square
/// again. The move itself loses nothing by exchange. Common practice, no source.
pub fn ways_out(position: &Chess, from: Square) -> impl Iterator<Item = Move> {
    position
        .legal_moves()
        .into_iter()
        .filter(move |m| m.from() == Some(from) && !m.is_castle())
        .filter(|&m| exchange_of(position, m) >= 0)
        .filter(|&m| {
            let mut after = position.clone();
            after.play_unchecked(m);
            let to = m.to();
            after.legal_moves().into_iter().all(|reply| {
                let mut then = after.clone();
                then.play_unchecked(reply);
                let board = then.board();
                reply.to() == to || !hanging(board, to) || !safe_squares(board, to).is_empty()
            })
        })
}

/// The squares that the piece on `from` guards or may be thought to: it attacks them,
/// perhaps through another piece, and the other side could at once capture, check or
/// promote there, or takes a square next to its king, were it to move. A piece with one
/// such square at most has not two duties in any sense. Common practice, no source.
///
/// `position` is one in which the other side is to move.
#[must_use]
pub fn tasks(position: &Chess, from: Square) -> Bitboard {
    let board = position.board();
    let Some(color) = board.color_at(from) else {
        return Bitboard::EMPTY;
    };
    let covered = board.attacks_from(from) | x_ray_squares(board, from);
    let home = king_ring(board, color);
    position
        .legal_moves()
        .into_iter()
        .filter(|m| covered.contains(m.to()))
        .filter(|&m| {
            m.is_capture() || m.is_promotion() || home.contains(m.to()) || {
                let mut after = position.clone();
                after.play_unchecked(m);
                after.is_check()
            }
        })
        .map(|m| m.to())
        .collect()
}

/// The squares next to a side's king.
fn king_ring(board: &Board, color: Color) -> Bitboard {
    board
        .king_of(color)
        .map_or(Bitboard::EMPTY, shakmaty::attacks::king_attacks)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, position, square};
    use shakmaty::Role;

    /// Two moves in a row, played with the rules library: the other side passes between.
    #[test]
    fn roaming_equals_playing_two_moves() {
        let mut seen = 0;
        for position in playouts(30, 90) {
            let board = position.board();
            for from in position.us() & !board.kings() & !board.pawns() {
                let safe = |position: &Chess, from: Square| -> Vec<Move> {
                    let moves = position.legal_moves().into_iter();
                    moves
                        .filter(|m| m.from() == Some(from) && exchange_of(position, *m) >= 0)
                        .collect()
                };
                let mut expected = Bitboard::EMPTY;
                for m in safe(&position, from) {
                    expected.add(m.to());
                    let mut setup = position.to_setup(shakmaty::EnPassantMode::Legal);
                    let piece = setup.board.remove_piece_at(from).unwrap();
                    setup.board.set_piece_at(m.to(), piece);
                    setup.castling_rights = Bitboard::EMPTY;
                    setup.ep_square = None;
                    // A check that the first move gives does not end the wandering.
                    let Ok(next) = setup
                        .position::<Chess>(shakmaty::CastlingMode::Standard)
                        .or_else(shakmaty::PositionError::ignore_impossible_check)
                    else {
                        expected |= roams(board, from);
                        continue;
                    };
                    for m in safe(&next, m.to()) {
                        expected.add(m.to());
                    }
                }
                seen += expected.count();
                assert_eq!(roams(board, from), expected.without(from), "{board} {from}");
            }
        }
        assert!(seen > 2000);
    }

    #[test]
    fn shut_in_and_free() {
        // The rook h1 between its king and the corner.
        let shut = board("6k1/5ppp/8/8/8/8/5PPP/5K1R");
        assert!(!is_free(&shut, square("h1")));
        // The knight h8 can go to g6 and on from there, or to neither g6 nor f7.
        assert!(is_free(&board("4k2N/6p1/8/8/8/8/8/6K1"), square("h8")));
        assert!(!is_free(&board("4k2N/6pp/8/8/8/8/8/6K1"), square("h8")));
        // A pinned piece is never called free.
        let pinned = board("4k3/8/8/b7/8/2N5/8/4K3");
        assert!(!is_free(&pinned, square("c3")));
    }

    #[test]
    fn a_way_out_must_not_lead_into_another_trap() {
        // The bishop a7 took a pawn: b6 shuts it in, and b8 is free as long as the king is far.
        let p = position("4k3/B1p2ppp/1p6/8/8/8/5PPP/6K1 w - - 0 1");
        assert_eq!(ways_out(&p, square("a7")).count(), 1);
        let p = position("2k5/B1p2ppp/1p6/8/8/8/5PPP/6K1 w - - 0 1");
        let out: Vec<Square> = ways_out(&p, square("a7")).map(|m| m.to()).collect();
        assert!(out.is_empty(), "{out:?}");
        let p = position("4k3/5ppp/8/4N3/3P4/8/5PPP/6K1 w - - 0 1");
        assert!(ways_out(&p, square("e5")).count() >= 4);
    }

    /// Duties counted with the rules library alone: what a move of the other side does.
    #[test]
    fn tasks_equal_their_definition_in_random_games() {
        let mut seen = 0;
        for position in playouts(40, 90) {
            let board = position.board();
            for from in position.them() {
                let piece = board.piece_at(from).unwrap();
                let mut expected = Bitboard::EMPTY;
                for m in position.legal_moves() {
                    let to = m.to();
                    let mut seen_through = board.clone();
                    // Through the first piece on its line, for those that move in lines.
                    let mut sees = board.attacks_from(from).contains(to);
                    for first in board.attacks_from(from) & board.occupied() {
                        let lifted = seen_through.remove_piece_at(first).unwrap();
                        sees |= piece.role != Role::King
                            && seen_through.attacks_from(from).contains(to);
                        seen_through.set_piece_at(first, lifted);
                    }
                    let king = board.king_of(piece.color).unwrap();
                    let mut after = position.clone();
                    after.play_unchecked(m);
                    let grave = m.is_capture()
                        || m.promotion().is_some()
                        || after.is_check()
                        || king.distance(to) == 1;
                    if sees && grave {
                        expected.add(to);
                    }
                }
                seen += expected.count();
                assert_eq!(tasks(&position, from), expected, "{board} {from}");
            }
        }
        assert!(seen > 1000);
    }
}
