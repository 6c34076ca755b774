//! Manuscripts: prose with games and positions in it, one file a format.
//!
//! What a reader of chess is given is the *view* of a text: byte for byte as long as the file, with
//! blanks where the host format has signs of its own, so that every place in it is a place in the
//! file. A format is a function from bytes to a [`Manuscript`].

use std::borrow::Cow;

use crate::section::{Section, lines, sections};
use crate::sections::Format;

mod collector;
mod markdown;
mod text;

/// A text as it is read: its view, cut into sections.
///
/// ```
/// use gainsay_notation::{Format, SectionKind, manuscript};
/// let read = manuscript(b"Words.\n\n```pgn\n1. e4 *\n```\n", Format::Markdown);
/// assert_eq!(read.sections[1].kind, SectionKind::Games);
/// assert_eq!(&read.view[read.sections[1].range.clone()], b"1. e4 *\n");
/// ```
#[derive(Clone, Debug)]
pub struct Manuscript<'t> {
    /// What is read, as long as the text.
    pub view: Cow<'t, [u8]>,
    /// Its sections, which follow each other without a gap.
    pub sections: Vec<Section>,
}

impl<'t> Manuscript<'t> {
    /// A text that is read as it stands.
    const fn plain(text: &'t [u8], sections: Vec<Section>) -> Self {
        Self {
            view: Cow::Borrowed(text),
            sections,
        }
    }

    /// The bytes of each section as they are read, with the section.
    pub fn parts(&self) -> impl Iterator<Item = (&Section, &[u8])> {
        let view = &self.view;
        let bytes = move |section: &Section| view.get(section.range.clone()).unwrap_or_default();
        self.sections
            .iter()
            .map(move |section| (section, bytes(section)))
    }
}

/// Reads a text of any format as sections of games, positions and prose.
#[must_use]
pub fn manuscript(text: &[u8], format: Format) -> Manuscript<'_> {
    match format {
        Format::Pgn => Manuscript::plain(text, sections(text).collect()),
        Format::Epd => Manuscript::plain(text, lines(text, 0..text.len()).collect()),
        Format::Markdown => Manuscript::plain(text, markdown::sections_of(text)),
        Format::Text => Manuscript::plain(text, text::sections_of(text)),
    }
}
