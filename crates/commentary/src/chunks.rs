//! A passage in chunks: cited lines, noun phrases for pieces, sides, and the words between
//! them.

use std::ops::Range;

use gainsay_notation::{Glyph, Span};
use shakmaty::{Color, File, Square};

use crate::entry::Entry;
use crate::noun::Noun;
use crate::presence::Presence;
use crate::sense::{Sense, Senses};

/// A chunk with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Chunk {
    pub(crate) span: Span,
    /// The word, or what stands for words of its kind.
    pub(crate) entry: Entry,
    pub(crate) kind: ChunkKind,
}

/// What a chunk is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum ChunkKind {
    /// A word; whether it begins with a capital letter.
    Word {
        capital: bool,
    },
    Number(u32),
    /// A cited line, by its index.
    Line(u32),
    Noun(Noun),
    Square(Square),
    File(File),
    Side(Color),
    /// One of the players; whether "he", who was named before, or "we", "they".
    He(bool),
    Opponent,
    Glyph(Glyph),
    Comma,
    /// `;`, a dash, a slash.
    Pause,
    Colon,
    Open,
    Close,
    Quote,
    /// The end of a sentence.
    End,
    Other,
}

impl ChunkKind {
    /// Whether it is a sign between two clauses of a sentence.
    pub(crate) const fn parts_clauses(self) -> bool {
        matches!(
            self,
            Self::Comma | Self::Pause | Self::Colon | Self::Open | Self::Close
        )
    }
}

impl Chunk {
    /// A chunk that is no word.
    pub(crate) const fn new(span: Span, kind: ChunkKind) -> Self {
        let entry = match kind {
            ChunkKind::Quote | ChunkKind::Glyph(_) => Entry::MARK,
            ChunkKind::Number(_) => Entry::NUMBER,
            ChunkKind::Line(_) => Entry::LINE,
            ChunkKind::Noun(_) => Entry::NOUN,
            ChunkKind::Square(_) => Entry::SQUARE,
            ChunkKind::File(_) => Entry::FILE,
            ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent => Entry::SIDE,
            _ => Entry::SIGN,
        };
        Self { span, entry, kind }
    }
}

impl<'l> Senses<'l> {
    /// What a chunk's word means.
    #[inline]
    pub(crate) fn sense(self, chunk: &Chunk) -> &'l Sense {
        self.of(chunk.entry)
    }
}

/// A sentence, and what is known of it before its claims are made.
#[derive(Clone, Debug)]
pub(crate) struct Sentence {
    /// Its chunks, without the end of the sentence.
    pub(crate) chunks: Range<usize>,
    /// Whether it ends in a question mark.
    pub(crate) asked: bool,
    /// All that patterns can ask for.
    pub(crate) there: Presence,
    /// The sets of its words, one bit each.
    pub(crate) sets: u128,
    /// Its chunks by which patterns are found, as indices into [`Chunks::finders`].
    pub(crate) finders: Range<usize>,
    /// Whether it has a glyph.
    pub(crate) glyph: bool,
    /// Whether it has a pause.
    pub(crate) pause: bool,
}

impl Sentence {
    /// An empty sentence behind so many chunks and finders.
    pub(crate) const fn at(chunks: usize, finders: usize) -> Self {
        Self {
            chunks: chunks..chunks,
            asked: false,
            there: Presence::EVERYWHERE,
            sets: 0,
            finders: finders..finders,
            glyph: false,
            pause: false,
        }
    }
}

/// A passage in chunks.
#[derive(Debug, Default)]
pub(crate) struct Chunks {
    pub(crate) chunks: Vec<Chunk>,
    pub(crate) sentences: Vec<Sentence>,
    /// The chunks by which patterns are found.
    pub(crate) finders: Vec<usize>,
}

impl Chunks {
    pub(crate) fn clear(&mut self) {
        self.chunks.clear();
        self.sentences.clear();
        self.finders.clear();
    }
}
