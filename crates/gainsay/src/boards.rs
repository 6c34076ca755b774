//! Boards that are drawn, as positions.

use std::num::NonZeroU32;

use gainsay_notation::{CommentPart, Span, comment_parts, setup_of};
use shakmaty::{Board, CastlingMode, Chess, Color, FromSetup, Setup};

/// What stands on a board that is drawn.
pub(crate) fn board(text: &[u8]) -> Option<Board> {
    let placement = words(text).next()?;
    Board::from_ascii_board_fen(placement).ok()
}

/// The boards that a comment prints, as the reader of a manuscript writes them into it, each with its
/// place.
pub(crate) fn diagrams_of(text: &[u8], comment: Span) -> impl Iterator<Item = (Span, Board)> {
    comment_parts(text, comment).filter_map(|part| match part {
        CommentPart::Command {
            span,
            name,
            arguments,
        } if name.of(text) == b"printed" => Some((span, board(arguments.of(text))?)),
        _ => None,
    })
}

/// A board as the position of a game in which the move with this count comes next.
pub(crate) fn at_count(board: &Board, count: u32) -> Option<Chess> {
    let turn = Color::from_white(count.is_multiple_of(2));
    let setup = Setup {
        fullmoves: NonZeroU32::new(count / 2)?,
        ..setup_of(board, turn)
    };
    Chess::from_setup(setup, CastlingMode::Standard).ok()
}

/// The words of a line.
pub(crate) fn words(text: &[u8]) -> impl Iterator<Item = &[u8]> {
    let words = text.split(u8::is_ascii_whitespace);
    words.filter(|word| !word.is_empty())
}

/// A board with this side to move.
pub(crate) fn to_move(board: &Board, turn: Color) -> Option<Chess> {
    Chess::from_setup(setup_of(board, turn), CastlingMode::Standard).ok()
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_game_goes_on_from_a_diagram_behind_a_slip() {
        let findings = |board: &str, last: &str| {
            let text = format!(
                "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Kt-P 6. d4\n\
                 {{[%printed {board}] So far.}} b5 7. Bb3 {last} *\n"
            );
            let settings = crate::Settings {
                claims: false,
                ..crate::Settings::default()
            };
            let found = crate::check(text.as_bytes(), &settings).findings;
            found
                .iter()
                .map(|finding| finding.rule.name)
                .collect::<Vec<_>>()
        };
        let board = "r1bqkb1r/1ppp1ppp/p1n5/4p3/B2Pn3/5N2/PPP2PPP/RNBQ1RK1";
        assert_eq!(findings(board, "d5"), ["unreadable-move"]);
        assert_eq!(findings(board, "Ke4"), ["unreadable-move", "illegal-move"]);
        // From another board the move behind cannot be played, and nothing is told.
        let other = "r1bqkb1r/2pp1ppp/p1n5/1p2p3/B2Pn3/5N2/PPP2PPP/RNBQ1RK1";
        assert_eq!(findings(other, "Ke4"), ["unreadable-move"]);
    }
}
