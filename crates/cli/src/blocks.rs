//! How far the reading of a file in blocks has come.

use std::io::{self, Read};

use gainsay::Format;
use gainsay_files::Paragraphs;
use gainsay_notation::LineIndex;

use crate::{
    cut::{OVERLAP, next_start},
    files::fill,
};

/// How far the reading of a file has come.
#[derive(Debug, Default)]
pub(crate) struct FileState {
    pub(crate) offset: usize,
    /// Line number of the next block's first line, from 0.
    pub(crate) line: u32,
    pub(crate) games: u32,
    pub(crate) numbers: u32,
    pub(crate) plies: u64,
    /// Those of a document of a word processor.
    pub(crate) paragraphs: Option<Paragraphs>,
}

/// Line ends in a block: LF, CRLF or CR.
pub(crate) fn count_lines(bytes: &[u8]) -> usize {
    LineIndex::new(bytes).len().saturating_sub(1)
}

/// Reads past the rest of something that is too long, until `block` begins with something
/// new; `false` at the end of the input.
pub(crate) fn read_past(
    from: &mut dyn Read,
    block: &mut Vec<u8>,
    format: Format,
    state: &mut FileState,
) -> io::Result<bool> {
    const AT_ONCE: usize = 1 << 20;
    loop {
        let more = fill(from, block, AT_ONCE)?;
        let start = next_start(block, format);
        let past = start.unwrap_or_else(|| match more {
            true => between_lines(block, block.len().saturating_sub(OVERLAP)),
            false => block.len(),
        });
        state.line += count_lines(&block[..past]) as u32;
        state.offset += past;
        block.drain(..past);
        if start.is_some() || !more {
            return Ok(more);
        }
    }
}

/// A place that is not within a line end of two bytes, which would count twice.
pub(crate) fn between_lines(block: &[u8], at: usize) -> usize {
    let before = at.checked_sub(1).and_then(|before| block.get(before));
    at - usize::from(before == Some(&b'\r'))
}
