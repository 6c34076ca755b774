//! A position as a picture, drawn for this project.

use std::fmt::Write as _;

use shakmaty::{Chess, Color, Position, Role, Square};

/// The side of a square.
const SIDE: u32 = 45;

/// The position as SVG, `color` below; the squares of `marked` stand out.
pub(crate) fn svg(position: &Chess, color: Color, marked: &[Square]) -> String {
    let edge = SIDE * 8;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {edge} {edge}\" \
         role=\"img\" aria-label=\"{}\">",
        gainsay::show::fen(position)
    );
    for square in Square::ALL {
        let (x, y) = corner(square, color);
        let fill = match (square.is_light(), marked.contains(&square)) {
            (true, false) => "#f2ead8",
            (false, false) => "#b9a58a",
            (true, true) => "#d9e3a1",
            (false, true) => "#a9b866",
        };
        let _ = write!(
            text,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{SIDE}\" height=\"{SIDE}\" fill=\"{fill}\"/>"
        );
    }
    for (square, piece) in position.board().clone() {
        let (x, y) = corner(square, color);
        let (fill, line) = match piece.color {
            Color::White => ("#fffdf7", "#2b2723"),
            Color::Black => ("#2b2723", "#fffdf7"),
        };
        let _ = write!(
            text,
            "<path transform=\"translate({x} {y})\" d=\"{}\" fill=\"{fill}\" stroke=\"{line}\" \
             stroke-width=\"1.5\" stroke-linejoin=\"round\"/>",
            shape(piece.role)
        );
    }
    text.push_str("</svg>");
    text
}

fn corner(square: Square, color: Color) -> (u32, u32) {
    let file = u32::from(square.file());
    let rank = u32::from(square.rank());
    match color {
        Color::White => (file * SIDE, (7 - rank) * SIDE),
        Color::Black => ((7 - file) * SIDE, rank * SIDE),
    }
}

/// The outline of a piece in a square of 45 units.
const fn shape(role: Role) -> &'static str {
    match role {
        Role::Pawn => {
            "M22.5 9a6 6 0 0 1 3.6 10.8c2.5 1.7 3.9 4.6 3.9 7.7 2.9 1.6 4 5 4 9.5H11c0-4.5 1.1-7.9 \
             4-9.5 0-3.1 1.4-6 3.9-7.7A6 6 0 0 1 22.5 9z"
        }
        Role::Knight => "M14 37c0-8 6-11 7-17l-6 4-5-1 1-5 8-8 1-4 4 3c8 1 11 8 11 28z",
        Role::Bishop => {
            "M22.5 7a2.6 2.6 0 0 1 1.6 4.7c5 3.4 7 8 5.4 12.3L27 28l3 4h4v5H11v-5h4l3-4-2.5-4c-1.6\
             -4.3.4-8.900 5.4-12.3A2.600 2.600 0 0 1 22.500 7z"
        }
        Role::Rook => "M11 9h5v4h4V9h5v4h4V9h5v9l-4 3v10l4 2v4H11v-4l4-2V21l-4-3z",
        Role::Queen => "M8 12l6 9 1-12 6 11 1.500-13L24 20l6-11 1 12 6-9-4 20 1 5H11l1-5z",
        Role::King => {
            "M21 5h3v3h3v3h-3v4c7-3 14 0 13 7-.500 4-3 7-5 9v6H13v-6c-2-2-4.500-5-5-9-1-7 6-10 13-7v\
             -4h-3V8h3z"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_square_and_piece_is_drawn() {
        let text = svg(&Chess::default(), Color::White, &[Square::E4]);
        assert_eq!(text.matches("<rect").count(), 64);
        assert_eq!(text.matches("<path").count(), 32);
        assert_eq!(text.matches("#d9e3a1").count(), 1);
        let turned = svg(&Chess::default(), Color::Black, &[]);
        assert_ne!(text, turned);
    }
}
