//! Byte ranges.

use std::ops::Range;

/// A half-open range of byte offsets, relative to the section it was read from.
///
/// Sections are far smaller than 4 GiB, so 32 bits hold an offset and keep the
/// elements of a game small.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Offset of the first byte.
    pub start: u32,
    /// Offset behind the last byte.
    pub end: u32,
}

impl From<&Range<usize>> for Span {
    fn from(range: &Range<usize>) -> Self {
        Self::new(range.start as u32, range.end as u32)
    }
}

impl Span {
    /// The span from `start` up to, but not including, `end`.
    #[must_use]
    pub const fn new(start: u32, end: u32) -> Self {
        Self { start, end }
    }

    /// The span as a range of `usize`, for slicing.
    #[must_use]
    pub const fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The bytes of `text` that the span covers; empty where it lies outside.
    #[must_use]
    pub fn of(self, text: &[u8]) -> &[u8] {
        text.get(self.range()).unwrap_or_default()
    }

    /// Length in bytes.
    #[must_use]
    pub const fn len(self) -> u32 {
        self.end.saturating_sub(self.start)
    }

    /// Whether the span covers no byte.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.end <= self.start
    }

    /// Whether `offset` lies inside the span or just behind its last byte,
    /// which is where an editor's cursor stands after a word.
    #[must_use]
    pub const fn touches(self, offset: u32) -> bool {
        self.start <= offset && offset <= self.end
    }

    /// The smallest span that covers both.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self::new(self.start.min(other.start), self.end.max(other.end))
    }
}
