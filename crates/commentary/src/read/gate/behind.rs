//! The words behind a claim.

use gainsay_notation::Span;

use super::super::made::Made;
use super::super::maker::{Maker, REACH};
use super::role::VERB;
use crate::chunks::ChunkKind;
use crate::frame::Frame;
use crate::kind::{ClaimKind, Flight, OnlyMove, Threat};
use crate::set::Set;
use crate::structure::Feature;
use crate::wording::Nuance;

impl Maker<'_> {
    /// The word directly behind a claim that ends at chunk `end` by which it goes on, so that its
    /// phrase is not all of it.
    pub(super) fn goes_on_behind(&self, end: usize, kind: &ClaimKind) -> Option<usize> {
        // "Threatens 24.Rh8, which would be mate"
        if matches!(kind, ClaimKind::Threat(_))
            && matches!(self.kind(end), Some(ChunkKind::Comma))
            && self.sense(end + 1).is(Set::Relative)
            && (end + 2..end + 5).any(|at| self.sense(at).is(Set::Mate))
        {
            return Some(end + 1);
        }
        // "May step to e1, e3 or f2"
        if matches!(kind, ClaimKind::OnlyMove(OnlyMove::Flight(Flight::To(_))))
            && matches!(self.kind(end), Some(ChunkKind::Comma))
            && matches!(self.kind(end + 1), Some(ChunkKind::Square(_)))
        {
            return Some(end + 1);
        }
        if !matches!(
            self.kind(end),
            Some(ChunkKind::Word { .. } | ChunkKind::He(_))
        ) {
            return None;
        }
        let (word, next) = (self.sense(end), self.kind(end + 1));
        let goes_on = match kind {
            // "A queen for a rook and three pawns", "walks a pawn down to f4"
            ClaimKind::Material(_) => {
                let thing = self.sense(end + 1).number.is_some()
                    || self.sense(end + 1).has(Nuance::Any)
                    || matches!(next, Some(ChunkKind::Number(_) | ChunkKind::Noun(_)));
                let verb = self.sense(end + 2).is_any(VERB);
                word.is(Set::And) && thing && !verb
                    || word.is(Set::Infinitive) && matches!(next, Some(ChunkKind::Square(_)))
            }
            // "Attacked twice", "threatens 24...Rd1 with mate"
            ClaimKind::Relation { .. } => {
                let next = self.sense(end + 1);
                word.is(Set::Times) || word.is_filler() && next.is(Set::Times)
            }
            // "Three pawns against two for the knight", "in White's favour", "one pawn each is all
            // that has left the board"
            ClaimKind::Pawns(_) => {
                word.is_any(Set::Prep.bit() | Set::For.bit() | Set::On.bit() | Set::Is.bit() | VERB)
                    && !word.is_any(Set::And.bit())
            }
            ClaimKind::Threat(threat) => {
                let by = |at: &usize| self.sense(*at).is(Set::By);
                let mut behind = end + 1..end + 3;
                // "Threatening mate himself by 24...Qxf2"
                let line = |at: usize| matches!(self.kind(at + 1), Some(ChunkKind::Line(_)));
                word.is(Set::By) && behind.any(|at| self.sense(at).is(Set::Mate))
                    || matches!(threat, Threat::Mate(_))
                        && (end..end + 3).find(by).is_some_and(line)
            }
            // "Nothing has been exchanged but pawns", "one pair of rooks was exchanged on d1"
            ClaimKind::Exchanged(_) => {
                word.is_any(Set::Prep.bit() | Set::For.bit() | Set::But.bit() | Set::On.bit())
            }
            // "Has two rooks on the kingside", "has two pawns for the knight"
            ClaimKind::Count(_) => word.is_any(Set::Prep.bit() | Set::For.bit()),
            // "May still castle upon the king's side"
            ClaimKind::Structure(structure) => {
                matches!(
                    structure.feature,
                    Feature::CastlingRights | Feature::CastlingNext
                ) && word.is(Set::On)
            }
            // "It is better for Black to sit still"
            ClaimKind::Standing(_) => self.is_infinitive(end),
            // "The only move that keeps the file closed"
            ClaimKind::OnlyMove(_) => {
                self.is_relative(end) || word.is(Set::But) && self.is_infinitive(end + 1)
            }
            _ => false,
        };
        goes_on.then_some(end)
    }

    /// Looks to the right: through the rest of the own clause, and at what takes some of it
    /// back behind a comma.
    pub(super) fn unread_behind(&self, spans: &mut Vec<Span>, made: &Made) {
        let end = made.chunks.end;
        let mut clause = true;
        // Whether a comma or "and" stands directly in front.
        let mut turn = false;
        for at in end..end + REACH {
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                Some(ChunkKind::Pause | ChunkKind::Comma | ChunkKind::Open) => {
                    clause = false;
                    turn = true;
                    if matches!(self.kind(at), Some(ChunkKind::Pause)) && !self.takes_back(at + 1) {
                        break;
                    }
                }
                Some(ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                    turn = false;
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    let joint = sense.is(Set::And);
                    if self.is_claimed(at, made) {
                        clause = false;
                    } else if turn && self.takes_back(at) {
                        spans.push(self.reviewed(at));
                        turn = false;
                        continue;
                    } else {
                        let inside = clause || turn;
                        if sense.is_any(Set::Because.bit() | Set::And.bit() | Set::If.bit()) {
                            if clause && joint {
                                spans.extend(self.joined_thing(at, made));
                            }
                            clause = false;
                        }
                        let lost = clause && (self.negates(at) || self.counts(at))
                            || inside && self.is_premise_unread(at)
                            || self.changes(at, clause, clause);
                        if lost {
                            spans.push(self.reviewed(at));
                        }
                    }
                    turn = joint;
                }
                Some(_) => {
                    turn = false;
                    if clause && self.is_thing(at) && !self.is_claimed(at, made) {
                        spans.push(self.span(at, at + 1));
                    }
                }
            }
        }
    }

    /// Whether what stands behind a comma and chunk `at` takes back or narrows the claim: "a pawn
    /// up, not two", "mate, or rather stalemate".
    pub(super) fn takes_back(&self, at: usize) -> bool {
        self.frame(at) == Frame::Back
            || self.sense(at).is(Set::Not)
                && (self.is_thing(at + 1) || self.sense(at + 1).number.is_some())
    }

    /// The thing that "and" at chunk `joint` adds to what a claim in front says: "the queen and
    /// the rook", unless it begins a clause or a claim of its own.
    pub(super) fn joined_thing(&self, joint: usize, made: &Made) -> Option<Span> {
        const WORDS: usize = 3;
        let mut things = joint + 1..joint + 1 + WORDS;
        let thing = things.find(|&at| !self.sense(at).is_filler())?;
        if !self.is_thing(thing) || self.is_claimed(thing, made) {
            return None;
        }
        let behind = self.sense(thing + 1);
        let verb = behind.is_any(VERB | Set::Motion.bit()) || self.is_verb(thing + 1);
        let acts = matches!(self.kind(thing + 1), Some(ChunkKind::Word { .. }))
            && self.is_claimed(thing + 1, made);
        (!verb && !acts).then(|| self.span(thing, thing + 1))
    }
}
