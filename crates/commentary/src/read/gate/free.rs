//! Subjects in languages in which they may stand behind their verbs, so that what stands in front
//! may be an object or belong to a preposition: "Die Dame greift der Turm an".

use gainsay_notation::Span;

use super::super::made::Made;
use super::super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::{Claim, Subject};
use crate::kind::{ClaimKind, Material};
use crate::set::Set;

/// The sets of the prepositions, behind which no subject stands.
const PREPOSITIONS: u128 = Set::Prep.bit()
    | Set::On.bit()
    | Set::By.bit()
    | Set::For.bit()
    | Set::Having.bit()
    | Set::Owned.bit()
    | Set::Without.bit()
    | Set::Stop.bit();

impl Maker<'_> {
    /// The word in front of the "that" at chunk `at`, where it is not known what it does to what is
    /// said: "on jurerait que", "er bildet sich ein, dass".
    pub(super) fn unknown_saying(&self, at: usize, governed: bool) -> Option<Span> {
        if !self.tongue.data().free_order || !self.sense(at).is(Set::Complement) {
            return None;
        }
        let parted = |at: usize| matches!(self.kind(at), Some(ChunkKind::Comma));
        let before = at.checked_sub(1)?;
        let before = before.checked_sub(usize::from(parted(before)))?;
        let word = matches!(self.kind(before), Some(ChunkKind::Word { .. }));
        (word && self.changes(before, true, governed)).then(|| self.span(before, before + 1))
    }

    /// What stands in the way of knowing what a claim is said of, where the order of words does
    /// not tell.
    pub(super) fn free_subject(&self, made: &Made, claim: &Claim) -> Option<Span> {
        if !self.tongue.data().free_order || !made.before {
            return None;
        }
        let start = made.chunks.start;
        let clause = |at: &usize| !self.kind(*at).is_none_or(ChunkKind::parts_clauses);
        let ends = |at: &usize| {
            let sense = self.sense(*at);
            let opens = sense.is_any(Set::And.bit() | Set::If.bit() | Set::Because.bit())
                && !sense.is(Set::Filler)
                && !self.is_relative(*at);
            clause(at)
                && !opens
                && !matches!(self.kind(*at), Some(ChunkKind::End | ChunkKind::Line(_)))
        };
        let mut before = (start.saturating_sub(REACH)..start).rev().take_while(ends);
        // "Den Turm greift die Dame an"
        if let Some(at) = before.clone().find(|&at| self.is_oblique(at)) {
            return Some(self.span(at, at + 1));
        }
        let named = before.find(|&at| match (self.kind(at), &claim.subject) {
            (Some(ChunkKind::Noun(noun)), Subject::Piece(subject)) => noun.span == subject.span,
            (Some(ChunkKind::Side(color)), Subject::Side(subject)) => color == *subject,
            _ => false,
        });
        if let Some(at) = named {
            // "Ce ne sont pas les Noirs qui ont un pion de plus"
            let cleft = self.is_relative(at + 1);
            if cleft && (at.saturating_sub(5)..at).any(|at| self.negates(at)) {
                return Some(self.span(at + 1, at + 2));
            }
            let mut front = (at.saturating_sub(2)..at).rev();
            let preposition = front.find(|&at| !self.sense(at).is(Set::Det));
            let preposition = preposition.filter(|&at| {
                let sense = self.sense(at);
                sense.is_any(PREPOSITIONS) && !sense.is_any(Set::And.bit() | Set::Question.bit())
            });
            return preposition.map(|at| self.span(at, at + 1));
        }
        let acts = match &claim.kind {
            ClaimKind::Relation { .. } | ClaimKind::Deed(_) | ClaimKind::Gain { .. } => true,
            ClaimKind::Material(material) => !matches!(material, Material::Level),
            _ => false,
        };
        // "Jetzt greift die Dame an": which of the two acts?
        let stands_alone = {
            let mut words = (start.saturating_sub(REACH)..start).rev();
            let front = words.find(|&at| {
                let sense = self.sense(at);
                !sense.is_filler() || sense.is(Set::He)
            });
            front.is_none_or(|at| {
                !clause(&at)
                    || matches!(self.kind(at), Some(ChunkKind::End | ChunkKind::Line(_)))
                    || self.sense(at).is(Set::And)
            })
        };
        (claim.subject == Subject::Nobody && acts && !stands_alone)
            .then(|| self.span(start, start + 1))
    }
}
