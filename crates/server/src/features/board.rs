//! A position drawn for people.

use gainsay_draw::Picture;
use shakmaty::{Board, ByRole, Chess, Color, File, Piece, Position, Rank, Role, Square};

use crate::words::board::{self as words, Standing, Surplus};

/// Draws a board with letters, White below: capitals are White's pieces, small
/// letters Black's. The squares of `marked` stand between brackets.
pub(crate) fn letters(board: &Board, marked: &[Square]) -> String {
    let mut text = String::with_capacity(9 * 22);
    for rank in Rank::ALL.into_iter().rev() {
        text.push(rank.char());
        text.push(' ');
        let mut closes = false;
        for file in File::ALL {
            let square = Square::from_coords(file, rank);
            let mark = marked.contains(&square);
            text.push(match (mark, closes) {
                (true, _) => '[',
                (false, true) => ']',
                (false, false) => ' ',
            });
            closes = mark;
            text.push(match board.piece_at(square) {
                Some(piece) => piece.char(),
                None if square.is_light() => '·',
                None => ':',
            });
        }
        if closes {
            text.push(']');
        }
        text.push('\n');
    }
    text.push_str("   a b c d e f g h\n");
    text
}

/// Draws a position as SVG, White below, without a frame; the squares of `marked` stand out.
pub(crate) fn picture(position: &Chess, marked: &[Square]) -> String {
    let mut picture = Picture::of(position.board(), position.turn());
    picture.framed = false;
    picture.moved = marked.iter().copied().collect();
    picture.svg()
}

/// What a position says at a glance: who is to move, check, mate, material.
pub(crate) fn summary(position: &Chess) -> String {
    let standing = if position.is_checkmate() {
        Standing::Mated
    } else if position.is_stalemate() {
        Standing::Stalemated
    } else if position.is_insufficient_material() {
        Standing::Dead
    } else if position.is_check() {
        Standing::InCheck
    } else {
        Standing::ToMove
    };
    let [white, black] = surplus(position.board());
    format!(
        "{} · {}",
        words::standing(position.turn(), standing),
        words::material(&white, &black)
    )
}

/// What White has more of than Black, and Black than White, the greatest pieces first.
fn surplus(board: &Board) -> [Surplus; 2] {
    let white = board.material_side(Color::White);
    let black = board.material_side(Color::Black);
    let more = |own: &ByRole<u8>, other: &ByRole<u8>| {
        let roles = Role::ALL.into_iter().rev();
        let more = roles.map(|role| (own.get(role).saturating_sub(*other.get(role)), role));
        more.filter(|(count, _)| *count > 0)
            .map(|(count, role)| (u32::from(count), role))
            .collect()
    };
    [more(&white, &black), more(&black, &white)]
}

/// Who attacks and who defends a square, in words; `None` where nobody does.
pub(crate) fn control(position: &Chess, square: Square) -> Option<String> {
    let board = position.board();
    let by = |color: Color| -> Vec<(Piece, Square)> {
        board
            .attacks_to(square, color, board.occupied())
            .into_iter()
            .filter_map(|from| Some((board.piece_at(from)?, from)))
            .collect()
    };
    let (white, black) = (by(Color::White), by(Color::Black));
    let covered = !white.is_empty() || !black.is_empty();
    covered.then(|| words::control(square, board.color_at(square), &white, &black))
}

#[cfg(test)]
mod tests {
    use shakmaty::{CastlingMode, fen::Fen};

    use super::*;

    fn position(fen: &str) -> Chess {
        fen.parse::<Fen>()
            .expect("a FEN")
            .into_position(CastlingMode::Standard)
            .expect("a position")
    }

    #[test]
    fn draws_with_marks() {
        let text = letters(
            position("6k1/8/8/8/8/8/8/R5K1 b - - 0 1").board(),
            &[Square::A1, Square::H8],
        );
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "8  · : · : · : k[:]");
        assert_eq!(lines[7], "1 [R]· : · : · K ·");
    }

    #[test]
    fn says_who_is_mated_and_what_is_up() {
        let mate = position("R5k1/5ppp/8/8/8/8/8/6K1 b - - 0 1");
        assert_eq!(
            summary(&mate),
            "Black is mated · White has a rook for three pawns"
        );
        let even = Chess::default();
        assert_eq!(summary(&even), "White to move · material is even");
    }

    #[test]
    fn says_who_covers_a_square() {
        let start = Chess::default();
        assert_eq!(
            control(&start, Square::F2).as_deref(),
            Some("f2 is defended by Ke1, attacked by nothing")
        );
        assert_eq!(control(&start, Square::E4), None);
    }
}
