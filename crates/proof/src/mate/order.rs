//! The fixed order in which a side's moves are looked at.

use shakmaty::{Chess, Move, Position};

use super::checks::Checks;

/// Appends the attacker's moves: checks, then captures and promotions, then the rest.
/// Gives the number of moves that may be checks.
pub(crate) fn attacking(position: &Chess, into: &mut Vec<Move>) -> usize {
    let Some(checks) = Checks::new(position) else {
        return 0;
    };
    let moves = position.legal_moves();
    let start = into.len();
    into.extend(moves.iter().copied().filter(|&m| checks.may_check(m)));
    let checking = into.len() - start;
    // The checks were taken already; telling them apart again is cheap only when
    // there are any.
    let quiet = |m: Move| checking == 0 || !checks.may_check(m);
    into.extend(moves.iter().copied().filter(|&m| forcing(m) && quiet(m)));
    into.extend(moves.iter().copied().filter(|&m| !forcing(m) && quiet(m)));
    checking
}

/// Appends the defender's moves: captures first.
pub(crate) fn defending(position: &Chess, into: &mut Vec<Move>) {
    let moves = position.legal_moves();
    into.extend(moves.iter().copied().filter(|m| m.is_capture()));
    into.extend(moves.iter().copied().filter(|m| !m.is_capture()));
}

const fn forcing(m: Move) -> bool {
    m.is_capture() || m.is_promotion()
}
