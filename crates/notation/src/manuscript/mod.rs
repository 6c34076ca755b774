//! Manuscripts: prose with games and positions in it, one file a format.
//!
//! What a reader of chess is given is the *view* of a text: byte for byte as long as the file, with
//! blanks where the host format has signs of its own, so that every place in it is a place in the
//! file. A format is a function from bytes to a [`Manuscript`].

use std::borrow::Cow;

use crate::section::{lines, sections};
use crate::sections::Format;
pub use printed::{PRINTED, setup_of};
pub use read::Manuscript;

mod asciidoc;
mod collector;
mod drawing;
mod fen;
mod html;
mod latex;
mod markdown;
mod printed;
mod read;
mod remark;
mod separators;
mod text;
mod veil;
mod weave;

/// Reads a text of any format as sections of games, positions and prose.
#[must_use]
pub fn manuscript(text: &[u8], format: Format) -> Manuscript<'_> {
    match format {
        Format::Pgn => Manuscript::plain(text, sections(text).collect()),
        Format::Epd => Manuscript::plain(text, lines(text, 0..text.len()).collect()),
        Format::Markdown => {
            let (view, blocks) = markdown::view_of(text);
            text::read(text, Cow::Owned(view), blocks)
        }
        Format::AsciiDoc => {
            let (view, blocks) = asciidoc::view_of(text);
            text::read(text, Cow::Owned(view), blocks)
        }
        Format::Text => text::read(text, Cow::Borrowed(text), Vec::new()),
        Format::Latex => text::read(text, Cow::Owned(latex::view_of(text)), Vec::new()),
    }
}
