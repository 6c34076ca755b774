//! Sentences that were not, or not wholly, understood.

use gainsay_notation::Span;

use super::maker::Maker;
use crate::chunks::{Chunk, ChunkKind, Sentence};
use crate::claim::{Prose, UnreadSentence};
use crate::frame::Frame;
use crate::presence::Presence;
use crate::set::Set;
use crate::slot::Slot;

/// The sets of words that are terms of the trade, which say something only within a claim.
const TERMS: u128 = Set::Threat.bit()
    | Set::Mate.bit()
    | Set::Passed.bit()
    | Set::Isolated.bit()
    | Set::Doubled.bit()
    | Set::Tripled.bit()
    | Set::Backward.bit()
    | Set::Pinned.bit()
    | Set::Trapped.bit()
    | Set::Hanging.bit();

/// Moves, pieces, squares and files.
const THINGS: Presence = Presence::of_slot(Slot::Line)
    .or(&Presence::of_slot(Slot::Piece))
    .or(&Presence::of_slot(Slot::Square))
    .or(&Presence::of_slot(Slot::File));

impl Maker<'_> {
    /// Lists the sentence if it speaks of chess and something in it was not understood. Its claims
    /// are those from number `first` on. A sentence without a move, a piece, a square or a term
    /// costs nothing.
    pub(super) fn list_unread(&mut self, prose: &mut Prose, first: usize, sentence: &Sentence) {
        if !sentence.there.has_any(&THINGS) && sentence.sets & TERMS == 0 {
            return;
        }
        let claims = prose.claims.get(first..).unwrap_or_default();
        self.covered.clear();
        self.covered.extend(claims.iter().map(|claim| claim.span));
        self.covered.sort_unstable_by_key(|span| span.start);
        let from = prose.unread.len();
        for claim in claims {
            let own = claim.unread.start as usize..claim.unread.end as usize;
            prose.unread.extend_from_within(own);
        }
        let mut claimed = self.covered.iter().peekable();
        let mut claimed_to = 0;
        let chunks = self.chunks.get(sentence.chunks.clone()).unwrap_or_default();
        let mut begins = true;
        for chunk in chunks {
            while let Some(span) = claimed.next_if(|span| span.start <= chunk.span.start) {
                claimed_to = claimed_to.max(span.end);
            }
            let covered = chunk.span.end <= claimed_to;
            if !covered && !self.is_understood_alone(chunk, begins) {
                prose.unread.push(chunk.span);
            }
            begins = false;
        }
        let Some(words) = prose.unread.get_mut(from..) else {
            return;
        };
        words.sort_unstable_by_key(|span| (span.start, span.end));
        // What a claim and its sentence do not understand is the same.
        let mut kept = from;
        let mut last: Option<Span> = None;
        for at in from..prose.unread.len() {
            let Some(&word) = prose.unread.get(at) else {
                break;
            };
            if last.is_none_or(|last| last.end <= word.start) {
                prose.unread.swap(kept, at);
                kept += 1;
                last = Some(word);
            }
        }
        prose.unread.truncate(kept);
        if kept == from {
            return;
        }
        let index = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        prose.sentences.push(UnreadSentence {
            span: self.span(sentence.chunks.start, sentence.chunks.end),
            words: index(from)..index(kept),
        });
    }

    /// Whether something that is part of no claim says nothing that could be true or false: signs,
    /// numbers and sides, words that only join others, reviewed words, and names.
    fn is_understood_alone(&self, chunk: &Chunk, begins: bool) -> bool {
        let sense = self.senses.sense(chunk);
        match chunk.kind {
            ChunkKind::Word { capital } => {
                sense.sets & TERMS == 0
                    && (sense.sets != 0 || sense.frame != Frame::Unreviewed || capital && !begins)
            }
            ChunkKind::Line(_) | ChunkKind::Noun(_) | ChunkKind::Square(_) | ChunkKind::File(_) => {
                false
            }
            // "Nb8-a6-b4" is a way, "1972" a year.
            ChunkKind::Other => {
                !(chunk.span.of(self.text).first()).is_some_and(u8::is_ascii_alphabetic)
            }
            _ => true,
        }
    }
}
