//! What every way of printing is given: reports, and the stretches of files they speak of.

use std::{io, ops::Range, path::Path};

use gainsay::{Report, Severity};
use gainsay_files::{Paragraph, Paragraphs};
use gainsay_notation::{Columns, LineIndex};

use crate::totals::Totals;

/// A stretch of a file that reports speak of.
#[derive(Clone, Copy)]
pub(crate) struct Block<'a> {
    /// Its bytes.
    pub(crate) bytes: &'a [u8],
    /// Offset of its first byte in the file.
    pub(crate) start: usize,
    /// Number of its first line in the file, from 0.
    pub(crate) first_line: u32,
    /// Its lines.
    pub(crate) lines: &'a LineIndex,
    /// What its text is made of, where it is a document of a word processor.
    pub(crate) paragraphs: Option<&'a Paragraphs>,
}

/// Line and column as people count them, from 1, in Unicode scalar values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub(crate) struct Place {
    /// Counted from 1.
    pub(crate) line: u32,
    /// Counted from 1, in Unicode scalar values.
    pub(crate) column: u32,
}

impl Block<'_> {
    /// The paragraph of a document of a word processor that an offset in its text is in.
    pub(crate) fn paragraph(&self, offset: usize) -> Option<Paragraph> {
        self.paragraphs.and_then(|all| all.at(offset))
    }

    /// The place of an offset in the file. The lines of a document of a word processor are its
    /// paragraphs.
    pub(crate) fn place(&self, offset: usize) -> Place {
        if let Some(paragraph) = self.paragraph(offset) {
            let before = self.bytes.get(self.range(&(paragraph.start..offset)));
            let before = String::from_utf8_lossy(before.unwrap_or_default());
            let column = before.chars().count().saturating_sub(paragraph.lead);
            return Place {
                line: paragraph.number + 1,
                column: column as u32 + 1,
            };
        }
        let position = self.lines.position(
            self.bytes,
            offset.saturating_sub(self.start),
            Columns::Scalars,
        );
        Place {
            line: self.first_line + position.line + 1,
            column: position.column + 1,
        }
    }

    /// The first words of a span of the file, on one line.
    pub(crate) fn words(&self, span: &Range<usize>) -> String {
        /// So many letters are enough to know a place by.
        const MOST_LETTERS: usize = 80;
        let bytes = self.bytes.get(self.range(span)).unwrap_or_default();
        let text = String::from_utf8_lossy(bytes);
        let words: Vec<&str> = text.split_whitespace().collect();
        words.join(" ").chars().take(MOST_LETTERS).collect()
    }

    /// A span of the file as a range of `bytes`.
    pub(crate) fn range(&self, span: &Range<usize>) -> Range<usize> {
        let inside = |offset: usize| offset.saturating_sub(self.start).min(self.bytes.len());
        inside(span.start)..inside(span.end)
    }
}

/// A way of printing. Reports come in the order of the text; their spans are offsets
/// into the file.
pub(crate) trait Output {
    /// Findings below this are counted, and not in the reports.
    fn least(&self) -> Severity {
        Severity::Hint
    }
    /// A file begins.
    fn begin_file(&mut self, path: &Path) -> io::Result<()>;
    /// A part of the file was checked.
    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()>;
    /// The file is done. Most ways of printing say nothing of that.
    fn end_file(&mut self, _games: u64, _plies: u64) -> io::Result<()> {
        Ok(())
    }
    /// All files are done.
    fn finish(&mut self, totals: &Totals) -> io::Result<()>;
}
