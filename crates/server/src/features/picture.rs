//! A position as a picture, drawn for this project.
//!
//! The pieces are those of the editors' board: `pieces.json` is a copy of
//! `editors/vscode/media/pieces.json`, since a package holds nothing from outside its
//! folder. The colours are those of `editors/vscode/src/board/drawing.ts`.

use std::{collections::BTreeMap, fmt::Write as _, sync::LazyLock};

use serde::Deserialize;
use shakmaty::{Chess, Color, Position, Role, Square};

/// The side of a square, that of the pieces' drawings.
const SIDE: u32 = 100;

/// The pieces' drawings, SVG path data by the English names of the pieces.
#[derive(Debug, Default, Deserialize)]
struct Set {
    pieces: BTreeMap<String, Drawing>,
}

#[derive(Debug, Deserialize)]
struct Drawing {
    /// Filled and outlined.
    body: String,
    /// Outlined only.
    lines: String,
}

static SET: LazyLock<Set> = LazyLock::new(|| {
    // The file is part of the program and tested, so there is nothing to say of a fault.
    serde_json::from_str(include_str!("pieces.json")).unwrap_or_default()
});

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
            (true, false) => "#f3e6e4",
            (false, false) => "#8f87b8",
            (true, true) => "#f2c778",
            (false, true) => "#e3b85e",
        };
        let _ = write!(
            text,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{SIDE}\" height=\"{SIDE}\" fill=\"{fill}\"/>"
        );
    }
    for (square, piece) in position.board().clone() {
        let Some(drawing) = drawing(piece.role) else {
            continue;
        };
        let (x, y) = corner(square, color);
        let (fill, line, width) = match piece.color {
            Color::White => ("#fffdf7", "#2b2440", 4),
            Color::Black => ("#2b2440", "#f7f2fb", 3),
        };
        let _ = write!(
            text,
            "<g transform=\"translate({x} {y})\" fill=\"none\" stroke=\"{line}\" \
             stroke-width=\"{width}\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\
             <path d=\"{}\" fill=\"{fill}\"/><path d=\"{}\"/></g>",
            drawing.body, drawing.lines
        );
    }
    text.push_str("</svg>");
    text
}

/// How a piece is drawn.
fn drawing(role: Role) -> Option<&'static Drawing> {
    SET.pieces.get(match role {
        Role::Pawn => "pawn",
        Role::Knight => "knight",
        Role::Bishop => "bishop",
        Role::Rook => "rook",
        Role::Queen => "queen",
        Role::King => "king",
    })
}

fn corner(square: Square, color: Color) -> (u32, u32) {
    let file = u32::from(square.file());
    let rank = u32::from(square.rank());
    match color {
        Color::White => (file * SIDE, (7 - rank) * SIDE),
        Color::Black => ((7 - file) * SIDE, rank * SIDE),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pieces_are_those_of_the_editors() {
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../editors/vscode/media/pieces.json"
        );
        assert_eq!(
            std::fs::read_to_string(path).unwrap(),
            include_str!("pieces.json"),
            "copy {path} to crates/server/src/features"
        );
    }

    #[test]
    fn every_square_and_piece_is_drawn() {
        let text = svg(&Chess::default(), Color::White, &[Square::E4]);
        assert_eq!(text.matches("<rect").count(), 64);
        assert_eq!(text.matches("<path").count(), 64);
        assert_eq!(text.matches("#f2c778").count(), 1);
        let turned = svg(&Chess::default(), Color::Black, &[]);
        assert_ne!(text, turned);
    }

    #[test]
    fn every_piece_has_a_drawing_of_its_own() {
        let bodies: std::collections::BTreeSet<_> = Role::ALL
            .into_iter()
            .filter_map(|role| Some(&drawing(role)?.body))
            .collect();
        assert_eq!(bodies.len(), 6);
    }
}
