//! A position drawn for people.

use shakmaty::{Board, Chess, Color, File, Piece, Position, Rank, Role, Square};

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

/// What a position says at a glance: who is to move, check, mate, material.
pub(crate) fn summary(position: &Chess) -> String {
    let us = position.turn();
    let mut text = if position.is_checkmate() {
        format!("{} is mated", side(us))
    } else if position.is_stalemate() {
        format!("{} is stalemated", side(us))
    } else if position.is_insufficient_material() {
        format!("{} to move; neither side can mate", side(us))
    } else if position.is_check() {
        format!("{} to move, in check", side(us))
    } else {
        format!("{} to move", side(us))
    };
    text.push_str(" · ");
    text.push_str(&material(position.board()));
    text
}

/// The material balance in words: "White has a rook for a bishop and a pawn".
pub(crate) fn material(board: &Board) -> String {
    let white = board.material_side(Color::White);
    let black = board.material_side(Color::Black);
    let mut more: [Vec<String>; 2] = [Vec::new(), Vec::new()];
    for role in [
        Role::Queen,
        Role::Rook,
        Role::Bishop,
        Role::Knight,
        Role::Pawn,
    ] {
        let difference = i32::from(*white.get(role)) - i32::from(*black.get(role));
        let side = usize::from(difference < 0);
        if difference != 0 {
            let count = difference.unsigned_abs();
            let name = gainsay::show::piece(role);
            let words = match count {
                1 => format!("a {name}"),
                2 => format!("two {name}s"),
                3 => format!("three {name}s"),
                _ => format!("{count} {name}s"),
            };
            if let Some(list) = more.get_mut(side) {
                list.push(words);
            }
        }
    }
    let [white, black] = &more;
    let list = |words: &[String]| gainsay::show::list(words, "and");
    match (white.is_empty(), black.is_empty()) {
        (true, true) => "material is even".to_owned(),
        (false, true) => format!("White is {} up", list(white)),
        (true, false) => format!("Black is {} up", list(black)),
        (false, false) => format!("White has {} for {}", list(white), list(black)),
    }
}

/// Who attacks and who defends a square, in words; `None` where nobody does.
pub(crate) fn control(position: &Chess, square: Square) -> Option<String> {
    let board = position.board();
    let by = |color: Color| -> Vec<String> {
        board
            .attacks_to(square, color, board.occupied())
            .into_iter()
            .filter_map(|from| Some((from, board.piece_at(from)?)))
            .map(|(from, piece)| format!("{}{from}", letter(piece)))
            .collect()
    };
    let (white, black) = (by(Color::White), by(Color::Black));
    if white.is_empty() && black.is_empty() {
        return None;
    }
    let said = |words: &[String]| {
        if words.is_empty() {
            "nothing".to_owned()
        } else {
            words.join(", ")
        }
    };
    Some(match board.color_at(square) {
        Some(Color::White) => format!(
            "{square} is defended by {}, attacked by {}",
            said(&white),
            said(&black)
        ),
        Some(Color::Black) => format!(
            "{square} is defended by {}, attacked by {}",
            said(&black),
            said(&white)
        ),
        None => format!(
            "{square} is covered by {} (White) and {} (Black)",
            said(&white),
            said(&black)
        ),
    })
}

fn letter(piece: Piece) -> String {
    match piece.role {
        Role::Pawn => String::new(),
        role => role.upper_char().to_string(),
    }
}

const fn side(color: Color) -> &'static str {
    gainsay::show::side(color)
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
