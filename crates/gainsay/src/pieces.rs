//! How a text is cut into pieces of work: stretches that can be checked apart from the others.

use std::{ops::Range, sync::Arc};

use gainsay_notation::{Format, SectionKind, sections, sections_of};

/// A stretch of a text that can be checked apart from the others, on any thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its bytes.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
    /// For prose: the blocks of games and positions before and behind it.
    pub near: [Option<Block>; 2],
    /// For prose: other blocks within reach, by their places among all. A manuscript may have
    /// a hundred thousand passages, and each of them thirty others.
    others: Vec<u32>,
    blocks: Arc<[Block]>,
}

/// How many blocks before and behind a passage its lines can go back to, beyond the
/// nearest.
pub const REACH: usize = 16;

/// What prose speaks of: a section of games, or a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// Its bytes.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
    /// Its number among the positions of the text, which prose calls diagrams; 0 for games.
    pub number: u32,
}

impl Piece {
    /// A piece of games, or a line of EPD, which speaks of nothing around it.
    #[must_use]
    pub fn of(range: Range<usize>, kind: SectionKind) -> Self {
        Self {
            range,
            kind,
            near: [None, None],
            others: Vec::new(),
            blocks: Arc::default(),
        }
    }

    /// For prose: other blocks within reach.
    pub(crate) fn others(&self) -> impl Iterator<Item = &Block> {
        (self.others.iter()).filter_map(|&at| self.blocks.get(at as usize))
    }

    /// Leaves out what stands around it and is longer than `most` bytes, but for the nearest.
    pub fn without_longer(&mut self, most: usize) {
        let Self { others, blocks, .. } = self;
        others
            .retain(|&at| (blocks.get(at as usize)).is_some_and(|block| block.range.len() <= most));
    }
}

/// Cuts a text into pieces of work. Pieces of game text have at least `least` bytes,
/// but for the last; of EPD every line is a piece, since a position costs far more
/// than its bytes.
#[must_use]
pub fn pieces(text: &[u8], format: Format, least: usize) -> Vec<Piece> {
    if format == Format::Pgn {
        return game_pieces(text, least);
    }
    let sections = sections_of(text, format);
    // Blank lines among positions are sections too.
    let blocks: Vec<usize> = (0..sections.len())
        .filter(|&at| {
            sections.get(at).is_some_and(|section| {
                let text = text.get(section.range.clone()).unwrap_or_default();
                section.kind != SectionKind::Prose && !text.trim_ascii().is_empty()
            })
        })
        .collect();
    let positions: Vec<usize> = (blocks.iter().copied())
        .filter(|&at| (sections.get(at)).is_some_and(|found| found.kind == SectionKind::Epd))
        .collect();
    let block = |at: &usize| {
        let number = positions.binary_search(at).map_or(0, |before| before + 1);
        sections.get(*at).map(|section| Block {
            range: section.range.clone(),
            kind: section.kind,
            number: u32::try_from(number).unwrap_or(0),
        })
    };
    let all: Arc<[Block]> = blocks.iter().filter_map(block).collect();
    sections
        .iter()
        .enumerate()
        .map(|(at, section)| {
            let mut piece = Piece {
                range: section.range.clone(),
                kind: section.kind,
                near: [None, None],
                others: Vec::new(),
                blocks: Arc::clone(&all),
            };
            if section.kind == SectionKind::Prose {
                let split = blocks.partition_point(|&block| block < at);
                let (before, behind) = blocks.split_at(split);
                piece.near = [
                    before.last().and_then(block),
                    behind.first().and_then(block),
                ];
                let before = (0..split).rev().skip(1).take(REACH);
                let behind = (split..split + behind.len()).skip(1).take(REACH);
                piece.others = before.chain(behind).map(|at| at as u32).collect();
            }
            piece
        })
        .collect()
}

/// Cuts are looked for at Event tags behind a blank line, which begin a game whatever
/// stands before them; only text without such tags is cut by reading.
fn game_pieces(text: &[u8], least: usize) -> Vec<Piece> {
    let finder = memchr::memmem::Finder::new(b"[Event ");
    let mut pieces = Vec::new();
    let mut start = 0;
    while start < text.len() {
        let from = start.saturating_add(least);
        let cut = text
            .get(from..)
            .and_then(|rest| {
                finder
                    .find_iter(rest)
                    .map(|at| from + at)
                    .find(|&at| follows_movetext(&text[start..at]))
            })
            .or_else(|| {
                let mut cuts = sections(&text[start..]).map(|section| start + section.range.end);
                cuts.find(|&cut| cut >= from)
            })
            .unwrap_or(text.len());
        pieces.push(Piece {
            range: start..cut,
            kind: SectionKind::Games,
            near: [None, None],
            others: Vec::new(),
            blocks: Arc::from([]),
        });
        start = cut;
    }
    pieces
}

/// Where the last piece of `block` begins that may go on behind the block: everything
/// before is final. `None` asks for a longer block.
///
/// Like [`gainsay_notation::last_cut`], but looks from behind for an Event tag that
/// begins a game for certain, which spares reading the block through.
#[must_use]
pub fn last_cut(block: &[u8], format: Format) -> Option<usize> {
    if format == Format::Pgn
        && let Some(at) = memchr::memmem::rfind(block, b"[Event ")
        && at > 0
        && follows_movetext(&block[..at])
    {
        return Some(at);
    }
    gainsay_notation::last_cut(block, format)
}

/// Whether text ends with a blank line behind something other than a tag, be it complete
/// or not.
fn follows_movetext(before: &[u8]) -> bool {
    let text = before.trim_ascii_end();
    let blanks = &before[text.len()..];
    let ends = blanks.iter().filter(|&&byte| byte == b'\n').count();
    let line = memchr::memrchr2(b'\n', b'\r', text).map_or(0, |at| at + 1);
    let tag = text
        .get(line..)
        .is_some_and(|line| line.trim_ascii_start().starts_with(b"["));
    blanks.ends_with(b"\n") && ends > 1 && !tag && text.last().is_some_and(|&byte| byte != b']')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_cut_is_one_of_the_cuts() {
        let game = "[Event \"A\"]\n\n1. e4 e5 1-0\n\n";
        let text = game.repeat(5);
        for end in 0..text.len() {
            let block = &text.as_bytes()[..end];
            if let Some(cut) = last_cut(block, Format::Pgn) {
                assert_eq!(cut % game.len(), 0, "{end}");
                assert!(cut > 0 && cut < end, "{end}");
            } else {
                assert!(end <= game.len() + 9, "{end}");
            }
        }
    }

    #[test]
    fn a_tag_that_is_not_complete_is_no_movetext() {
        let text = b"[Even\n\n[Event \"A\"]\n\n1. e4 *\n";
        assert_eq!(pieces(text, Format::Pgn, 1).len(), 1);
        assert_eq!(sections(text).count(), 1);
    }
}
