//! A text as it is read.

use std::borrow::Cow;

use crate::section::Section;

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
    pub(super) const fn plain(text: &'t [u8], sections: Vec<Section>) -> Self {
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
