//! The chunker: where it stands in its tokens, and what it has made of those before.

use gainsay_notation::{Language, Span};
use shakmaty::Color;

use crate::chunks::{Chunk, ChunkKind, Sentence};
use crate::claim::Prose;
use crate::sense::{Sense, Senses};
use crate::set::Set;
use crate::token::{Token, TokenKind};

pub(super) struct Chunker<'a> {
    pub(super) text: &'a [u8],
    pub(super) tokens: &'a [Token],
    pub(super) senses: Senses<'a>,
    pub(super) letters: Language,
    /// The player who writes, where that is known.
    pub(super) author: Option<Color>,
    pub(super) prose: &'a mut Prose,
    pub(super) chunks: &'a mut Vec<Chunk>,
    pub(super) sentences: &'a mut Vec<Sentence>,
    pub(super) finders: &'a mut Vec<usize>,
    /// The sentence that is being read.
    pub(super) current: Sentence,
    pub(super) at: usize,
    pub(super) depth: u8,
    pub(super) sentence: u32,
    /// The token behind the last cited line.
    pub(super) line_end: usize,
}

impl Chunker<'_> {
    #[inline]
    pub(super) fn token(&self, at: usize) -> Option<TokenKind> {
        self.tokens.get(at).map(|token| token.kind)
    }

    #[inline]
    pub(super) fn span(&self, at: usize) -> Span {
        self.tokens
            .get(at)
            .map(|token| token.span)
            .unwrap_or_default()
    }

    #[inline]
    pub(super) fn sense(&self, at: usize) -> &'_ Sense {
        let token = self.tokens.get(at);
        token.map_or(&Sense::NONE, |token| self.senses.of(token.entry))
    }

    #[inline]
    pub(super) fn is(&self, at: usize, set: Set) -> bool {
        self.sense(at).is(set)
    }

    /// Pushes a chunk over the tokens from the current one up to `end`.
    #[inline]
    pub(super) fn push(&mut self, end: usize, kind: ChunkKind) {
        let end = end.max(self.at + 1);
        let span = self.span(self.at).to(self.span(end - 1));
        self.push_chunk(Chunk::new(span, kind));
        self.at = end;
    }

    #[inline]
    pub(super) fn push_chunk(&mut self, chunk: Chunk) {
        let sense = self.senses.sense(&chunk);
        self.current.there.add(&sense.presence);
        self.current.sets |= sense.sets;
        // Pushed and taken back sooner than asked: which words find is hard to foretell.
        let finders = self.finders.len() + usize::from(sense.finds);
        self.finders.push(self.chunks.len());
        self.finders.truncate(finders);
        self.chunks.push(chunk);
    }
}
