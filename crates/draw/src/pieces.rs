//! The pieces of this project, and its colours.
//!
//! `pieces.json` is a copy of `editors/vscode/media/pieces.json`, since a package holds nothing
//! from outside its folder. The colours are those of `editors/vscode/src/board/drawing.ts`.

use std::{collections::BTreeMap, sync::LazyLock};

use maud::{Markup, html};
use serde::Deserialize;
use shakmaty::{Color, Piece, Role};

/// The side of a square, that of the pieces' drawings.
pub(crate) const SIDE: u32 = 100;

/// The colours of this project's boards.
///
/// ```
/// assert_eq!(gainsay_draw::Colours::INK, "#2b2440");
/// ```
#[derive(Debug)]
pub struct Colours;

impl Colours {
    /// Light squares.
    pub const LIGHT: &str = "#f3e6e4";
    /// Dark squares.
    pub const DARK: &str = "#8f87b8";
    /// Black's pieces, and lines and letters on paper.
    pub const INK: &str = "#2b2440";
    /// White's pieces, and paper.
    pub const PAPER: &str = "#fffdf7";
    /// The outline of Black's pieces.
    pub const EDGE: &str = "#f7f2fb";
    /// Squares that a move went from and to, and arrows.
    pub const MOVED: &str = "#f2c14e";
}

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

/// How a piece is drawn.
fn drawing(role: Role) -> Option<&'static Drawing> {
    SET.pieces.get(gainsay::show::piece(role))
}

/// A piece on the square whose upper left corner is the origin. White and Black differ in the
/// fill and in the outline, which stands out from squares of either colour.
pub(crate) fn paths(piece: Piece) -> Option<Markup> {
    let drawing = drawing(piece.role)?;
    let (fill, line, width) = match piece.color {
        Color::White => (Colours::PAPER, Colours::INK, 4),
        Color::Black => (Colours::INK, Colours::EDGE, 3),
    };
    Some(html! {
        g fill="none" stroke=(line) stroke-width=(width) stroke-linejoin="round" stroke-linecap="round" {
            path d=(drawing.body) fill=(fill) {}
            path d=(drawing.lines) {}
        }
    })
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
            "copy {path} to crates/draw/src"
        );
    }

    #[test]
    fn every_piece_has_a_drawing_of_its_own() {
        let all = |color| Role::ALL.map(|role| Piece { color, role });
        let drawn: std::collections::BTreeSet<String> = Color::ALL
            .into_iter()
            .flat_map(all)
            .filter_map(|piece| Some(paths(piece)?.into_string()))
            .collect();
        assert_eq!(drawn.len(), 12);
    }
}
