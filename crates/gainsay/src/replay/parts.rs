//! What playing through a game gives.

use gainsay_notation::{GameResult, Glyph, Language};
use shakmaty::{Chess, Color, Move};

use super::start::Start;
use crate::marks::Marks;

/// A game played through.
///
/// `plies` holds the moves of all lines in the order of the text; a ply names its
/// predecessor, so that the lines form a tree without recursion.
///
/// ```
/// use gainsay::{Reading, Settings, show};
/// let text = b"1. e4 (1. d4) e5 0-1";
/// let reading = Reading::of(text, &Settings::default());
/// let replay = reading.views(text).next().unwrap().replay;
/// assert_eq!((replay.plies.len(), replay.last), (3, Some(2)));
/// let after = replay.at(Some(1)).unwrap();
/// assert_eq!(show::fen(after), "rnbqkbnr/pppppppp/8/8/3P4/8/PPP1PPPP/RNBQKBNR b KQkq - 0 1");
/// ```
#[derive(Clone, Debug, Default)]
pub struct Replay {
    /// Where the game begins.
    pub start: Start,
    /// All moves, side-lines included, in the order of the text.
    pub plies: Vec<Ply>,
    /// Where comments stand, in the order of the text.
    pub comments: Vec<CommentSite>,
    /// Glyphs, in the order of the text.
    pub glyphs: Vec<GlyphSite>,
    /// Every mark that some ply has.
    pub marks: Marks,
    /// The language whose piece letters the moves are in.
    pub language: Language,
    /// Whether the author said so, and it was not recognised.
    pub told: bool,
    /// Whether no other language could be meant. What is not sure is not rewritten.
    pub sure: bool,
    /// The last ply of the main line.
    pub last: Option<u32>,
    /// The termination marker of the game: its element.
    pub result: Option<(u32, GameResult)>,
}

/// A move of a game.
///
/// ```
/// use gainsay::{Reading, Settings, shakmaty::Color};
/// let text = b"1. e4 e5 (1... c5 2. Ke3) *";
/// let reading = Reading::of(text, &Settings::default());
/// let plies = &reading.views(text).next().unwrap().replay.plies;
/// assert_eq!((plies[2].move_number(), plies[2].side()), (1, Color::Black));
/// assert_eq!((plies[2].parent, plies[2].depth), (Some(0), 1));
/// assert!(plies[3].played.is_none());
/// ```
#[derive(Clone, Debug)]
pub struct Ply {
    /// Its element.
    pub element: u32,
    /// The element of the number before it, if written.
    pub number: Option<u32>,
    /// The ply before it in its line; `None` for the first move of the game.
    pub parent: Option<u32>,
    /// How many side-lines it stands in; 0 is the main line.
    pub depth: u32,
    /// Half moves since White's first move of move 0: twice the move number, and one
    /// more for Black. Known even where the position is not.
    pub count: u32,
    /// The move; `None` for null moves and where it could not be played.
    pub played: Option<Move>,
    /// The position after it; `None` where it could not be played.
    pub after: Option<Chess>,
    /// What was noticed.
    pub marks: Marks,
}

impl Ply {
    /// The move number.
    #[must_use]
    pub const fn move_number(&self) -> u32 {
        self.count / 2
    }

    /// Who moves.
    #[must_use]
    pub const fn side(&self) -> Color {
        if self.count.is_multiple_of(2) {
            Color::White
        } else {
            Color::Black
        }
    }
}

/// Where a comment stands.
///
/// ```
/// use gainsay::{Reading, Settings};
/// let text = b"1. e4 ({A word.} 1. d4) e5 *";
/// let reading = Reading::of(text, &Settings::default());
/// let site = reading.views(text).next().unwrap().replay.comments[0];
/// assert_eq!((site.after, site.opens, site.depth), (None, true, 1));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CommentSite {
    /// Its element.
    pub element: u32,
    /// The last ply before it in its line; `None` at the start of the game. For a
    /// comment before the first move of a side-line: the ply that the side-line's
    /// first move follows.
    pub after: Option<u32>,
    /// Whether it stands before the first move of a side-line.
    pub opens: bool,
    /// How many side-lines it stands in.
    pub depth: u32,
}

/// Where a glyph stands.
///
/// ```
/// use gainsay::{Reading, Settings};
/// let text = b"1. e4 e5 $2 *";
/// let reading = Reading::of(text, &Settings::default());
/// let site = reading.views(text).next().unwrap().replay.glyphs[0];
/// assert_eq!((site.after, site.glyph.number()), (Some(1), 2));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GlyphSite {
    /// Its element.
    pub element: u32,
    /// The last ply before it.
    pub after: Option<u32>,
    /// Which one.
    pub glyph: Glyph,
}

/// Where the walk through the elements stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cursor {
    /// The last ply of the line.
    pub(super) last: Option<u32>,
    /// Whether the line has a move of its own yet.
    pub(super) begun: bool,
    /// By how much the numbers written so far are off.
    pub(super) delta: i64,
    /// Whether the last number is that of the move behind the one it stands before, or of the one
    /// before that.
    pub(super) off: Option<bool>,
    /// Whether the line is one that the text never closes.
    pub(super) unclosed: bool,
    /// Whether a move with an odd number could not be played, so that later numbers
    /// tell nothing new.
    pub(super) adrift: bool,
}
