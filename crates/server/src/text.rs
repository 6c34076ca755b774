//! A document's text with its line starts.

use std::{ops::Range, sync::Arc};

use gainsay::Edition;
use gainsay_notation::{Columns, LineIndex, Position};

/// A text as it stands between two edits, and where its lines begin.
///
/// An editor sends Unicode, so the bytes are valid UTF-8 throughout.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    pub(crate) edition: Arc<Edition<'static>>,
    pub(crate) lines: Arc<LineIndex>,
}

impl Text {
    pub(crate) fn bytes(&self) -> &[u8] {
        self.edition.text()
    }

    pub(crate) fn len(&self) -> usize {
        self.bytes().len()
    }

    /// The bytes of a range; empty where it lies outside.
    pub(crate) fn of(&self, range: Range<usize>) -> &[u8] {
        self.bytes().get(range).unwrap_or_default()
    }

    pub(crate) fn lines(&self) -> &LineIndex {
        &self.lines
    }

    /// The byte offset of a place; places outside are clamped.
    pub(crate) fn offset(&self, place: Position, columns: Columns) -> usize {
        self.lines.offset(self.bytes(), place, columns)
    }

    /// The place of a byte offset.
    pub(crate) fn position(&self, offset: usize, columns: Columns) -> Position {
        self.lines.position(self.bytes(), offset, columns)
    }
}

/// The smallest replacement that makes `old` into `new`, on character boundaries.
pub(crate) fn difference<'n>(old: &[u8], new: &'n str) -> Option<(Range<usize>, &'n str)> {
    let bytes = new.as_bytes();
    if old == bytes {
        return None;
    }
    let mut head = old.iter().zip(bytes).take_while(|(a, b)| a == b).count();
    while !new.is_char_boundary(head) {
        head -= 1;
    }
    let most = old.len().min(bytes.len()) - head;
    let mut tail = old
        .iter()
        .rev()
        .zip(bytes.iter().rev())
        .take(most)
        .take_while(|(a, b)| a == b)
        .count();
    while !new.is_char_boundary(bytes.len() - tail) {
        tail -= 1;
    }
    Some((
        head..old.len() - tail,
        new.get(head..bytes.len() - tail).unwrap_or_default(),
    ))
}
