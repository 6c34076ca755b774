//! Who or what a claim is said of, where that is lost.

use gainsay_notation::Span;

use super::super::made::Made;
use super::super::maker::{Maker, REACH};
use super::role::VERB;
use crate::chunks::ChunkKind;
use crate::claim::{Claim, Subject};
use crate::frame::Frame;
use crate::kind::ClaimKind;
use crate::noun::{Noun, Owner};
use crate::set::Set;
use crate::structure::Feature;
use crate::wording::Nuance;

impl Maker<'_> {
    /// What stands in the way of knowing who a claim is said of.
    pub(super) fn whose(&self, made: &Made, claim: &Claim) -> Option<Span> {
        let start = made.chunks.start;
        // "My king has castled", where the author may be either player.
        let mine = |noun: &Noun| noun.owner == Owner::Mine && noun.square.is_none();
        if let Subject::Piece(noun) = &claim.subject
            && mine(noun)
        {
            return Some(noun.span);
        }
        // "Two pairs of pawns excepted, nothing has been exchanged"
        if matches!(claim.kind, ClaimKind::Exchanged(_))
            && let Some(at) = self.counted_before(start)
        {
            return Some(self.span(at, at + 1));
        }
        for at in made.chunks.clone() {
            let of_author = match self.kind(at) {
                Some(ChunkKind::Noun(noun)) => mine(&noun),
                Some(ChunkKind::Word { .. } | ChunkKind::He(_)) => {
                    self.sense(at).is(Set::Me) && matches!(claim.kind, ClaimKind::Stipulation(_))
                }
                _ => false,
            };
            if of_author {
                return Some(self.span(at, at + 1));
            }
        }
        if let Subject::Piece(noun) = &claim.subject
            && matches!(claim.kind, ClaimKind::Relation { .. })
            && let Some(at) = self.chunk_of(noun, start)
        {
            // "The knight on e5, the piece that gives check", "no white man that protects it"
            let none = at.checked_sub(1).filter(|&at| self.sense(at).is(Set::Not));
            if noun.role.is_none() || none.is_some() || noun.wording.begins(Nuance::No) {
                return Some(self.span(none.unwrap_or(at), at + 1));
            }
            // "Two white pieces defend the rook", "only the queen attacks it"
            let only = at
                .checked_sub(1)
                .filter(|&at| self.sense(at).has(Nuance::Merely));
            if noun.count.is_some() || only.is_some() {
                return Some(self.span(only.unwrap_or(at), at + 1));
            }
            // "The queen alone attacks it"
            let limits =
                |at: &usize| self.frame(*at) == Frame::Back || self.sense(*at).has(Nuance::Merely);
            if let Some(alone) = (at + 1..start).find(limits) {
                return Some(self.span(alone, alone + 1));
            }
        }
        // "Attacked by three white pieces"
        if let ClaimKind::Relation {
            actor: Some(actor), ..
        } = &claim.kind
            && actor.count.is_some()
        {
            return Some(actor.span);
        }
        // "I was a bishop short", where the author may be either player.
        if claim.subject == Subject::He
            && matches!(
                claim.kind,
                ClaimKind::Material(_) | ClaimKind::Standing(_) | ClaimKind::Structure(_)
            )
            && let Some(at) = self.author_before(start)
        {
            return Some(self.span(at, at + 1));
        }
        // "Nothing protects that pawn": one that was spoken of.
        let pointed = |at: usize| match self.kind(at) {
            Some(ChunkKind::Noun(noun)) => {
                noun.square.is_none() && noun.wording.begins(Nuance::Pointing)
            }
            _ => false,
        };
        if matches!(claim.kind, ClaimKind::Relation { .. })
            && let Some(at) = made.chunks.clone().find(|&at| pointed(at))
        {
            return Some(self.span(at, at + 1));
        }
        // "It is from b3 that the bishop supports the queen"
        if matches!(claim.kind, ClaimKind::Relation { .. })
            && let Some(place) = self.place_before(start)
        {
            return Some(self.span(place, place + 1));
        }
        // "A queen more and two pawns more" is one account.
        if matches!(claim.kind, ClaimKind::Material(_))
            && let Some(joint) = start
                .checked_sub(1)
                .filter(|&at| self.sense(at).is(Set::And))
            && ((self.made.iter())
                .any(|other| other.chunks.end == joint && other.claim != made.claim)
                || joint.checked_sub(1).is_some_and(|at| {
                    matches!(self.kind(at), Some(ChunkKind::Noun(_)))
                        || self.sense(at).is(Set::Adjunct)
                }))
        {
            return Some(self.span(joint, start));
        }
        let rights = matches!(&claim.kind, ClaimKind::Structure(said)
            if matches!(said.feature, Feature::CastlingRights | Feature::CastlingNext));
        let castled = matches!(&claim.kind, ClaimKind::Structure(said)
            if matches!(said.feature, Feature::Castled(_)));
        // "Black keeps, as a small comfort, his right to castle", "Black - what imprudence! - has
        // not castled"
        if (rights || castled) && claim.subject == Subject::Nobody && !self.is_of_both(start) {
            return Some(self.span(start, start + 1));
        }
        let castled = matches!(&claim.kind, ClaimKind::Structure(_)) && !self.has_thing(made);
        let material = matches!(claim.kind, ClaimKind::Material(_));
        let relation = matches!(claim.kind, ClaimKind::Relation { .. });
        if claim.subject != Subject::Nobody || !(castled || material || relation) {
            return None;
        }
        let mut before = (start.saturating_sub(REACH)..start).rev();
        let passes = |at: usize| {
            let sense = self.sense(at);
            (sense.is_filler() || sense.is_any(VERB)) && !self.is_relative(at)
        };
        let at = before.find(|&at| !passes(at))?;
        let finite = self.ends(start, |endings| endings.third)
            || (at + 1..start).any(|at| self.sense(at).is(Set::Is));
        let name = |at: usize| {
            matches!(self.kind(at), Some(ChunkKind::Word { capital: true }))
                && !self.sense(at).known
        };
        let lost = match self.kind(at)? {
            // "The bishop on g7 - listen to it! - is attacking d4"
            sign if relation && finite && sign.parts_clauses() => true,
            // "My king, it seems, has castled"
            ChunkKind::Noun(noun) => castled && matches!(noun.owner, Owner::He | Owner::Mine),
            // "Capablanca, a pawn to the good"
            ChunkKind::Comma => material && at.checked_sub(1).is_some_and(name),
            // "It is the knight itself that gives check", "stays there and attacks the queen"
            ChunkKind::Word { .. } => {
                let sense = self.sense(at);
                self.is_relative(at) && !material
                    || relation && sense.piece.is_some()
                    || relation && finite && sense.is(Set::And)
                    || !relation && name(at)
            }
            _ => false,
        };
        lost.then(|| self.span(at, at + 1))
    }

    /// The "is" in front of a claim that a comma parts from its subject, so that this is lost:
    /// "White, merry as a lark, is a piece up".
    pub(super) fn parted_verb(&self, made: &Made, claim: &Claim) -> Option<Span> {
        let verb = made.chunks.start.checked_sub(1)?;
        let sign = self.kind(verb.checked_sub(1)?);
        let parted = matches!(sign, Some(ChunkKind::Comma | ChunkKind::Close));
        (claim.subject == Subject::Nobody && self.sense(verb).is(Set::Is) && parted)
            .then(|| self.span(verb, verb + 1))
    }

    /// The "who" or "that" in front of a piece that is said to stand somewhere, and may be no more
    /// than the object of a clause in between.
    pub(super) fn object_of(&self, made: &Made) -> Option<usize> {
        let start = made.chunks.start;
        let clause = |at: &usize| !self.kind(*at).is_none_or(ChunkKind::parts_clauses);
        let mut before = (start.saturating_sub(REACH)..start).rev();
        let who = before
            .by_ref()
            .take_while(clause)
            .find(|&at| self.is_relative(at));
        who.filter(|_| made.chunks.len() > 1)
    }

    /// A piece or a number of the sentence in front of chunk `start`.
    fn counted_before(&self, start: usize) -> Option<usize> {
        let before = (start.saturating_sub(REACH)..start).rev();
        let mut sentence =
            before.take_while(|&at| !matches!(self.kind(at), None | Some(ChunkKind::End)));
        sentence.find(|&at| {
            matches!(
                self.kind(at),
                Some(ChunkKind::Noun(_) | ChunkKind::Number(_))
            ) || self.sense(at).number.is_some()
        })
    }

    /// Whether "neither side" or "both sides" begins at chunk `start`.
    fn is_of_both(&self, start: usize) -> bool {
        self.sense(start).has(Nuance::No) || self.sense(start).is(Set::Both)
    }

    /// The square in front of the "that" in front of chunk `start`, with a preposition: "from b3
    /// that the bishop".
    fn place_before(&self, start: usize) -> Option<usize> {
        let clause = |at: &usize| !self.kind(*at).is_none_or(ChunkKind::parts_clauses);
        let mut before = (start.saturating_sub(REACH)..start)
            .rev()
            .take_while(clause);
        let that = before.find(|&at| self.is_relative(at))?;
        let square = that.checked_sub(1)?;
        let prep = square.checked_sub(1)?;
        let placed = matches!(self.kind(square), Some(ChunkKind::Square(_)));
        (placed && self.sense(prep).is(Set::Prep)).then_some(square)
    }

    /// The chunk of a noun phrase in front of chunk `start`.
    pub(super) fn chunk_of(&self, noun: &Noun, start: usize) -> Option<usize> {
        let here = |at: &usize| matches!(self.kind(*at), Some(ChunkKind::Noun(other)) if other.span == noun.span);
        (start.saturating_sub(REACH)..start).rev().find(here)
    }

    /// The nearest "he" in front of chunk `start`, if it is the author.
    pub(super) fn author_before(&self, start: usize) -> Option<usize> {
        let he = |at: &usize| matches!(self.kind(*at), Some(ChunkKind::He(_)));
        let at = (start.saturating_sub(REACH)..start).rev().find(he)?;
        self.sense(at).is(Set::Me).then_some(at)
    }

    /// Whether a piece or a file stands in the words of a claim.
    pub(super) fn has_thing(&self, made: &Made) -> bool {
        let thing =
            |at: usize| matches!(self.kind(at), Some(ChunkKind::Noun(_) | ChunkKind::File(_)));
        made.chunks.clone().any(thing)
    }
}
