//! Cutting a text into sections: the unit of reading, of checking again after
//! an edit, and of working in parallel.

use std::ops::Range;

use memchr::{memchr3, memrchr2};

use crate::bytes::{
    BOM, braces, byte, is_event_start, is_game_start, is_line_end, is_space, line_end, odd_space,
    read_tag, rest,
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
    /// One game with its tags, or games without tags.
    Games,
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
                if has_event && at > start && is_event_start(text, at) {
                    return Some(at);
                }
                let tag = read_tag(text, at);
                has_event |= text.get(tag.name.0..tag.name.1) == Some(b"Event");
                at = tag.end;
            }
            _ if odd_space(text, at) > 0 => at += odd_space(text, at),
            0xef if rest(text, at).starts_with(BOM) => at += BOM.len(),
            _ => break,
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
