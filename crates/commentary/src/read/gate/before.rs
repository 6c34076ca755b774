//! The words in front of a claim.

use std::ops::Range;

use gainsay_notation::Span;

use super::super::made::Made;
use super::super::maker::{Maker, REACH};
use super::role::{SUPPOSED, VERB};
use crate::chunks::ChunkKind;
use crate::frame::Frame;
use crate::set::Set;
use crate::wording::Nuance;

impl Maker<'_> {
    /// Looks to the left: through the own clause for what is not known, and for verbs that
    /// govern it; through the sentence for what makes all of it general.
    pub(super) fn unread_before(
        &self,
        spans: &mut Vec<Span>,
        made: &Made,
        whole: bool,
        at_end: bool,
    ) {
        let start = made.chunks.start;
        // Whether the words still belong to the clause of the claim, and whether a verb there
        // may govern it.
        let mut clause = whole;
        let mut governed = whole;
        // Whether the claim is what a verb in front says: "er übersieht, dass der Turm hängt".
        let mut complement = false;
        spans.extend(self.compared(start));
        if whole {
            spans.extend(self.shared_subject(start));
        }
        for at in (start.saturating_sub(REACH)..start).rev() {
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                // "Anticipates the queen's move, leaving the pawn alone" may only be feared.
                Some(ChunkKind::Comma) => {
                    clause = false;
                    let said = self.sense(at + 1).is(Set::Complement);
                    complement |= said && governed;
                    governed &= said || self.is_participle(at + 1);
                }
                Some(ChunkKind::Pause | ChunkKind::Open | ChunkKind::Close | ChunkKind::Colon) => {
                    clause = false;
                    governed = false;
                }
                Some(ChunkKind::Word { .. }) => {
                    let sense = self.sense(at);
                    // "24...d5 is no good, for the pawn is pinned"
                    if clause && at_end && sense.is(Set::For) && self.is_parted_from(at) {
                        spans.push(self.span(at, at + 1));
                    }
                    if clause && self.opens_clause(at, start) {
                        clause = false;
                        governed = false;
                    } else if sense.is(Set::Because) || self.joins_verb(at, start) {
                        // "24.Rxd5, since he is a pawn up" may tell what is so already.
                        if at_end && sense.is(Set::Reason) {
                            spans.push(self.span(at, at + 1));
                        }
                        // "That" leads to its complement, so the verb in front governs it.
                        clause = false;
                        spans.extend(self.unknown_saying(at, governed));
                    }
                    let lost = clause && self.counts(at)
                        || (made.fixed || complement) && governed && self.negates(at)
                        || self.is_premise_unread(at)
                        || self.changes(at, clause, governed);
                    if lost && !self.is_claimed(at, made) {
                        spans.push(self.reviewed(at));
                    }
                    // "Does not carelessly lose a piece" may lose it with care.
                    let denied = at.checked_sub(1).is_some_and(|at| self.negates(at));
                    if clause && denied && self.is_manner(at) {
                        spans.push(self.span(at, at + 1));
                    }
                    if clause {
                        spans.extend(self.shared_subject(at));
                    }
                }
                // "H8 is the only square for him"
                Some(ChunkKind::Number(_) | ChunkKind::Square(_) | ChunkKind::File(_))
                    if clause && !self.is_claimed(at, made) =>
                {
                    spans.push(self.span(at, at + 1));
                }
                Some(
                    ChunkKind::Noun(_)
                    | ChunkKind::Side(_)
                    | ChunkKind::He(_)
                    | ChunkKind::Opponent
                    | ChunkKind::Line(_),
                ) if clause => spans.extend(self.shared_subject(at)),
                _ => {}
            }
        }
    }

    /// Whether a sign stands in front of chunk `at`.
    pub(super) fn is_parted_from(&self, at: usize) -> bool {
        let before = at.checked_sub(1).and_then(|at| self.kind(at));
        before.is_some_and(ChunkKind::parts_clauses)
    }

    /// Whether the clause of a claim only supposes, wishes, plans or prevents it. With a cited
    /// line "would" tells what is so behind it.
    pub(super) fn is_supposed(&self, made: &Made, has_line: bool) -> bool {
        let start = made.chunks.start;
        if self.is_any_one(made) || self.is_idea(start) {
            return true;
        }
        for at in (start.saturating_sub(REACH)..start).rev() {
            let sense = self.sense(at);
            match self.kind(at) {
                None | Some(ChunkKind::End) => break,
                // "I wanted 24.Bd7, pressure on d4, a quiet life": a list.
                Some(ChunkKind::Comma) if at + 1 == start && self.is_listed(at, made) => {}
                Some(sign) if sign.parts_clauses() => break,
                Some(ChunkKind::Word { .. }) if self.is_claimed(at, made) => {}
                Some(ChunkKind::Word { .. }) if self.frame(at) == Frame::Unreviewed => {
                    if self.opens_clause(at, start) || self.joins_verb(at, start) {
                        break;
                    }
                    let stops = sense.is_any(SUPPOSED) && !sense.is(Set::Instead);
                    if stops || sense.is(Set::Would) && !has_line {
                        return true;
                    }
                    if sense.is(Set::Because) && !sense.is(Set::This) {
                        break;
                    }
                }
                _ => {}
            }
        }
        let without = |at: &usize| {
            let sense = self.sense(*at);
            sense.is(Set::Without) || sense.is(Set::But) && self.sense(at + 1).is(Set::For)
        };
        let near = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let before = (start.saturating_sub(REACH)..start).rev().take_while(near);
        let end = made.chunks.end;
        let behind = (end..end + REACH).take_while(|at| {
            near(at) && !matches!(self.kind(*at), Some(ChunkKind::Comma | ChunkKind::Open))
        });
        before.chain(behind).any(|at| without(&at))
    }

    /// Whether the claim behind the comma at chunk `at` is a noun phrase of a list.
    pub(super) fn is_listed(&self, at: usize, made: &Made) -> bool {
        let verb = made.chunks.clone().any(|at| self.sense(at).is_any(VERB));
        let front = at.checked_sub(1).and_then(|at| self.kind(at));
        let thing = matches!(
            front,
            Some(ChunkKind::Line(_) | ChunkKind::Noun(_) | ChunkKind::Square(_))
        );
        !verb && thing
    }

    /// Whether the sentence of the claim at chunk `start` begins with an idea: "To be a piece down
    /// is no disgrace", "With an extra pawn it can be won".
    pub(super) fn is_idea(&self, start: usize) -> bool {
        let near = |at: &usize| !matches!(self.kind(*at), None | Some(ChunkKind::End));
        let before = (start.saturating_sub(REACH)..start).rev().take_while(near);
        let Some(first) = before.last() else {
            return false;
        };
        let any = |at: usize| matches!(self.kind(at), Some(ChunkKind::Noun(noun)) if noun.wording.begins(Nuance::Any));
        let with = self.sense(first).is(Set::Having) && any(first + 1);
        with && (first..start).any(|at| self.sense(at).is(Set::Would)) || self.is_infinitive(first)
    }

    /// Whether a sentence begins with "a passed pawn" and goes on about it, so that it may mean
    /// any: "A passed pawn is a criminal".
    pub(super) fn is_any_one(&self, made: &Made) -> bool {
        let Range { start, end } = made.chunks;
        let any = |at: usize| match self.kind(at) {
            Some(ChunkKind::Noun(noun)) => noun.wording.begins(Nuance::Any),
            _ => self.sense(at).has(Nuance::Any),
        };
        let first = match start.checked_sub(1) {
            Some(before) if any(before) => before,
            _ if any(start) => start,
            _ => return false,
        };
        let begins = first.checked_sub(1).and_then(|at| self.kind(at));
        let begins = matches!(begins, None | Some(ChunkKind::End | ChunkKind::Quote));
        begins && (self.sense(end).is_any(VERB) || matches!(self.kind(end), Some(ChunkKind::Comma)))
    }

    /// The "as" in front of chunk `start` that only likens: "counts as a win for Black".
    pub(super) fn compared(&self, start: usize) -> Option<Span> {
        let mut before = (start.saturating_sub(2)..start).rev();
        let at = before.find(|&at| !self.sense(at).is(Set::Det))?;
        (self.sense(at).is(Set::Likens) && !self.is_actor(start)).then(|| self.span(at, at + 1))
    }

    /// The other subject that is joined to the one at chunk `at`: "the queen and the knight
    /// attack f7", where nothing in front makes it a clause of its own.
    pub(super) fn shared_subject(&self, at: usize) -> Option<Span> {
        if !self.is_actor(at) {
            return None;
        }
        let mut before = (0..at).rev();
        let joint = before.find(|&at| !self.sense(at).is(Set::Det))?;
        let sense = self.sense(joint);
        let other = joint.checked_sub(1)?;
        let but = sense.is(Set::But);
        let line = |at: usize| matches!(self.kind(at), Some(ChunkKind::Line(_)));
        if !sense.is(Set::And) || but || !self.is_actor(other) || line(other) || line(at) {
            return None;
        }
        // "White attacks the knight and the bishop covers f7": what is attacked is no subject.
        let begins = (other.saturating_sub(REACH)..other)
            .rev()
            .find_map(|before| match self.kind(before) {
                Some(ChunkKind::Word { .. }) if self.sense(before).is_filler() => None,
                Some(ChunkKind::Word { .. }) => Some(!self.is_verb(before)),
                Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::Square(_)) => Some(false),
                _ => Some(true),
            })
            .unwrap_or(true);
        begins.then(|| self.span(other, other + 1))
    }

    /// Whether "and" at chunk `at` joins the verb of the claim at `start` to one in front, with
    /// the same subject: "swings to the h-file and gives check". An infinitive or participle is
    /// left to what governs both.
    pub(super) fn joins_verb(&self, at: usize, start: usize) -> bool {
        if !self.sense(at).is(Set::And) {
            return false;
        }
        let verb = (at + 1..=start).find(|&at| !self.sense(at).is(Set::Filler));
        verb.is_some_and(|verb| verb == start && self.ends(verb, |endings| endings.third))
    }

    /// Whether a word in front of chunk `start` makes its sentence say something in general.
    pub(in super::super) fn is_general(&self, start: usize) -> bool {
        (start.saturating_sub(REACH)..start)
            .rev()
            .take_while(|&at| !matches!(self.kind(at), None | Some(ChunkKind::End)))
            .any(|at| self.frame(at) == Frame::Sentence)
    }
}
