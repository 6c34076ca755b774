//! What a cited move means where its spelling is not the standard's, and whether its signs are
//! true.

use gainsay_commentary::CitedMove;
use gainsay_notation::{Signs, WrittenMove, WrittenShape};
use shakmaty::{CastlingSide, Chess, File, Position, Role};

use crate::{
    marks::Marks,
    resolve::{Resolution, resolve, sign_marks},
    scene::Step,
};

/// What a cited move means: as the standard has it, or else by the squares that it goes from and
/// to, as in `g1f3` and `e1g1`.
pub(crate) fn meaning(position: &Chess, written: &WrittenMove) -> Resolution {
    let found = resolve(position, written);
    let WrittenShape::To {
        role: Role::Pawn,
        file: Some(file),
        rank: Some(rank),
        capture,
        to,
        promotion: None,
    } = written.shape
    else {
        return found;
    };
    if found != Resolution::Illegal {
        return found;
    }
    let from = shakmaty::Square::from_coords(file, rank);
    let Some(role) = position.board().role_at(from) else {
        return found;
    };
    let shape = match (role, from.file(), to.file()) {
        (Role::Pawn, ..) => return found,
        (Role::King, File::E, File::G) => WrittenShape::Castle(CastlingSide::KingSide),
        (Role::King, File::E, File::C) => WrittenShape::Castle(CastlingSide::QueenSide),
        _ => WrittenShape::To {
            role,
            file: Some(file),
            rank: Some(rank),
            capture,
            to,
            promotion: None,
        },
    };
    resolve(position, &WrittenMove { shape, ..*written })
}

/// Whether all that the signs of these moves say is true where they are played so: check, double
/// check, mate, and that something is taken. A sign that is left out says nothing.
pub(crate) fn signs_are_true(moves: &[CitedMove], steps: &[Step]) -> bool {
    moves
        .iter()
        .zip(steps)
        .all(|(cited, step)| step.mv.is_none() || sign_is_true(cited, step))
}

/// Whether something is taken wherever a move of a line says so.
pub(crate) fn captures_are_true(moves: &[CitedMove], steps: &[Step]) -> bool {
    moves
        .iter()
        .zip(steps)
        .all(|(cited, step)| step.mv.is_none() || takes(cited, step))
}

fn takes(cited: &CitedMove, step: &Step) -> bool {
    match meaning(&step.before, &cited.written) {
        Resolution::Legal(_, marks) => !marks.intersects(Marks::SURPLUS_CAPTURE),
        _ => true,
    }
}

fn sign_is_true(cited: &CitedMove, step: &Step) -> bool {
    let takes = takes(cited, step);
    let signs = said(cited);
    let wrong = sign_marks(signs, &step.after);
    // Old books write `++` for mate, others for a double check.
    let double = signs != Signs::DoubleCheck
        || step.after.checkers().count() > 1
        || step.after.is_checkmate();
    takes && double && !wrong.intersects(Marks::FALSE_MATE | Marks::SURPLUS_CHECK)
}

/// The sign of a move, or what the word behind it says.
pub(crate) fn said(cited: &CitedMove) -> Signs {
    if cited.mate_word {
        Signs::Mate
    } else {
        cited.written.signs
    }
}
