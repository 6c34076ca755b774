//! Reads chess game files and manuscripts into a flat tree of games, moves,
//! comments and tags, each with its byte span.
//!
//! The reader never fails and never panics: whatever it cannot read becomes a
//! [`Fault`] with a span, and reading goes on. It runs in linear time and does
//! not recurse, so that no file can exhaust the stack.
//!
//! ```text
//! bytes ─▶ sections() ─▶ read_game() ─▶ Game { tags, elements, faults }
//! ```

mod braces;
mod bytes;
mod comment;
mod epd;
mod glyph;
mod language;
mod lines;
mod manuscript;
mod movetext;
mod paragraphs;
mod reader;
mod runs;
mod section;
mod sections;
mod span;
mod text;
mod tree;
mod words;

pub use comment::{CommentPart, comment_parts};
pub use epd::{EpdFault, EpdFaultKind, EpdOperand, EpdOperation, EpdRecord, parse_epd_line};
pub use glyph::{Degree, Glyph, GlyphMeaning, Grade, Phase, Wing};
pub use language::Language;
pub use lines::{Columns, LineColumn, LineIndex, Position};
pub use manuscript::{Manuscript, PRINTED, manuscript, setup_of};
pub use movetext::{
    Descriptive, Files, Man, Oddities, Signs, WrittenMove, WrittenShape, may_be_descriptive,
    parse_move, read_descriptive,
};
pub use paragraphs::paragraphs;
pub use reader::read_game;
pub use runs::{Run, print_of_runs, runs};
pub use section::{Section, SectionKind, sections};
pub use sections::{Cuts, Format, Recut, last_cut};
pub use span::Span;
pub use text::decode;
pub use tree::{
    CommentKind, Element, ElementKind, Fault, FaultKind, Game, GameResult, MoveNumber, Tag,
};
