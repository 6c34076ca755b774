//! Boards that are drawn, as positions.

use std::num::NonZeroU32;

use gainsay_notation::{CommentPart, Span, comment_parts};
use shakmaty::{Bitboard, Board, CastlingMode, Chess, Color, FromSetup, Setup, Square};

/// What stands on a board that is drawn.
pub(crate) fn board(text: &[u8]) -> Option<Board> {
    let placement = words(text).next()?;
    Board::from_ascii_board_fen(placement).ok()
}

/// The boards that a comment prints, as the reader of a manuscript writes them into it.
pub(crate) fn diagrams_of(text: &[u8], comment: Span) -> impl Iterator<Item = Board> {
    comment_parts(text, comment).filter_map(|part| match part {
        CommentPart::Command {
            name, arguments, ..
        } if name.of(text) == b"printed" => board(arguments.of(text)),
        _ => None,
    })
}

/// A board as the position of a game in which the move with this count comes next.
pub(crate) fn at_count(board: &Board, count: u32) -> Option<Chess> {
    let turn = Color::from_white(count.is_multiple_of(2));
    let setup = Setup {
        fullmoves: NonZeroU32::new(count / 2)?,
        ..setup(board, turn)
    };
    Chess::from_setup(setup, CastlingMode::Standard).ok()
}

pub(crate) fn words(text: &[u8]) -> impl Iterator<Item = &[u8]> {
    let words = text.split(u8::is_ascii_whitespace);
    words.filter(|word| !word.is_empty())
}

/// A board with this side to move.
pub(crate) fn to_move(board: &Board, turn: Color) -> Option<Chess> {
    Chess::from_setup(setup(board, turn), CastlingMode::Standard).ok()
}

/// A board with this side to move. Castling is taken to be allowed where king and rook stand at home
/// (Codex for Chess Composition of the WFCC, article 16: unless it can be proved that it is not).
fn setup(board: &Board, turn: Color) -> Setup {
    let mut castling = Bitboard::EMPTY;
    for (king, rooks) in [
        (Square::E1, [Square::A1, Square::H1]),
        (Square::E8, [Square::A8, Square::H8]),
    ] {
        let color = Color::from_white(king == Square::E1);
        if board.king_of(color) == Some(king) {
            let own = board.by_piece(shakmaty::Role::Rook.of(color));
            let home = rooks.into_iter().filter(|&rook| own.contains(rook));
            home.for_each(|rook| castling.add(rook));
        }
    }
    Setup {
        board: board.clone(),
        turn,
        castling_rights: castling,
        ..Setup::empty()
    }
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
