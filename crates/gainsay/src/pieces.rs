//! How a text is cut into pieces of work: stretches that can be checked apart from the others.

use std::{borrow::Cow, ops::Range};

use gainsay_notation::{
    Format, Manuscript, Section, SectionKind, manuscript, print_of_runs, sections,
};

use crate::{game_facts::KeptGames, tasks::Genre};

/// Names a piece of a document for as long as its text stays as it is.
///
/// ```
/// use gainsay::{Document, Format};
/// let text = b"[Event \"A\"]\n\n1. e4 *\n\n[Event \"B\"]\n\n1. d4 *\n";
/// let mut text = Document::open(text, Format::Pgn);
/// let [first, second] = [0, 1].map(|at| text.pieces()[at].id);
/// let _ = text.edit(8..9, b"C");
/// assert_eq!((text.place(first), text.place(second)), (None, Some(1)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PieceId(pub(crate) u64);

/// A stretch of a text that can be checked apart from the others, on any thread.
///
/// ```
/// use gainsay::{Document, Format};
/// let text = Document::open(b"[Event \"A\"]\n\n1. e4 *\n\n[Event \"B\"]\n\n1. d4 *\n", Format::Pgn);
/// let ranges: Vec<_> = text.pieces().iter().map(|piece| piece.range.clone()).collect();
/// assert_eq!(ranges, [0..22, 22..43]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its name.
    pub id: PieceId,
    /// Its bytes.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
    /// Whether prose can speak of it: blank lines among positions are pieces too.
    pub(crate) is_block: bool,
    /// A fingerprint of the moves in it, if the text is a manuscript.
    pub(crate) moves: u64,
    /// Its games, once they are asked for.
    pub(crate) games: KeptGames,
}

impl Piece {
    /// A section of `text` as a piece.
    pub(crate) fn of(text: &[u8], section: Section, format: Format, id: PieceId) -> Self {
        let own = text.get(section.range.clone()).unwrap_or_default();
        let manuscript = !matches!(format, Format::Pgn | Format::Epd);
        Self {
            id,
            moves: if manuscript { print_of_runs(own) } else { 0 },
            is_block: section.kind != SectionKind::Prose && !own.trim_ascii().is_empty(),
            range: section.range,
            kind: section.kind,
            games: KeptGames::default(),
        }
    }

    /// Whether it is a position, which prose calls a diagram.
    pub(crate) fn is_position(&self) -> bool {
        self.is_block && matches!(self.kind, SectionKind::Epd | SectionKind::Board)
    }
}

/// How many blocks before and behind a passage its lines can go back to, beyond the
/// nearest.
pub(crate) const REACH: usize = 16;

/// What prose speaks of: a section of games, or a position.
///
/// ```
/// use gainsay::{Document, Format};
/// let text = b"```fen\n8/8/8/8/8/4k3/4p3/4K3 w - - 0 1\n```\n\nIt is a draw.\n";
/// let text = Document::open(text, Format::Markdown);
/// let last = text.pieces().len() - 1;
/// let block = text.excerpt(last).unwrap().near[0].clone().unwrap();
/// assert_eq!(block.number, 1);
/// assert!(text.text()[block.range].ends_with(b" 0 1\n"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// Its bytes.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
    /// Its number among the positions of the text, which prose calls diagrams; 0 for games.
    pub number: u32,
    /// Its number among the exercises, if the text gives it one.
    pub exercise: Option<u32>,
    /// The bytes of its solution, for an exercise with one that stands elsewhere.
    pub solution: Option<Range<usize>>,
    /// What it asks for that is not proved.
    pub genre: Option<Genre>,
    /// How many solutions its words say that it has; 0 for several.
    pub solutions: Option<u32>,
}

/// Where texts stand that belong to a block.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Layout {
    /// Nothing tells.
    #[default]
    Unknown,
    /// Below it.
    Below,
    /// Above it.
    Above,
}

/// A piece with what stands around it: all that its questions are read from.
///
/// ```
/// use gainsay::{Document, Format};
/// let text = b"A word.\n\n```fen\n8/8/8/8/8/4k3/4p3/4K3 w - - 0 1\n```\n";
/// let text = Document::open(text, Format::Markdown);
/// let words = text.excerpt(0).unwrap();
/// assert!(words.near[0].is_none() && words.near[1].is_some());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Excerpt {
    /// Its bytes.
    pub range: Range<usize>,
    /// What it holds.
    pub kind: SectionKind,
    /// For prose: where the text begins from which its lines can go on.
    pub thread: usize,
    /// For prose: the blocks of games and positions before and behind it.
    pub near: [Option<Block>; 2],
    /// For prose: other blocks within reach.
    pub others: Vec<Block>,
    /// For prose between two blocks: which of them it speaks of.
    pub layout: Layout,
    /// For prose: the paragraphs that name another block by its number, by where they begin.
    pub named: Vec<(usize, Block)>,
    /// For prose: the paragraphs that give a task to several positions, by where they begin.
    pub shared: Vec<usize>,
    /// For a position: the bytes of the task that it shares with others, and what is known of it.
    pub task: Option<(Range<usize>, Block)>,
}

/// Cuts a text into pieces of work. Those of game text have at least `least` bytes, but for
/// the last; of EPD every line is a piece, since a position costs far more than its bytes.
pub(crate) fn cut(text: &[u8], format: Format, least: usize) -> Manuscript<'_> {
    match format {
        Format::Pgn => Manuscript {
            view: Cow::Borrowed(text),
            sections: cut_games(text, least),
        },
        _ => manuscript(text, format),
    }
}

/// Cuts are looked for at Event tags behind a blank line, which begin a game whatever
/// stands before them; only text without such tags is cut by reading.
fn cut_games(text: &[u8], least: usize) -> Vec<Section> {
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
        pieces.push(Section {
            range: start..cut,
            kind: SectionKind::Games,
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
///
/// ```
/// use gainsay::{Format, last_cut};
/// assert_eq!(last_cut(b"[Event \"A\"]\n\n1. e4 *\n\n[Event \"B\"]\n", Format::Pgn), Some(22));
/// assert_eq!(last_cut(b"[Event \"A\"]\n\n1. e4 *\n", Format::Pgn), None);
/// ```
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
        assert_eq!(cut(text, Format::Pgn, 1).sections.len(), 1);
        assert_eq!(sections(text).count(), 1);
    }
}
