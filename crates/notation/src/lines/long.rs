//! Columns of long lines: units are counted once for each line, with a mark every so many
//! bytes, and from the nearest mark for each question.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, PoisonError},
};

use super::columns::Columns;
use crate::bytes::byte;

/// Lines of so many bytes are long: counting in a shorter one takes less than finding it.
pub(super) const LONG: usize = 2048;

/// Bytes from mark to mark.
const STEP: usize = 1024;

/// Long lines by their starts, as far as somebody has asked about them. They are no part of
/// the value of an index.
#[derive(Debug, Default)]
pub(super) struct LongLines(Mutex<HashMap<usize, Arc<Long>>>);

impl Clone for LongLines {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for LongLines {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for LongLines {}

impl LongLines {
    /// The line `bytes` that begins at `start`.
    pub(super) fn of(&self, start: usize, bytes: &[u8]) -> Arc<Long> {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let long = known
            .entry(start)
            .or_insert_with(|| Arc::new(Long::new(bytes)));
        Arc::clone(long)
    }

    /// Forgets all lines: the text has changed.
    pub(super) fn forget(&mut self) {
        let known = self.0.get_mut().unwrap_or_else(PoisonError::into_inner);
        known.clear();
    }
}

/// How the bytes of a line are to be understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Encoding {
    /// A byte is a character, and a unit of any kind.
    Ascii,
    Utf8,
    /// What is not UTF-8: a byte is a character.
    Latin1,
}

impl Encoding {
    fn of(bytes: &[u8]) -> Self {
        if bytes.is_ascii() {
            Self::Ascii
        } else if std::str::from_utf8(bytes).is_ok() {
            Self::Utf8
        } else {
            Self::Latin1
        }
    }
}

/// What a stretch of bytes holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Count {
    /// Bytes that do not begin a character.
    within: u32,
    /// Characters of four bytes, which are two units in UTF-16.
    wide: u32,
    /// Bytes beyond ASCII.
    high: u32,
}

impl Count {
    fn add(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.within += u32::from(is_within(byte));
            self.wide += u32::from(byte >= 0xf0);
            self.high += u32::from(byte >= 0x80);
        }
    }

    /// The units in `length` bytes that hold this.
    const fn units(self, length: usize, encoding: Encoding, columns: Columns) -> usize {
        let characters = length.saturating_sub(self.within as usize);
        match (encoding, columns) {
            (Encoding::Ascii, _)
            | (Encoding::Utf8, Columns::Utf8)
            | (Encoding::Latin1, Columns::Scalars | Columns::Utf16) => length,
            (Encoding::Utf8, Columns::Scalars) => characters,
            (Encoding::Utf8, Columns::Utf16) => characters + self.wide as usize,
            (Encoding::Latin1, Columns::Utf8) => length + self.high as usize,
        }
    }
}

/// Whether a byte of UTF-8 does not begin a character.
const fn is_within(byte: u8) -> bool {
    byte & 0xc0 == 0x80
}

/// A long line.
#[derive(Debug)]
pub(super) struct Long {
    encoding: Encoding,
    /// What stands before each mark; none in ASCII, where nothing has to be counted.
    marks: Vec<Count>,
}

impl Long {
    fn new(bytes: &[u8]) -> Self {
        let encoding = Encoding::of(bytes);
        let mut marks = Vec::new();
        if encoding != Encoding::Ascii {
            let mut count = Count::default();
            let mut from = 0;
            for number in 0..=bytes.len() / STEP {
                let at = mark(bytes, number, encoding);
                count.add(bytes.get(from..at).unwrap_or_default());
                marks.push(count);
                from = at;
            }
        }
        Self { encoding, marks }
    }

    /// The column of the byte at `within`.
    pub(super) fn column(&self, bytes: &[u8], within: usize, columns: Columns) -> usize {
        let within = boundary(bytes, within, self.encoding);
        let number = within / STEP;
        let mut count = self.marks.get(number).copied().unwrap_or_default();
        if self.encoding != Encoding::Ascii {
            let from = mark(bytes, number, self.encoding);
            count.add(bytes.get(from..within).unwrap_or_default());
        }
        count.units(within, self.encoding, columns)
    }

    /// The byte at a column, or the end of the line.
    pub(super) fn offset(&self, bytes: &[u8], column: usize, columns: Columns) -> usize {
        let units = |number: usize, count: Count| {
            let at = mark(bytes, number, self.encoding);
            count.units(at, self.encoding, columns)
        };
        // The last mark that does not lie behind the column; units grow from mark to mark.
        let (mut low, mut high) = (0, self.marks.len());
        while high - low > 1 {
            let middle = low.midpoint(high);
            let count = self.marks.get(middle).copied().unwrap_or_default();
            if units(middle, count) <= column {
                low = middle;
            } else {
                high = middle;
            }
        }
        let from = mark(bytes, low, self.encoding);
        let counted = units(low, self.marks.get(low).copied().unwrap_or_default());
        let rest = bytes.get(from..).unwrap_or_default();
        from + walk(rest, column - counted.min(column), self.encoding, columns)
    }

    /// The same in a line that needs no marks.
    pub(super) fn column_in_short(bytes: &[u8], within: usize, columns: Columns) -> usize {
        let before = bytes.get(..within).unwrap_or(bytes);
        if before.is_ascii() {
            return before.len();
        }
        let encoding = Encoding::of(bytes);
        let within = boundary(bytes, within, encoding);
        let mut count = Count::default();
        count.add(bytes.get(..within).unwrap_or_default());
        count.units(within, encoding, columns)
    }

    /// The same in a line that needs no marks.
    pub(super) fn offset_in_short(bytes: &[u8], column: usize, columns: Columns) -> usize {
        let head = bytes.get(..column).unwrap_or(bytes);
        if head.is_ascii() {
            return head.len();
        }
        walk(bytes, column, Encoding::of(bytes), columns)
    }
}

/// Where the mark of this number stands: at a multiple of [`STEP`], or before it where that
/// lies inside a character.
fn mark(bytes: &[u8], number: usize, encoding: Encoding) -> usize {
    boundary(bytes, (number * STEP).min(bytes.len()), encoding)
}

/// The start of the character that the byte at `at` belongs to.
fn boundary(bytes: &[u8], at: usize, encoding: Encoding) -> usize {
    let mut at = at.min(bytes.len());
    if encoding == Encoding::Utf8 {
        while at > 0 && at < bytes.len() && is_within(byte(bytes, at)) {
            at -= 1;
        }
    }
    at
}

/// The byte `column` units behind the start of `bytes`, which is that of a character; the
/// first byte of the character that the place lies in.
fn walk(bytes: &[u8], column: usize, encoding: Encoding, columns: Columns) -> usize {
    if encoding == Encoding::Ascii {
        return column.min(bytes.len());
    }
    let mut counted = 0;
    let mut at = 0;
    while at < bytes.len() {
        let mut next = at + 1;
        while encoding == Encoding::Utf8 && next < bytes.len() && is_within(byte(bytes, next)) {
            next += 1;
        }
        let mut count = Count::default();
        count.add(bytes.get(at..next).unwrap_or_default());
        counted += count.units(next - at, encoding, columns);
        if counted > column {
            return at;
        }
        at = next;
    }
    bytes.len()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// A plain second implementation, which walks over all characters.
    fn walked(bytes: &[u8], within: usize, columns: Columns) -> usize {
        let width = |c: char| match columns {
            Columns::Scalars => 1,
            Columns::Utf8 => c.len_utf8(),
            Columns::Utf16 => c.len_utf16(),
        };
        match std::str::from_utf8(bytes) {
            Ok(text) => (text.char_indices())
                .take_while(|(at, c)| at + c.len_utf8() <= within)
                .map(|(_, c)| width(c))
                .sum(),
            Err(_) => bytes[..within]
                .iter()
                .map(|&byte| width(char::from(byte)))
                .sum(),
        }
    }

    proptest! {
        #[test]
        fn marks_change_no_column(
            words in proptest::collection::vec("[a\u{e9}\u{2026}\u{1f600}]{0,9}|[a-z ]{300,900}", 0..30),
            latin in any::<bool>(),
            places in proptest::collection::vec(0usize..30_000, 1..20),
        ) {
            let mut bytes = words.concat().into_bytes();
            if latin {
                bytes.push(0xe9);
            }
            let long = Long::new(&bytes);
            for place in places {
                let within = place.min(bytes.len());
                for columns in [Columns::Scalars, Columns::Utf8, Columns::Utf16] {
                    let column = walked(&bytes, within, columns);
                    prop_assert_eq!(long.column(&bytes, within, columns), column);
                    prop_assert_eq!(Long::column_in_short(&bytes, within, columns), column);
                    let back = long.offset(&bytes, column, columns);
                    prop_assert_eq!(back, Long::offset_in_short(&bytes, column, columns));
                    prop_assert_eq!(walked(&bytes, back, columns), column);
                    // A column that need not be that of any byte.
                    prop_assert_eq!(
                        long.offset(&bytes, place, columns),
                        Long::offset_in_short(&bytes, place, columns)
                    );
                }
            }
        }
    }
}
