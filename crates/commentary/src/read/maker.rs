//! The maker of claims: what it knows of its passage and of the sentence that it reads.

use std::cell::OnceCell;
use std::ops::Range;

use gainsay_notation::Span;

use super::made::Made;
use crate::chunks::{Chunk, ChunkKind};
use crate::other_game::OtherGame;
use crate::pattern::{Alive, Patterns};
use crate::sense::{Sense, Senses};
use crate::set::Set;
use crate::tongue::Tongue;
use crate::wording::Wording;

/// How many chunks on each side of a claim can bear on it. Sentences are shorter; the
/// limit keeps reading linear where they are not.
pub(super) const REACH: usize = 48;

/// A pointer at another game.
#[derive(Debug)]
pub(super) struct Pointer {
    /// Its words.
    pub(super) chunks: Range<usize>,
    /// Its words with the players' names beside them.
    pub(super) reach: Range<usize>,
    pub(super) game: OtherGame,
}

/// Makes claims of chunks.
pub(super) struct Maker<'a> {
    pub(super) text: &'a [u8],
    /// Whether the passage is no UTF-8, once it was asked.
    pub(super) latin: OnceCell<bool>,
    pub(super) tongue: Tongue,
    pub(super) chunks: &'a [Chunk],
    pub(super) senses: Senses<'a>,
    pub(super) patterns: &'a Patterns,
    /// The patterns that can match in the sentence.
    pub(super) alive: &'a mut Alive,
    /// Whether the passage is in a language that is read.
    pub(super) spoken: bool,
    /// Whether the sentence has a cited line.
    pub(super) lines: bool,
    /// Whether the sentence has words that say something of the claims near them.
    pub(super) telling: bool,
    /// Whether the passage has turned to another game.
    pub(super) elsewhere: bool,
    /// Whether a sentence before has pointed at another game.
    pub(super) left: bool,
    /// The other games that the sentence points at.
    pub(super) games: Vec<Pointer>,
    /// Whether the passage names a contest, once it was asked.
    pub(super) contests: Option<bool>,
    /// Whether the sentence speaks of another chapter or page.
    pub(super) away: bool,
    pub(super) quotes: u32,
    /// The claims that phrases made in the sentence.
    pub(super) made: Vec<Made>,
    /// Where the claims of a sentence stand, while it is asked what was not understood.
    pub(super) covered: Vec<Span>,
}

impl Maker<'_> {
    #[inline]
    pub(super) fn sense(&self, at: usize) -> &'_ Sense {
        self.chunks
            .get(at)
            .map_or(&Sense::NONE, |chunk| self.senses.sense(chunk))
    }

    #[inline]
    pub(super) fn kind(&self, at: usize) -> Option<ChunkKind> {
        self.chunks.get(at).map(|chunk| chunk.kind)
    }

    #[inline]
    pub(super) fn span(&self, start: usize, end: usize) -> Span {
        let first = self
            .chunks
            .get(start)
            .map(|chunk| chunk.span)
            .unwrap_or_default();
        let last = self
            .chunks
            .get(end.saturating_sub(1))
            .map_or(first, |chunk| chunk.span);
        first.to(last)
    }

    /// The sets of the words of some chunks, one bit each.
    pub(super) fn sets(&self, chunks: &[Chunk]) -> u128 {
        let senses = chunks.iter().map(|chunk| self.senses.sense(chunk));
        senses.fold(0, |sets, sense| sets | sense.sets)
    }

    /// What the words of some chunks add to a claim.
    pub(super) fn wording(&self, chunks: &[Chunk]) -> Wording {
        let mut wordings = chunks.iter().map(|chunk| match chunk.kind {
            ChunkKind::Noun(noun) => noun.wording,
            _ => Wording::word(self.senses.sense(chunk).nuances),
        });
        let first = wordings.next().unwrap_or_default();
        wordings.fold(first, Wording::and)
    }

    /// Whether the clause ends with a claim that ends before chunk `end`, or goes on without
    /// a turn.
    pub(super) fn is_closed(&self, end: usize) -> bool {
        let last = end.checked_sub(1).and_then(|last| self.chunks.get(last));
        let last = last.map_or(0, |chunk| chunk.span.end as usize);
        let behind = self.text.get(last..).unwrap_or_default();
        let sign = behind.trim_ascii_start().first();
        sign.is_none_or(|byte| b".,;:!?)".contains(byte)) || self.sense(end).is(Set::GoesOn)
    }

    /// Whether "and", a cited line or a clause of its own stands in front of chunk `start` in
    /// its sentence.
    pub(super) fn goes_on(&self, start: usize) -> bool {
        let mut behind = None;
        for at in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(at) {
                Some(ChunkKind::End) | None => return false,
                Some(ChunkKind::Line(_)) => return true,
                Some(ChunkKind::Comma)
                    if !behind.is_some_and(|at| self.sense(at).is(Set::Because)) =>
                {
                    return true;
                }
                _ if self.sense(at).is(Set::And) => return true,
                _ => behind = Some(at),
            }
        }
        false
    }
}
