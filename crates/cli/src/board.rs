//! A position drawn with letters.

use shakmaty::{Color, File, Rank, Square, fen::Fen};

/// Draws the position of a FEN, White below: capitals are White's pieces, small
/// letters Black's. `None` where it is no FEN.
pub(crate) fn draw(fen: &str) -> Option<String> {
    let setup = fen.parse::<Fen>().ok()?.into_setup();
    let mut text = String::new();
    for rank in Rank::ALL.into_iter().rev() {
        text.push_str(&format!("  {} ", rank.char()));
        for file in File::ALL {
            let square = Square::from_coords(file, rank);
            text.push(' ');
            text.push(match setup.board.piece_at(square) {
                Some(piece) => piece.char(),
                None if square.is_light() => '·',
                None => ':',
            });
        }
        text.push('\n');
    }
    text.push_str("     a b c d e f g h   ");
    text.push_str(match setup.turn {
        Color::White => "White to move",
        Color::Black => "Black to move",
    });
    text.push('\n');
    Some(text)
}

#[cfg(test)]
mod tests {
    use super::draw;

    #[test]
    fn draws_white_below() {
        let text = draw("6k1/8/8/8/8/8/8/R5K1 b - - 0 1").expect("a board");
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "  8  · : · : · : k :");
        assert_eq!(lines[7], "  1  R · : · : · K ·");
        assert_eq!(lines[8], "     a b c d e f g h   Black to move");
        assert_eq!(draw("nothing"), None);
    }
}
