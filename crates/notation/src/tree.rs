//! The tree a reader gives: flat, in the order of the text.

use shakmaty::Color;

use crate::glyph::Glyph;
use crate::movetext::WrittenMove;
use crate::span::Span;

/// One game: its tags, its movetext and what could not be read.
///
/// The movetext is a flat sequence in the order of the text. Side-lines are
/// marked by [`ElementKind::Open`] and [`ElementKind::Close`]; the reader makes
/// sure that every `Close` has an `Open`, while an `Open` may stay unclosed
/// (and is then also a [`Fault`]).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Game {
    /// All bytes of the game.
    pub span: Span,
    /// Tag pairs in the order of the text, duplicates included.
    pub tags: Vec<Tag>,
    /// Movetext in the order of the text.
    pub elements: Vec<Element>,
    /// What was wrong with the text itself, in the order of the text.
    pub faults: Vec<Fault>,
}

impl Game {
    /// Empties the game but keeps its allocations for the next one.
    pub fn clear(&mut self) {
        self.span = Span::default();
        self.tags.clear();
        self.elements.clear();
        self.faults.clear();
    }

    /// The first tag of this exact name.
    #[must_use]
    pub fn tag(&self, text: &[u8], name: &str) -> Option<&Tag> {
        self.tags
            .iter()
            .find(|tag| tag.name.of(text) == name.as_bytes())
    }
}

/// A tag pair `[Name "value"]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tag {
    /// From `[` to `]`.
    pub span: Span,
    /// The name.
    pub name: Span,
    /// The value as written, without its quotes, escapes unresolved.
    pub value: Span,
    /// Whether the value holds a backslash escape.
    pub escaped: bool,
}

impl Tag {
    /// The value as text, with `\"` and `\\` resolved.
    #[must_use]
    pub fn value<'a>(&self, text: &'a [u8]) -> std::borrow::Cow<'a, str> {
        let raw = crate::text::decode(self.value.of(text));
        if !self.escaped {
            return raw;
        }
        let mut out = String::with_capacity(raw.len());
        let mut chars = raw.chars();
        while let Some(c) = chars.next() {
            match c {
                '\\' => match chars.next() {
                    Some(next @ ('"' | '\\')) => out.push(next),
                    Some(next) => {
                        out.push('\\');
                        out.push(next);
                    }
                    None => out.push('\\'),
                },
                other => out.push(other),
            }
        }
        out.into()
    }
}

/// One piece of movetext.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Element {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: ElementKind,
}

/// The kinds of movetext.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ElementKind {
    /// A move number with its dots: `23.`, `23...`, `23. ...`, `23`, or dots alone.
    Number(MoveNumber),
    /// A move.
    Move(WrittenMove),
    /// An annotation glyph.
    Glyph {
        /// Which one.
        glyph: Glyph,
        /// Whether it was written as a symbol (`!?`, `±`) and not as `$n`.
        symbol: bool,
    },
    /// A comment.
    Comment {
        /// The text between the braces or behind the semicolon.
        body: Span,
        /// How the comment is written.
        kind: CommentKind,
    },
    /// `(`: a side-line begins.
    Open,
    /// `)`: the side-line ends.
    Close,
    /// A game termination marker.
    Result(GameResult),
    /// A word that is none of these.
    Word {
        /// Whether it has the shape of a move: in another language, on squares
        /// that do not exist, with a slip of the pen.
        movelike: bool,
    },
}

/// A move number as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MoveNumber {
    /// The number; `None` for dots that stand alone.
    pub value: Option<u32>,
    /// How many dots follow (an ellipsis character counts three).
    pub dots: u8,
}

/// How a comment is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CommentKind {
    /// `{…}`
    Brace,
    /// `; …` up to the end of the line.
    Line,
    /// `{…` without an end; its body stops at the next game or the end of the text.
    Unclosed,
    /// A `%` line, which the PGN standard reserves for programs.
    Escape,
}

/// A game termination marker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GameResult {
    /// `1-0` or `0-1`.
    Win(Color),
    /// `1/2-1/2`.
    Draw,
    /// `*`.
    Unknown,
}

impl GameResult {
    /// The marker as the PGN standard writes it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Win(Color::White) => "1-0",
            Self::Win(Color::Black) => "0-1",
            Self::Draw => "1/2-1/2",
            Self::Unknown => "*",
        }
    }
}

/// Something wrong with the text itself, independent of chess.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where to point.
    pub span: Span,
    /// What is wrong.
    pub kind: FaultKind,
}

/// The kinds of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// `{` without `}`; the span is the opening brace.
    UnclosedComment,
    /// A `{` inside a comment: comments do not nest; the span is the inner brace.
    NestedComment,
    /// `}` without `{`.
    StrayBrace,
    /// `(` without `)`; the span is the opening parenthesis.
    UnclosedSideLine,
    /// `)` without `(`.
    StrayParenthesis,
    /// A tag pair that lacks its closing quote or bracket, or its value.
    BrokenTag,
    /// `$` without a number from 0 to 255.
    BadGlyph,
    /// A byte order mark inside the file.
    ByteOrderMark,
    /// A word that is no move, number, glyph or result; runs of loose words are
    /// one fault.
    LooseWords,
    /// Bytes that are no text: NUL and other control characters.
    Binary,
}
