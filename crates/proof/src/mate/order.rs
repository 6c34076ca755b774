//! The fixed order in which a side's moves are looked at.

use std::ops::ControlFlow;

use shakmaty::{Bitboard, Chess, Move, Position};

use super::checks::Checks;

/// Appends the attacker's moves that may be checks, the first of his moves.
pub(crate) fn checks(position: &Chess, into: &mut Vec<Move>) {
    if let Some(checks) = Checks::new(position) {
        let ended: ControlFlow<()> = checks.each(position, &mut |m| {
            into.push(m);
            ControlFlow::Continue(())
        });
        debug_assert!(ended.is_continue());
    }
}

/// Appends the attacker's other moves: captures and promotions, then the rest.
pub(crate) fn quiet(position: &Chess, into: &mut Vec<Move>) {
    let Some(checks) = Checks::new(position) else {
        return;
    };
    let mut moves = position.legal_moves();
    moves.retain(|m| !checks.may_check(*m));
    append(&moves, forcing, into);
}

/// About how many moves the attacker has, judged by his pieces alone: the mobility that
/// each has on a fairly open board.
pub(crate) fn guess(position: &Chess) -> usize {
    let (board, us) = (position.board(), position.us());
    let moves = |pieces: Bitboard, each: usize| (pieces & us).count() * each;
    4 + moves(board.pawns(), 1)
        + moves(board.knights(), 4)
        + moves(board.bishops(), 5)
        + moves(board.rooks(), 7)
        + moves(board.queens(), 12)
}

/// Appends the defender's moves: captures first.
pub(crate) fn defending(position: &Chess, into: &mut Vec<Move>) {
    append(&position.legal_moves(), |m| m.is_capture(), into);
}

/// Appends moves, those that go `first` before the others. Which of them do is hard to
/// foresee for a processor, so there is nothing here for it to foresee.
#[inline]
fn append(moves: &[Move], first: impl Fn(&Move) -> bool, into: &mut Vec<Move>) {
    let start = into.len();
    into.extend_from_slice(moves);
    let Some(places) = into.get_mut(start..) else {
        return;
    };
    let mut next = [moves.iter().filter(|m| first(m)).count(), 0];
    for &m in moves {
        let kind = usize::from(first(&m));
        if let Some(place) = places.get_mut(next[kind]) {
            *place = m;
        }
        next[kind] += 1;
    }
}

const fn forcing(m: &Move) -> bool {
    m.is_capture() || m.is_promotion()
}
