//! Sections of a manuscript, one behind the other.

use std::ops::Range;

use crate::section::{Section, SectionKind, lines, sections};

/// Collects sections that follow each other without a gap.
pub(super) struct Collector<'a> {
    text: &'a [u8],
    sections: Vec<Section>,
    /// Where the next section begins.
    pub(super) at: usize,
}

impl<'a> Collector<'a> {
    pub(super) const fn new(text: &'a [u8]) -> Self {
        Self {
            text,
            sections: Vec::new(),
            at: 0,
        }
    }

    pub(super) fn prose_up_to(&mut self, end: usize) {
        if self.at < end {
            self.sections.push(Section {
                range: self.at..end,
                kind: SectionKind::Prose,
            });
            self.at = end;
        }
    }

    pub(super) fn games(&mut self, range: Range<usize>) {
        self.prose_up_to(range.start);
        let part = self.text.get(range.clone()).unwrap_or_default();
        self.sections.extend(sections(part).map(|section| Section {
            range: range.start + section.range.start..range.start + section.range.end,
            kind: section.kind,
        }));
        self.at = self.at.max(range.end);
    }

    pub(super) fn lines(&mut self, range: Range<usize>) {
        self.prose_up_to(range.start);
        self.sections.extend(lines(self.text, range.clone()));
        self.at = self.at.max(range.end);
    }

    /// A block that is one section.
    pub(super) fn block(&mut self, range: Range<usize>, kind: SectionKind) {
        self.prose_up_to(range.start);
        self.at = self.at.max(range.end);
        self.sections.push(Section { range, kind });
    }

    pub(super) fn finish(mut self) -> Vec<Section> {
        self.prose_up_to(self.text.len());
        self.sections
    }
}
