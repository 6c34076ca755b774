//! The words around a claim that are not understood. What is not understood is not judged.

use std::ops::Range;

use gainsay_notation::Span;

use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::Prose;
use crate::frame::Frame;
use crate::kind::ClaimKind;
use crate::set::Set;

/// The sets of the verbs by which a new clause is told.
const VERB: u128 = Set::Question.bit()
    | Set::Past.bit()
    | Set::Future.bit()
    | Set::Would.bit()
    | Set::MoveVerb.bit();

impl Maker<'_> {
    /// Enters the words around the claim of chunks `start..end` that may change what it says
    /// and are not accounted for, in the order of the text.
    ///
    /// A word is accounted for where the language data know it and it is on none of the lists
    /// of words that change the sense of a claim in a way that is not followed.
    pub(super) fn unread(
        &self,
        prose: &mut Prose,
        start: usize,
        end: usize,
        kind: &ClaimKind,
    ) -> Range<u32> {
        let index = |prose: &Prose| u32::try_from(prose.unread.len()).unwrap_or(u32::MAX);
        let first = index(prose);
        self.unread_before(prose, start);
        if let Some(spans) = prose.unread.get_mut(first as usize..) {
            spans.reverse();
        }
        if let Some(at) = self.goes_on_behind(end, kind) {
            prose.unread.push(self.span(at, at + 1));
        }
        self.unread_behind(prose, end);
        first..index(prose)
    }

    /// The word directly behind a claim that ends at chunk `end` by which it goes on, so that its
    /// phrase is not all of it.
    fn goes_on_behind(&self, end: usize, kind: &ClaimKind) -> Option<usize> {
        let word = matches!(self.kind(end), Some(ChunkKind::Word { .. }));
        let word = word.then(|| self.span(end, end + 1).of(self.text))?;
        let next = self.kind(end + 1);
        let goes_on = match kind {
            // "A queen for a rook and three pawns", "walks a pawn down to f4"
            ClaimKind::Material(_) => {
                let thing = self.sense(end + 1).number.is_some()
                    || matches!(next, Some(ChunkKind::Number(_) | ChunkKind::Noun(_)));
                let verb = self.sense(end + 2).is_any(VERB);
                self.sense(end).is(Set::And) && thing && !verb
                    || word == b"to" && matches!(next, Some(ChunkKind::Square(_)))
            }
            // "It is better for Black to sit still"
            ClaimKind::Standing(_) => word == b"to" && matches!(next, Some(ChunkKind::Word { .. })),
            // "The only move that keeps the file closed"
            ClaimKind::OnlyMove(_) => {
                word == b"that" || word == b"which" || word == b"but" && self.is_infinitive(end + 1)
            }
            _ => false,
        };
        goes_on.then_some(end)
    }

    fn is_infinitive(&self, at: usize) -> bool {
        matches!(self.kind(at + 1), Some(ChunkKind::Word { .. }))
            && self.span(at, at + 1).of(self.text) == b"to"
    }

    /// Looks to the left: through the own clause for words that are not known, and for verbs
    /// that govern it; through the sentence for what makes all of it general.
    fn unread_before(&self, prose: &mut Prose, start: usize) {
        // Whether the words still belong to the clause of the claim, and whether a verb there
        // may govern it.
        let mut clause = true;
        let mut governed = true;
        for at in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                Some(ChunkKind::Pause) => {
                    clause = false;
                    governed = false;
                }
                Some(ChunkKind::Comma | ChunkKind::Open | ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                    governed = false;
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    if clause && self.opens_clause(at, start) {
                        clause = false;
                        governed = false;
                    } else if sense.is(Set::Because) || self.joins_verb(at, start) {
                        // "That" leads to its complement, so the verb in front governs it.
                        clause = false;
                    }
                    if self.changes(at, clause, governed) {
                        prose.unread.push(self.reviewed(at));
                    }
                }
                _ => {}
            }
        }
    }

    /// Looks to the right: through the rest of the own clause.
    fn unread_behind(&self, prose: &mut Prose, end: usize) {
        let mut clause = true;
        for at in end..end + REACH {
            match self.kind(at) {
                None | Some(ChunkKind::End | ChunkKind::Pause) => break,
                Some(ChunkKind::Comma | ChunkKind::Open | ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    if sense.is_any(Set::Because.bit() | Set::And.bit() | Set::If.bit()) {
                        clause = false;
                    }
                    if self.changes(at, clause, clause) {
                        prose.unread.push(self.reviewed(at));
                    }
                }
                _ => {}
            }
        }
    }

    /// Whether the word of chunk `at` may change what a claim of its sentence says: one of its
    /// own `clause`, or one that it may govern as a verb.
    #[inline]
    fn changes(&self, at: usize, clause: bool, governed: bool) -> bool {
        match self.frame(at) {
            Frame::Sentence => true,
            Frame::Clause => governed,
            Frame::Plain | Frame::Allow | Frame::Board | Frame::Reason => false,
            Frame::Unreviewed => clause && !self.is_accounted_for(at),
        }
    }

    /// Whether a word in front of chunk `start` makes its sentence say something in general.
    pub(super) fn is_general(&self, start: usize) -> bool {
        (start.saturating_sub(REACH)..start)
            .rev()
            .take_while(|&at| !matches!(self.kind(at), None | Some(ChunkKind::End)))
            .any(|at| self.frame(at) == Frame::Sentence)
    }

    /// What the reviewed word of chunk `at`, or it and the next, does to the claims near it.
    pub(super) fn frame(&self, at: usize) -> Frame {
        self.frame_of_two(at).unwrap_or(self.sense(at).frame)
    }

    fn frame_of_two(&self, at: usize) -> Option<Frame> {
        if !self.sense(at).begins_two {
            return None;
        }
        let entry = |at: usize| self.chunks.get(at).map(|chunk| chunk.entry);
        self.senses.frame_of_two((entry(at)?, entry(at + 1)?))
    }

    /// The word of chunk `at`, or the two that are reviewed together.
    fn reviewed(&self, at: usize) -> Span {
        self.span(at, at + 1 + usize::from(self.frame_of_two(at).is_some()))
    }

    /// Whether an unreviewed word is harmless all the same: patterns or sets know it, it is a
    /// name, or it is an adjective of a piece.
    fn is_accounted_for(&self, at: usize) -> bool {
        if self.sense(at).known {
            return true;
        }
        let capital = matches!(self.kind(at), Some(ChunkKind::Word { capital: true }));
        let before = at.checked_sub(1).and_then(|at| self.kind(at));
        let begins = matches!(before, None | Some(ChunkKind::End | ChunkKind::Quote));
        // At the beginning of a sentence a participle has a capital letter like a name.
        let word = self.span(at, at + 1).of(self.text);
        if capital && !(begins && (word.ends_with(b"ing") || word.ends_with(b"ed"))) {
            return true;
        }
        let determined = at
            .checked_sub(1)
            .is_some_and(|at| self.sense(at).is_any(Set::Det.bit() | Set::His.bit()));
        determined && matches!(self.kind(at + 1), Some(ChunkKind::Noun(_)))
    }

    /// Whether "and" at chunk `at` joins the verb of the claim at `start` to one in front, with
    /// the same subject: "swings to the h-file and gives check". An infinitive or participle is
    /// left to what governs both.
    fn joins_verb(&self, at: usize, start: usize) -> bool {
        if !self.sense(at).is(Set::And) {
            return false;
        }
        let verb = (at + 1..=start).find(|&at| !self.sense(at).is(Set::Filler));
        verb.is_some_and(|verb| {
            let word = self.span(verb, verb + 1).of(self.text);
            verb == start && word.ends_with(b"s")
        })
    }
}
