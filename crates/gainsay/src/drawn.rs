//! Positions that stand by themselves: lines of FEN or EPD, and boards that are drawn.

use gainsay_notation::SectionKind;
use shakmaty::{Chess, Color};

use crate::{
    boards::{board, to_move, words},
    epd::record,
};

/// The positions that a block can mean: one of a line, none where it is no position, and of a board
/// that is drawn one for each side that may be to move.
pub(crate) fn positions(kind: SectionKind, text: &[u8]) -> Vec<Chess> {
    match kind {
        SectionKind::Epd => record::position(text).into_iter().collect(),
        SectionKind::Board => board(text).map_or_else(Vec::new, |board| {
            let told = turn(text);
            let sides = [Color::White, Color::Black].into_iter();
            let sides = sides.filter(|&side| told.is_none_or(|told| told == side));
            sides.filter_map(|side| to_move(&board, side)).collect()
        }),
        SectionKind::Games | SectionKind::Prose => Vec::new(),
    }
}

/// The number in the caption of a board that is drawn.
pub(crate) fn number(kind: SectionKind, text: &[u8]) -> Option<u32> {
    if kind != SectionKind::Board {
        return None;
    }
    std::str::from_utf8(words(text).last()?).ok()?.parse().ok()
}

/// Who is to move, if that is told below the board.
fn turn(text: &[u8]) -> Option<Color> {
    match words(text).nth(1)? {
        b"w" => Some(Color::White),
        b"b" => Some(Color::Black),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_has_a_position_for_each_side_that_can_be_to_move() {
        let of = |text: &str| positions(SectionKind::Board, text.as_bytes());
        assert_eq!(of("4k3/8/8/8/8/8/8/4K2R 7\n").len(), 2);
        assert_eq!(
            number(SectionKind::Board, b"4k3/8/8/8/8/8/8/4K2R 7\n"),
            Some(7)
        );
        // Black is in check, so it is Black's turn.
        let [only] = &of("4k2R/8/8/8/8/8/8/4K3\n")[..] else {
            panic!("one position")
        };
        assert_eq!(shakmaty::Position::turn(only), Color::Black);
        // No kings: a board that shows how a piece moves.
        assert!(of("8/8/8/8/4N3/8/8/8\n").is_empty());
        let castled = &of("4k3/8/8/8/8/8/8/4K2R\n")[0];
        assert!(
            shakmaty::Position::castles(castled)
                .has(Color::White, shakmaty::CastlingSide::KingSide)
        );
    }
}
