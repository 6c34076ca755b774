//! A board as SVG.

use maud::{Markup, html};
use shakmaty::{Bitboard, Board, Color, Piece, Role, Square};

use crate::{
    letters, marks,
    marks::{corner, corners},
    pieces::{Colours, SIDE, paths},
    words::{capital, describe, pieces},
};

/// The width of the frame with the letters and digits.
const MARGIN: u32 = 36;

/// The width and the height of a picture with its frame, in the picture's own units.
///
/// ```
/// assert_eq!(gainsay_draw::EXTENT, 872);
/// ```
pub const EXTENT: u32 = SIDE * 8 + MARGIN * 2;

/// What a picture shows.
///
/// ```
/// use gainsay_draw::Picture;
/// use shakmaty::{Board, Color, Square};
/// let board = Board::default();
/// let mut picture = Picture::of(&board, Color::White);
/// picture.arrows = vec![(Square::E2, Square::E4)];
/// assert!(picture.svg().contains("<title>White: king e1,"));
/// ```
#[derive(Clone, Debug)]
pub struct Picture<'a> {
    /// The pieces.
    pub board: &'a Board,
    /// Whose move it is.
    pub turn: Color,
    /// The side at the lower edge.
    pub below: Color,
    /// Whether it has a frame: letters, digits, and a spot at the side that is to move.
    pub framed: bool,
    /// The squares that a move went from and to.
    pub moved: Bitboard,
    /// Squares that words name.
    pub named: Bitboard,
    /// Moves that are shown by arrows.
    pub arrows: Vec<(Square, Square)>,
    /// Its width and height in a page or program that asks for none, in CSS pixels.
    pub size: Option<u32>,
    /// What the picture is, before the position is told in words: "After 24.Kh8".
    pub title: Option<&'a str>,
    /// How the game has ended, which is said in the place of who is to move: `checkmate`.
    pub end: Option<&'a str>,
}

/// Where the pieces of a picture are drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Drawn {
    /// In the picture.
    Here,
    /// In the symbols of the page.
    InPage,
}

impl<'a> Picture<'a> {
    /// A board in its frame, White below, nothing marked.
    #[must_use]
    pub const fn of(board: &'a Board, turn: Color) -> Self {
        Self {
            board,
            turn,
            below: Color::White,
            framed: true,
            moved: Bitboard::EMPTY,
            named: Bitboard::EMPTY,
            arrows: Vec::new(),
            size: None,
            title: None,
            end: None,
        }
    }

    /// The picture in words.
    #[must_use]
    pub fn words(&self) -> String {
        let position = match self.end {
            Some(end) => format!("{} {}.", pieces(self.board), capital(&clean(end))),
            None => describe(self.board, self.turn),
        };
        match self.title {
            Some(title) => format!("{}. {position}", clean(title)),
            None => position,
        }
    }

    /// The picture as a file of its own, which is XML.
    #[must_use]
    pub fn svg(&self) -> String {
        let words = self.words();
        html! {
            svg xmlns="http://www.w3.org/2000/svg" width=[self.size] height=[self.size]
                viewBox=(self.view_box()) role="img" aria-label=(words) data-drawn-by="gainsay" {
                title { (words) }
                @if self.framed {
                    path d=(format!("M-{MARGIN} -{MARGIN}h{EXTENT}v{EXTENT}h-{EXTENT}z")) fill=(Colours::PAPER) {}
                    (letters::around(self.below, MARGIN))
                }
                (squares(self.framed))
                (self.inside(Drawn::Here))
            }
        }
        .into_string()
    }

    /// The picture for a page that holds [`symbols`].
    #[must_use]
    pub fn in_page(&self) -> Markup {
        let frame = match self.below {
            Color::White => "#bw",
            Color::Black => "#bb",
        };
        html! {
            svg viewBox=(self.view_box()) role="img" aria-label=(self.words()) {
                use href=(frame) {}
                (self.inside(Drawn::InPage))
            }
        }
    }

    fn view_box(&self) -> String {
        if self.framed {
            format!("-{MARGIN} -{MARGIN} {EXTENT} {EXTENT}")
        } else {
            let edge = SIDE * 8;
            format!("0 0 {edge} {edge}")
        }
    }

    /// What stands on the squares, and who is to move.
    fn inside(&self, drawn: Drawn) -> Markup {
        let place = |symbol: &str, own: Option<Markup>, (x, y): (u32, u32)| match drawn {
            Drawn::InPage => html! { use href={"#" (symbol)} x=(x) y=(y) {} },
            Drawn::Here => html! {
                @if let Some(own) = own { g transform=(format!("translate({x} {y})")) { (own) } }
            },
        };
        html! {
            @for at in corners(self.moved, self.below) { (place("mm", Some(marks::moved()), at)) }
            @for at in corners(self.named, self.below) { (place("nn", Some(marks::named()), at)) }
            @for (square, piece) in self.board.clone() {
                (place(piece.char().encode_utf8(&mut [0; 4]), paths(piece), corner(square, self.below)))
            }
            @for &(from, to) in &self.arrows {
                @if let Some(outline) = marks::arrow(from, to, self.below) {
                    path d=(outline) fill=(Colours::MOVED) fill-opacity=".92" stroke=(Colours::INK)
                        stroke-width="4" stroke-linejoin="round" {}
                }
            }
            @if self.framed {
                @let edge = if self.turn == self.below { SIDE * 8 - 14 } else { 14 };
                (place(if self.turn == Color::White { "tw" } else { "tb" }, Some(spot(self.turn)), (0, edge)))
            }
        }
    }
}

/// The squares, the dark ones as one path.
fn squares(framed: bool) -> Markup {
    let edge = SIDE * 8;
    let dark: String = (Square::ALL.into_iter())
        .filter(|square| square.is_dark())
        .map(|square| {
            let (x, y) = corner(square, Color::White);
            format!("M{x} {y}h{SIDE}v{SIDE}h-{SIDE}z")
        })
        .collect();
    html! {
        path d=(format!("M0 0h{edge}v{edge}h-{edge}z")) fill=(Colours::LIGHT) {}
        path d=(dark) fill=(Colours::DARK) {}
        @if framed {
            path d=(format!("M-2 -2h{0}v{0}h-{0}z", edge + 4)) fill="none" stroke=(Colours::INK) stroke-width="4" {}
        }
    }
}

/// A spot for the frame beside the side that is to move, in its colour, at the height 0.
fn spot(turn: Color) -> Markup {
    let fill = match turn {
        Color::White => Colours::PAPER,
        Color::Black => Colours::INK,
    };
    html! {
        circle cx=(SIDE * 8 + MARGIN / 2 + 1) r="11" fill=(fill) stroke=(Colours::INK) stroke-width="4" {}
    }
}

/// What the boards of a page are made of, to be put once in the page: the empty boards `bw` and
/// `bb` with White and with Black below, the pieces by their letters in FEN, the marks `mm` of a
/// move and `nn` of a named square, and the spots `tw` and `tb` for the side to move, which are
/// to be placed at the height of that side.
///
/// ```
/// let symbols = gainsay_draw::symbols().into_string();
/// // No two symbols may have one name.
/// let names: Vec<&str> = symbols.split(" id=\"").skip(1).collect();
/// let all: std::collections::HashSet<_> = names.iter().map(|rest| rest.split('"').next()).collect();
/// assert_eq!((names.len(), all.len()), (18, 18));
/// ```
#[must_use]
pub fn symbols() -> Markup {
    html! {
        svg xmlns="http://www.w3.org/2000/svg" width="0" height="0" aria-hidden="true" style="position:absolute" {
            defs {
                @for (id, below) in [("bw", Color::White), ("bb", Color::Black)] {
                    g id=(id) {
                        (letters::around(below, MARGIN))
                        (squares(true))
                    }
                }
                @for color in Color::ALL {
                    @for role in Role::ALL {
                        @let piece = Piece { color, role };
                        g id=(piece.char()) { @if let Some(paths) = paths(piece) { (paths) } }
                    }
                }
                g id="mm" { (marks::moved()) }
                g id="nn" { (marks::named()) }
                g id="tw" { (spot(Color::White)) }
                g id="tb" { (spot(Color::Black)) }
            }
        }
    }
}

/// A text without the characters that no XML may hold (XML 1.0, 2.2).
fn clean(text: &str) -> String {
    let fit = |c: &char| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().filter(fit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The squares that pieces are drawn on, counted from the picture alone.
    fn placed(svg: &str) -> usize {
        svg.matches("<g transform").count()
    }

    #[test]
    fn every_piece_and_mark_is_drawn() {
        let board = Board::default();
        let mut picture = Picture::of(&board, Color::White);
        picture.framed = false;
        assert_eq!(placed(&picture.svg()), 32);
        picture.moved = Bitboard::from(Square::E2) | Bitboard::from(Square::E4);
        picture.named = Square::F7.into();
        assert_eq!(placed(&picture.svg()), 35);
        let plain = picture.svg().matches("<path").count();
        picture.arrows = vec![(Square::G8, Square::F6), (Square::A1, Square::A1)];
        assert_eq!(picture.svg().matches("<path").count(), plain + 1);
    }

    #[test]
    fn a_turned_board_has_each_piece_on_the_opposite_corner() {
        let board = Board::from_ascii_board_fen(b"8/8/8/8/8/8/8/K7").expect("a board");
        let mut picture = Picture::of(&board, Color::White);
        assert!(picture.svg().contains("translate(0 700)"));
        assert!(
            picture
                .in_page()
                .0
                .contains("href=\"#K\" x=\"0\" y=\"700\"")
        );
        picture.below = Color::Black;
        assert!(picture.svg().contains("translate(700 0)"));
        assert!(
            picture
                .in_page()
                .0
                .contains("href=\"#K\" x=\"700\" y=\"0\"")
        );
    }

    #[test]
    fn a_title_can_do_no_harm() {
        let board = Board::default();
        let mut picture = Picture::of(&board, Color::Black);
        picture.title = Some("a\"><script>&\u{1}\u{ffff}</title>");
        for text in [picture.svg(), picture.in_page().into_string()] {
            assert!(!text.contains("<script"), "{text}");
            assert!(!text.contains(['\u{1}', '\u{ffff}']), "{text}");
            assert!(text.contains("&lt;script&gt;&amp;"), "{text}");
        }
    }

    #[test]
    fn without_a_frame_there_is_the_board_alone() {
        let board = Board::default();
        let mut picture = Picture::of(&board, Color::White);
        picture.framed = false;
        let svg = picture.svg();
        assert!(svg.contains("viewBox=\"0 0 800 800\""));
        assert!(!svg.contains("<circle"));
    }
}
