//! What single chunks around a claim do to it.

use gainsay_notation::Span;

use super::super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::frame::Frame;
use crate::lang::Endings;
use crate::set::Set;

/// The sets of the verbs by which a new clause is told.
pub(super) const VERB: u128 = Set::Question.bit()
    | Set::Past.bit()
    | Set::Future.bit()
    | Set::Would.bit()
    | Set::MoveVerb.bit();

/// The sets of words that only wish, plan or prevent what their clause says.
pub(super) const SUPPOSED: u128 =
    Set::Wish.bit() | Set::Plan.bit() | Set::Stop.bit() | Set::Impossible.bit();

/// The sets of words that are accounted for: function words, what can be a subject, and what
/// `around.rs` follows.
const FOLLOWED: u128 = Set::Not.bit()
    | Set::Filler.bit()
    | Set::Det.bit()
    | Set::If.bit()
    | Set::Would.bit()
    | Set::Past.bit()
    | Set::Future.bit()
    | Set::Wish.bit()
    | Set::Plan.bit()
    | Set::Stop.bit()
    | Set::Without.bit()
    | Set::Because.bit()
    | Set::And.bit()
    | Set::White.bit()
    | Set::Black.bit()
    | Set::He.bit()
    | Set::His.bit()
    | Set::Possessive.bit()
    | Set::Having.bit()
    | Set::Opponent.bit()
    | Set::This.bit()
    | Set::On.bit()
    | Set::Question.bit()
    | Set::Instead.bit()
    | Set::Impossible.bit()
    | Set::By.bit()
    | Set::But.bit()
    | Set::For.bit()
    | Set::Me.bit()
    | Set::Reply.bit()
    | Set::GoesOn.bit()
    | Set::Is.bit()
    | Set::Premise.bit()
    | Set::Whole.bit();

impl Maker<'_> {
    /// Whether the word of chunk `at` may change what a claim of its sentence says: one of its
    /// own `clause`, or one that it may govern as a verb.
    #[inline]
    pub(super) fn changes(&self, at: usize, clause: bool, governed: bool) -> bool {
        match self.frame(at) {
            Frame::Sentence => true,
            Frame::Clause => governed,
            Frame::Back => clause,
            Frame::Plain | Frame::Allow | Frame::Board | Frame::Reason => false,
            Frame::Unreviewed => clause && !self.is_accounted_for(at),
        }
    }

    /// What the reviewed word of chunk `at`, or it and the next, does to the claims near it.
    pub(in super::super) fn frame(&self, at: usize) -> Frame {
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
    pub(super) fn reviewed(&self, at: usize) -> Span {
        self.span(at, at + 1 + usize::from(self.frame_of_two(at).is_some()))
    }

    /// Whether the word of chunk `at` denies what stands beside it.
    pub(in super::super) fn negates(&self, at: usize) -> bool {
        self.sense(at).is(Set::Not) && !self.is_not_only(at)
    }

    /// Whether the word of chunk `at` is a number, and not "the one".
    pub(super) fn counts(&self, at: usize) -> bool {
        let sense = self.sense(at);
        sense.number.is_some() && !sense.is(Set::Det) && !self.is_determined(at)
    }

    /// Whether the word of chunk `at` begins a condition that is told in words, so that what is
    /// said under it stands on a board that is not known: "if the king goes to c7", but not "if
    /// Black hides with 24...Kc7".
    pub(super) fn is_premise_unread(&self, at: usize) -> bool {
        let sense = self.sense(at);
        if !sense.is(Set::If) || sense.is_filler() || self.frame(at) != Frame::Unreviewed {
            return false;
        }
        let premise = (at + 1..at + REACH).map_while(|at| self.kind(at));
        let mut premise = premise.take_while(|kind| {
            !matches!(
                kind,
                ChunkKind::End | ChunkKind::Comma | ChunkKind::Pause | ChunkKind::Close
            )
        });
        !premise.any(|kind| matches!(kind, ChunkKind::Line(_)))
    }

    /// Whether the word of chunk `at` is an adverb of manner that was reviewed.
    pub(super) fn is_manner(&self, at: usize) -> bool {
        let sense = self.sense(at);
        sense.frame == Frame::Plain && sense.sets == 0 && self.ends(at, |endings| endings.manner)
    }

    /// Whether chunk `at` is something on the board, or a number.
    pub(in super::super) fn is_thing(&self, at: usize) -> bool {
        matches!(
            self.kind(at),
            Some(
                ChunkKind::Noun(_)
                    | ChunkKind::Square(_)
                    | ChunkKind::File(_)
                    | ChunkKind::Number(_)
                    | ChunkKind::Side(_)
                    | ChunkKind::Opponent
            )
        )
    }

    /// Whether chunk `at` can be what acts.
    pub(super) fn is_actor(&self, at: usize) -> bool {
        matches!(
            self.kind(at),
            Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Line(_))
        ) || self.sense(at).piece.is_some()
    }

    /// Whether the word of chunk `at` may be a verb, as far as its sets and its form tell.
    pub(in super::super) fn is_verb(&self, at: usize) -> bool {
        if !matches!(self.kind(at), Some(ChunkKind::Word { .. })) {
            return false;
        }
        let sense = self.sense(at);
        if sense.is_any(VERB | Set::Motion.bit() | Set::Plays.bit()) {
            return true;
        }
        self.ends(at, |endings| endings.verb)
            && !sense.is_any(Set::Possessive.bit() | Set::Det.bit() | Set::His.bit())
    }

    /// Whether an article or "his" stands in front of chunk `at`.
    fn is_determined(&self, at: usize) -> bool {
        at.checked_sub(1)
            .is_some_and(|at| self.sense(at).is_any(Set::Det.bit() | Set::His.bit()))
    }

    /// Whether a word for a piece belongs to a side in front of it: "Black's rook".
    fn is_owned(&self, at: usize) -> bool {
        let possessive = |at: usize| self.sense(at).is(Set::Possessive);
        self.is_determined(at) || at.checked_sub(1).is_some_and(possessive)
    }

    /// Whether the word of chunk `at` has the form of a participle.
    pub(in super::super) fn is_participle(&self, at: usize) -> bool {
        matches!(self.kind(at), Some(ChunkKind::Word { .. }))
            && self.ends(at, |endings| endings.participle)
    }

    /// Whether the word of chunk `at` ends as words of a form do in its language.
    pub(in super::super) fn ends(
        &self,
        at: usize,
        form: fn(&Endings) -> &'static [&'static str],
    ) -> bool {
        let word = self.span(at, at + 1).of(self.text);
        let endings = form(&self.tongue.data().endings);
        endings
            .iter()
            .any(|ending| word.ends_with(ending.as_bytes()))
    }

    /// Whether an unreviewed word is harmless all the same: it is a function word, the reader
    /// follows it, it is a name, or it is an adjective of a piece.
    fn is_accounted_for(&self, at: usize) -> bool {
        let sense = self.sense(at);
        if sense.is_any(FOLLOWED) || sense.piece.is_some() && self.is_owned(at) {
            return true;
        }
        let capital = matches!(self.kind(at), Some(ChunkKind::Word { capital: true }));
        let before = at.checked_sub(1).and_then(|at| self.kind(at));
        let begins = matches!(before, None | Some(ChunkKind::End | ChunkKind::Quote));
        // At the beginning of a sentence a verb has a capital letter like a name.
        let verb = self.ends(at, |endings| endings.verb);
        // A name has more than two letters; "the K" is a king.
        let letters = self.span(at, at + 1).of(self.text).len();
        // In German every noun has a capital.
        let name = capital && !self.tongue.data().capitals;
        if name && !sense.known && letters > 2 && !(begins && verb) {
            return true;
        }
        // "In a difficult ending"
        let described = matches!(self.kind(at + 1), Some(ChunkKind::Noun(_)))
            || self.sense(at + 1).is(Set::Whole);
        self.is_determined(at) && described
    }
}
