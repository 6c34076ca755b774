//! Which legal moves a move in descriptive notation can mean.
//!
//! It names what moves and where to, or what is taken; legality says the rest. Where that leaves
//! several moves, the conventions of the time decide (common practice, no source): a sign of check
//! or mate means the move that gives it, the side of the board the piece that stands nearer to it,
//! and `PxP` without `e.p.` the capture that is none.

use gainsay_notation::{Descriptive, Files, Man, Oddities, Signs, WrittenMove};
use shakmaty::{Chess, Color, File, Move, MoveList, Position, Rank, Role, Square};

/// The legal moves of `position` that `old` fits, in the generator's order.
#[must_use]
pub(crate) fn candidates(position: &Chess, old: &Descriptive, written: &WrittenMove) -> MoveList {
    let mut list = candidates_of_either_side(position, old, written);
    if let Some(side) = old.mover.side()
        && old.from_rank.is_none()
    {
        nearest(&mut list, side, old.mover.role, |m| m.from());
    }
    if let Some((man, side)) = old.captured.and_then(|man| Some((man, man.side()?))) {
        nearest(&mut list, side, man.role, |m| Some(m.to()));
    }
    list
}

/// The same, whatever side of the board the pieces are named by.
#[must_use]
pub(crate) fn candidates_of_either_side(
    position: &Chess,
    old: &Descriptive,
    written: &WrittenMove,
) -> MoveList {
    let mut list = position.legal_moves();
    list.retain(|&mut m| fits(position, old, m));
    let passing = written.oddities.contains(Oddities::EN_PASSANT);
    if passing || list.iter().any(|m| !m.is_en_passant()) {
        list.retain(|m| m.is_en_passant() == passing);
    }
    narrow(&mut list, |m| signs_fit(position, m, written.signs));
    list
}

/// The squares that a move of `us` can go to by what is written of its square.
#[must_use]
pub(crate) fn targets(old: &Descriptive, us: Color) -> Vec<Square> {
    let rank = old.to_rank.map(|rank| us.relative_rank(rank));
    let there =
        |square: &Square| old.to_files.contains(square.file()) && Some(square.rank()) == rank;
    Square::ALL.into_iter().filter(there).collect()
}

/// The castling moves that are legal, those with the sign where only one has it.
#[must_use]
pub(crate) fn castlings(position: &Chess, signs: Signs) -> MoveList {
    let mut list = position.legal_moves();
    list.retain(|m| m.is_castle());
    narrow(&mut list, |m| signs_fit(position, m, signs));
    list
}

/// Keeps the moves that `wanted` holds of, if it holds of any.
fn narrow(list: &mut MoveList, wanted: impl Fn(Move) -> bool) {
    if list.len() > 1 && list.iter().any(|&m| wanted(m)) {
        list.retain(|&mut m| wanted(m));
    }
}

/// Whether a move gives the check or the mate that its sign says, if there is one.
fn signs_fit(position: &Chess, m: Move, signs: Signs) -> bool {
    let after = || {
        let mut after = position.clone();
        after.play_unchecked(m);
        after
    };
    match signs {
        Signs::None => true,
        Signs::Check => after().is_check(),
        Signs::DoubleCheck => after().checkers().count() > 1,
        Signs::Mate => after().is_checkmate(),
    }
}

/// Keeps the moves whose piece, on the square that `at` gives, stands nearest to that side.
fn nearest(list: &mut MoveList, side: Files, role: Role, at: impl Fn(&Move) -> Option<Square>) {
    // A bishop keeps the side of the board that it came from by the colour of its squares.
    if role == Role::Bishop {
        return;
    }
    let file = |m: &Move| at(m).map(Square::file);
    let best = if side == Files::KING_SIDE {
        list.iter().filter_map(file).max()
    } else {
        list.iter().filter_map(file).min()
    };
    if best.is_some() {
        list.retain(|m| file(m) == best);
    }
}

/// Whether what is written is true of a legal move.
fn fits(position: &Chess, old: &Descriptive, m: Move) -> bool {
    let us = position.turn();
    let (role, Some(from), to) = (m.role(), m.from(), m.to()) else {
        return false;
    };
    if m.is_castle() || role != old.mover.role {
        return false;
    }
    let on = |square: Square, files: Files, rank: Option<Rank>| {
        files.contains(square.file())
            && rank.is_none_or(|rank| square.rank() == us.relative_rank(rank))
    };
    let origin = if old.from_rank.is_some() || role == Role::Pawn {
        old.mover.files
    } else {
        Files::ALL
    };
    on(from, origin, old.from_rank)
        && on(to, old.to_files, old.to_rank)
        && old.promotion.is_none_or(|role| m.promotion() == Some(role))
        && is_of_its_side(old.mover, from, us.is_white())
        && match old.captured {
            None => !m.is_capture(),
            Some(man) => m.capture() == Some(man.role) && is_taken(man, m, us.is_black()),
        }
}

/// Whether a captured man is the one that is named.
fn is_taken(man: Man, m: Move, is_white: bool) -> bool {
    if man.role == Role::Pawn {
        return man.files.contains(m.to().file());
    }
    is_of_its_side(man, m.to(), is_white)
}

/// Whether a bishop that is named by its side stands on squares of its colour; of other pieces
/// a square does not tell.
fn is_of_its_side(man: Man, at: Square, is_white: bool) -> bool {
    let Some(side) = man.side().filter(|_| man.role == Role::Bishop) else {
        return true;
    };
    let file = if side == Files::KING_SIDE {
        File::F
    } else {
        File::C
    };
    let home = if is_white { Rank::First } else { Rank::Eighth };
    at.is_light() == Square::from_coords(file, home).is_light()
}

#[cfg(test)]
mod tests;
