//! Lines and columns: the one place where byte offsets become what people and
//! editors count.

mod columns;
mod long;

use std::{fmt, ops::Range};

use memchr::memchr2_iter;

use crate::bytes::byte;
pub use columns::Columns;
use long::{LONG, Long, LongLines};

/// A place as line and column, both from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 0.
    pub line: u32,
    /// Column, from 0, in the unit that was asked for.
    pub column: u32,
}

/// A place as people count: line and column of Unicode scalar values, both from 1. It is written
/// `41:27`.
///
/// ```
/// use gainsay_notation::LineColumn;
/// assert_eq!(LineColumn { line: 41, column: 27 }.to_string(), "41:27");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: u32,
    /// Column, from 1.
    pub column: u32,
}

impl fmt::Display for LineColumn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.line, self.column)
    }
}

/// Where the lines of a text begin. Lines end with LF, CRLF or CR.
///
/// The index does not keep the text; its methods are given the same text that
/// it was made from. At most 4 GiB of a text are indexed.
///
/// A line that is not valid UTF-8 counts as Latin-1: each byte is one character.
///
/// ```
/// use gainsay_notation::LineIndex;
/// let text = b"1. e4 e5\n2. Ke2 *";
/// let place = LineIndex::new(text).place(text, 12);
/// assert_eq!((place.line, place.column), (2, 4));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineIndex {
    /// Offsets of the first bytes of all lines; the first is 0.
    starts: Vec<u32>,
    /// What is known of long lines, so that a column in one is not counted from its start
    /// every time.
    long: LongLines,
}

impl Default for LineIndex {
    fn default() -> Self {
        Self {
            starts: vec![0],
            long: LongLines::default(),
        }
    }
}

impl LineIndex {
    /// Reads the line starts of `text`.
    #[must_use]
    pub fn new(text: &[u8]) -> Self {
        let text = text.get(..u32::MAX as usize).unwrap_or(text);
        let mut starts = vec![0];
        starts.extend(starts_within(text, 0..text.len()));
        Self {
            starts,
            long: LongLines::default(),
        }
    }

    /// The number of lines, at least 1.
    #[must_use]
    pub fn len(&self) -> usize {
        self.starts.len()
    }

    /// Never true: an empty text has one line.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.starts.is_empty()
    }

    /// The bytes of line `line` (from 0) without its line end; `None` behind
    /// the last line.
    #[must_use]
    pub fn line(&self, text: &[u8], line: usize) -> Option<Range<usize>> {
        let start = *self.starts.get(line)? as usize;
        let mut end = match self.starts.get(line + 1) {
            Some(&next) => (next as usize).min(text.len()),
            None => text.len(),
        };
        if end > start && byte(text, end - 1) == b'\n' {
            end -= 1;
        }
        if end > start && byte(text, end - 1) == b'\r' {
            end -= 1;
        }
        Some(start.min(end)..end)
    }

    /// The line (from 0) that the byte at `offset` lies in.
    #[must_use]
    pub fn line_of(&self, offset: usize) -> usize {
        self.starts
            .partition_point(|&start| start as usize <= offset)
            .saturating_sub(1)
    }

    /// The line and column of a byte offset.
    ///
    /// An offset behind the text counts as its end, one inside a line end as
    /// the end of the line, and one inside a character as its first byte.
    #[must_use]
    pub fn position(&self, text: &[u8], offset: usize, columns: Columns) -> Position {
        let line = self.line_of(offset.min(text.len()));
        let range = self.line(text, line).unwrap_or_default();
        let within = offset.clamp(range.start, range.end) - range.start;
        let start = range.start;
        let bytes = text.get(range).unwrap_or_default();
        let column = if bytes.len() < LONG {
            Long::column_in_short(bytes, within, columns)
        } else {
            self.long.of(start, bytes).column(bytes, within, columns)
        };
        Position {
            line: saturated(line),
            column: saturated(column),
        }
    }

    /// The place of a byte offset as people count.
    ///
    /// ```
    /// let text = "1. e4 {é} e5".as_bytes();
    /// let lines = gainsay_notation::LineIndex::new(text);
    /// assert_eq!(lines.place(text, 11).to_string(), "1:11");
    /// ```
    #[must_use]
    pub fn place(&self, text: &[u8], offset: usize) -> LineColumn {
        let position = self.position(text, offset, Columns::Scalars);
        LineColumn {
            line: position.line.saturating_add(1),
            column: position.column.saturating_add(1),
        }
    }

    /// The byte offset of a line and column.
    ///
    /// A line behind the last one counts as the end of the text, a column
    /// behind the end of its line as the end of the line (before the line
    /// end), and one inside a character as its first byte.
    #[must_use]
    pub fn offset(&self, text: &[u8], position: Position, columns: Columns) -> usize {
        let Some(range) = self.line(text, position.line as usize) else {
            return text.len();
        };
        let start = range.start;
        let bytes = text.get(range).unwrap_or_default();
        let column = position.column as usize;
        let within = if bytes.len() < LONG {
            Long::offset_in_short(bytes, column, columns)
        } else {
            self.long.of(start, bytes).offset(bytes, column, columns)
        };
        start + within
    }

    /// Follows an edit: `replaced` (offsets before the edit) became `inserted`
    /// bytes, which gave `text`.
    ///
    /// Only the bytes around the edit are read; the line starts behind it are
    /// moved, which takes some 50 microseconds in a text of 10 MB.
    pub fn replace(&mut self, text: &[u8], replaced: Range<usize>, inserted: usize) {
        self.long.forget();
        // A line start depends on the byte before it and on the byte at it, so
        // those at both ends of the edit are looked at again.
        let first = self
            .starts
            .partition_point(|&start| start == 0 || (start as usize) < replaced.start);
        let last = self
            .starts
            .partition_point(|&start| start == 0 || start as usize <= replaced.end)
            .max(first);
        let text = text.get(..u32::MAX as usize).unwrap_or(text);
        let grown = inserted as i64 - replaced.len() as i64;
        for start in self.starts.iter_mut().skip(last) {
            *start = (i64::from(*start) + grown).clamp(0, i64::from(u32::MAX)) as u32;
        }
        let window = replaced.start.saturating_sub(1)
            ..replaced.start.saturating_add(inserted).min(text.len());
        self.starts.splice(first..last, starts_within(text, window));
    }
}

/// The line starts that line ends within `window` make.
fn starts_within(text: &[u8], window: Range<usize>) -> impl Iterator<Item = u32> + '_ {
    let base = window.start;
    let bytes = text.get(window).unwrap_or_default();
    memchr2_iter(b'\n', b'\r', bytes)
        .map(move |at| base + at)
        .filter(|&at| !(byte(text, at) == b'\r' && byte(text, at + 1) == b'\n'))
        .map(|at| saturated(at + 1))
}

fn saturated(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn place(line: u32, column: u32) -> Position {
        Position { line, column }
    }

    #[test]
    fn all_three_line_ends_count() {
        let text = b"one\ntwo\r\nthree\rfour\n";
        let index = LineIndex::new(text);
        assert_eq!(index.starts, [0, 4, 9, 15, 20]);
        assert_eq!(index.line(text, 1), Some(4..7));
        assert_eq!(index.line(text, 4), Some(20..20));
        assert_eq!(index.line(text, 5), None);
        assert_eq!(LineIndex::new(b"").len(), 1);
    }

    #[test]
    fn columns_count_in_three_units() {
        // é is 2 bytes, 1 unit of UTF-16; 😀 is 4 bytes, 2 units.
        let text = "\né😀x".as_bytes();
        let index = LineIndex::new(text);
        let x = text.len() - 1;
        for (columns, column) in [
            (Columns::Scalars, 2),
            (Columns::Utf16, 3),
            (Columns::Utf8, 6),
        ] {
            assert_eq!(index.position(text, x, columns), place(1, column));
            assert_eq!(index.offset(text, place(1, column), columns), x);
        }
        // Inside the emoji: its first byte.
        assert_eq!(index.position(text, 5, Columns::Utf16), place(1, 1));
        assert_eq!(index.offset(text, place(1, 2), Columns::Utf16), 3);
    }

    #[test]
    fn positions_outside_are_clamped() {
        let text = b"ab\r\ncd";
        let index = LineIndex::new(text);
        assert_eq!(index.offset(text, place(0, 99), Columns::Utf16), 2);
        assert_eq!(index.offset(text, place(9, 0), Columns::Utf16), 6);
        assert_eq!(index.position(text, 3, Columns::Utf16), place(0, 2));
        assert_eq!(index.position(text, 99, Columns::Utf16), place(1, 2));
    }

    #[test]
    fn latin_1_counts_bytes() {
        let text = b"caf\xe9 x\nna\xc3\xafve x";
        let index = LineIndex::new(text);
        assert_eq!(index.position(text, 5, Columns::Scalars), place(0, 5));
        assert_eq!(index.offset(text, place(0, 5), Columns::Scalars), 5);
        // The second line is UTF-8.
        assert_eq!(index.position(text, 14, Columns::Scalars), place(1, 6));
    }

    /// A plain second implementation: walks over all characters.
    fn walked(text: &str, offset: usize) -> Position {
        let mut place = place(0, 0);
        let mut before = '\0';
        for (at, c) in text.char_indices() {
            if before == '\n' || (before == '\r' && c != '\n') {
                place = Position {
                    line: place.line + 1,
                    column: 0,
                };
            }
            if at + c.len_utf8() > offset {
                return place;
            }
            if !matches!(c, '\n' | '\r') {
                place.column += c.len_utf16() as u32;
            }
            before = c;
        }
        if matches!(before, '\n' | '\r') {
            place = Position {
                line: place.line + 1,
                column: 0,
            };
        }
        place
    }

    proptest! {
        #[test]
        fn positions_agree_with_a_walk(text in "[a\u{e9}\u{1f600}\r\n]{0,40}", offset in 0usize..120) {
            let offset = offset.min(text.len());
            let index = LineIndex::new(text.as_bytes());
            let position = index.position(text.as_bytes(), offset, Columns::Utf16);
            prop_assert_eq!(position, walked(&text, offset));
        }

        #[test]
        fn offsets_come_back(text in "[a\u{e9}\u{1f600}\r\n]{0,40}", offset in 0usize..120) {
            let bytes = text.as_bytes();
            let index = LineIndex::new(bytes);
            for columns in [Columns::Scalars, Columns::Utf8, Columns::Utf16] {
                let position = index.position(bytes, offset, columns);
                let back = index.offset(bytes, position, columns);
                prop_assert!(text.is_char_boundary(back));
                prop_assert_eq!(index.position(bytes, back, columns), position);
            }
        }

        #[test]
        fn following_edits_equals_reading_afresh(
            text in "[a\u{e9}\r\n]{0,30}",
            edits in proptest::collection::vec((0usize..40, 0usize..8, "[b\r\n]{0,5}"), 1..6),
        ) {
            let mut text = text.into_bytes();
            let mut index = LineIndex::new(&text);
            for (start, length, new) in edits {
                let start = start.min(text.len());
                let end = (start + length).min(text.len());
                text.splice(start..end, new.bytes());
                index.replace(&text, start..end, new.len());
                prop_assert_eq!(&index, &LineIndex::new(&text));
            }
        }
    }
}
