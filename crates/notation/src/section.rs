//! Sections, and where those of game text and of positions end.

use std::ops::Range;

use memchr::{memchr3, memrchr2};

use crate::braces::braces;
use crate::bytes::{
    BOM, byte, is_event_start, is_game_start, is_line_end, is_space, line_end, odd_space, read_tag,
    rest,
};

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
    /// One game with its tags, or games without tags: for [`read_game`](crate::read_game).
    Games,
    /// A line of EPD or FEN with its line end, possibly blank: for
    /// [`parse_epd_line`](crate::parse_epd_line).
    Epd,
    /// A board that is drawn: in the view, what stands on it as FEN writes it, and its number if its
    /// caption has one. Nobody says which side is to move.
    Board,
    /// Prose of a manuscript, between its games and positions.
    Prose,
}

/// Cuts game text (PGN) into sections.
///
/// A cut stands where the tags of a game begin after movetext. Cutting looks at
/// braces and line starts only, so it is much faster than reading.
pub fn sections(text: &[u8]) -> impl Iterator<Item = Section> + '_ {
    let mut start = 0;
    std::iter::from_fn(move || {
        if start >= text.len() {
            return None;
        }
        let end = next_cut(text, start).unwrap_or(text.len());
        let range = start..end;
        start = end;
        Some(Section {
            range,
            kind: SectionKind::Games,
        })
    })
}

/// The lines of a range of the text as sections, each with its line end.
pub(crate) fn lines(text: &[u8], range: Range<usize>) -> impl Iterator<Item = Section> + '_ {
    let mut start = range.start;
    let text = text.get(..range.end).unwrap_or(text);
    std::iter::from_fn(move || {
        if start >= text.len() {
            return None;
        }
        let end = match line_end(text, start) {
            end if rest(text, end).starts_with(b"\r\n") => end + 2,
            end => (end + 1).min(text.len()),
        };
        let range = start..end;
        start = end;
        Some(Section {
            range,
            kind: SectionKind::Epd,
        })
    })
}

/// The offset of the first cut behind `start`, itself a cut or the start of the text.
pub(crate) fn next_cut(text: &[u8], start: usize) -> Option<usize> {
    let mut at = start;
    if at == 0 && text.starts_with(BOM) {
        at = BOM.len();
    }
    let mut has_event = false;

    // Tags and comments, until movetext begins.
    loop {
        match byte(text, at) {
            _ if at >= text.len() => return None,
            blank if is_space(blank) => at += 1,
            b'{' => at = braces(text, at).end,
            b';' => at = line_end(text, at),
            b'%' if at == 0 || is_line_end(byte(text, at - 1)) => at = line_end(text, at),
            b'[' => {
                if has_event && is_event_start(text, at) {
                    return Some(at);
                }
                let tag = read_tag(text, at);
                has_event |= text.get(tag.name.0..tag.name.1) == Some(b"Event");
                at = tag.end;
            }
            0xef if rest(text, at).starts_with(BOM) => at += BOM.len(),
            _ => match odd_space(text, at) {
                0 => break,
                length => at += length,
            },
        }
    }

    // Movetext, until tags begin.
    while let Some(found) = memchr3(b'[', b'{', b';', rest(text, at)) {
        let here = at + found;
        if let Some(line) = memrchr2(b'\n', b'\r', text.get(at..here).unwrap_or_default())
            && byte(text, at + line + 1) == b'%'
        {
            at = line_end(text, here);
            continue;
        }
        match byte(text, here) {
            b'{' => at = braces(text, here).end,
            b';' => at = line_end(text, here),
            _ if is_game_start(text, here) => return Some(here),
            _ => at = here + 1,
        }
    }
    None
}
