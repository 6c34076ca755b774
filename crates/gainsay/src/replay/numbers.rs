//! Written move numbers against those of the moves.

use gainsay_notation::MoveNumber;
use shakmaty::Color;

use super::parts::{Cursor, Ply};
use crate::marks::Marks;

/// What a rule tells of numbers.
pub(super) const TOLD: Marks = Marks::WRONG_NUMBER.union(Marks::WRONG_DOTS);

/// What is noticed about numbers.
pub(super) const NUMBERING: Marks = TOLD.union(Marks::SAME_SHIFT).union(Marks::SAME_GAP);

/// Whether a written number, dots included, is that of the ply of this count.
pub(super) fn number_fits(number: MoveNumber, count: u32) -> bool {
    number.value == Some(count / 2)
        && if count.is_multiple_of(2) {
            number.dots < 2
        } else {
            number.dots != 1
        }
}

/// Whether a number that does not fit is that of the next move (`Some(true)`) or of the one before.
pub(crate) fn by_one(number: MoveNumber, count: u32) -> Option<bool> {
    if number_fits(number, count) {
        None
    } else if number_fits(number, count.saturating_add(1)) {
        Some(true)
    } else {
        number_fits(number, count.checked_sub(1)?).then_some(false)
    }
}

/// Compares a written number with the ply it stands before. Numbers that are off
/// by the same amount as the ones before them are not marked again. Several that are all that of the
/// next move show that a move was left out before the first of them, and several that are that of
/// the move before, that one is too many.
pub(super) fn number_marks(number: MoveNumber, ply: &Ply, cursor: &mut Cursor) -> Marks {
    let off = by_one(number, ply.count);
    let before = std::mem::replace(&mut cursor.off, off);
    if before == off && off.is_some() {
        return Marks::SAME_GAP;
    }
    let dots_fit = match (ply.side(), number.value) {
        (Color::White, Some(_)) => number.dots < 2,
        (Color::White, None) => false,
        (Color::Black, Some(_)) => number.dots != 1,
        (Color::Black, None) => number.dots > 1,
    };
    let mut marks = if dots_fit {
        Marks::empty()
    } else {
        Marks::WRONG_DOTS
    };
    if before.is_some() && !number_fits(number, ply.count) {
        // Two wrong numbers of different kinds: nobody knows which of them misleads.
        marks |= Marks::UNCOUNTED;
    }
    if let Some(value) = number.value {
        let delta = i64::from(value) - i64::from(ply.move_number());
        if delta != 0 {
            marks |= if delta == cursor.delta {
                Marks::SAME_SHIFT
            } else {
                Marks::WRONG_NUMBER
            };
        }
        cursor.delta = delta;
    }
    marks
}
