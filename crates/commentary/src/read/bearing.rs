//! What is attacked or defended so many times, and by which men, where other words than those of
//! the count say so.

use super::made::Made;
use super::maker::Maker;
use crate::chunks::ChunkKind;
use crate::claim::Prose;
use crate::kind::{Bearing, ClaimKind, Relation, Target};
use crate::set::Set;

/// Men in one list, at most, and words between two of them.
const MOST: usize = 6;

impl Maker<'_> {
    /// Completes a count whose words are chunks `start..end`; returns where what belongs to it
    /// ends, or `None` where it is not said of anything that is known.
    pub(super) fn complete(
        &self,
        prose: &Prose,
        start: usize,
        end: usize,
        said: &mut Bearing,
    ) -> Option<usize> {
        if said.target.is_none() {
            said.target = Some(self.borne_on(prose, start)?);
        }
        if !said.by.is_empty() || said.of.is_some() {
            return Some(end);
        }
        let mut end = end;
        if let Some((men, behind)) = self.those(end) {
            said.by = men;
            end = behind;
        }
        said.open = self.tells_who(end, !said.by.is_empty());
        Some(end)
    }

    /// What a count without an object of its own is said of: that of the claim in front of "and"
    /// ("is attacked by the queen and defended twice"), or the thing that "which" or a comma
    /// stands behind ("the pawn on d4, which is attacked twice").
    fn borne_on(&self, prose: &Prose, start: usize) -> Option<Target> {
        // "The knight on d4, whose only protector is the queen"
        if self.sense(start).is(Set::His) {
            let sign = start.checked_sub(1)?;
            let parted = matches!(self.kind(sign), Some(ChunkKind::Comma));
            return self.thing(sign.checked_sub(usize::from(parted))?);
        }
        let mut before = (0..start).rev().take(MOST);
        let passes = |at: usize| {
            let sense = self.sense(at);
            let verb = sense.is(Set::Question) && !sense.is(Set::Relative);
            sense.is_filler() || sense.is_any(Set::Is.bit()) || verb
        };
        let mut joint = before.find(|&at| !passes(at))?;
        let comma = |at: usize| matches!(self.kind(at), Some(ChunkKind::Comma));
        let sense = self.sense(joint);
        if sense.is(Set::Relative) || sense.is(Set::This) {
            joint = joint.checked_sub(1)?;
            return self.thing(joint.checked_sub(usize::from(comma(joint)))?);
        }
        let and = sense.is(Set::And) && !sense.is(Set::Or);
        if and && joint.checked_sub(1).is_some_and(comma) {
            joint -= 1;
        }
        let ends = |made: &&Made| made.chunks.end == joint;
        let claim = self.made.iter().rev().find(ends);
        let claim = claim.and_then(|made| prose.claims.get(made.claim));
        if let Some(claim) = claim
            && (and || comma(joint))
        {
            return match &claim.kind {
                ClaimKind::Bearing(said) => said.target,
                ClaimKind::Relation {
                    relation: Relation::Attacked | Relation::Defended,
                    targets,
                    ..
                } => match targets.as_slice() {
                    [target] => Some(*target),
                    _ => None,
                },
                _ => None,
            };
        }
        // "From g4, twice protected" says nothing of g4.
        let first = joint.checked_sub(1)?;
        let begins = first.checked_sub(1).and_then(|at| self.kind(at));
        let begins =
            begins.is_none_or(|kind| matches!(kind, ChunkKind::End) || kind.parts_clauses());
        (comma(joint) && begins).then(|| self.thing(first))?
    }

    /// A piece or a square.
    fn thing(&self, at: usize) -> Option<Target> {
        match self.kind(at)? {
            ChunkKind::Noun(noun) => Some(Target::Piece(noun)),
            ChunkKind::Square(square) => Some(Target::Square(square)),
            _ => None,
        }
    }

    /// The men that are counted, listed from chunk `at` on: ", by the queen and the knight",
    /// ": knight and pawn".
    fn those(&self, at: usize) -> Option<(Vec<Target>, usize)> {
        let sign = match self.kind(at)? {
            ChunkKind::Comma | ChunkKind::Colon | ChunkKind::Open | ChunkKind::Pause => 1,
            _ => 0,
        };
        let mut named = false;
        let mut men = Vec::new();
        let mut end = at;
        for next in at + sign..at + sign + MOST * 4 {
            let sense = self.sense(next);
            match self.kind(next) {
                Some(ChunkKind::Noun(noun)) if men.len() < MOST => {
                    men.push(Target::Piece(noun));
                    end = next + 1;
                }
                // "The bishop from c4"
                Some(ChunkKind::Square(square))
                    if let Some(Target::Piece(noun)) = men.last_mut()
                        && end + 1 == next
                        && noun.square.is_none() =>
                {
                    noun.square = Some(square);
                    end = next + 1;
                }
                Some(ChunkKind::Square(square)) if men.len() < MOST => {
                    men.push(Target::Square(square));
                    end = next + 1;
                }
                Some(ChunkKind::Comma) if !men.is_empty() => {}
                Some(ChunkKind::Word { .. }) if sense.is(Set::Agent) => named = true,
                Some(ChunkKind::Word { .. })
                    if sense.is(Set::And) && !sense.is(Set::But)
                        || sense.is_any(Set::Both.bit() | Set::On.bit())
                        || sense.is(Set::Det) => {}
                _ => break,
            }
        }
        // What goes on behind the last of them may say something of it.
        let closed = match self.kind(end) {
            None
            | Some(ChunkKind::End | ChunkKind::Comma | ChunkKind::Pause | ChunkKind::Close) => true,
            Some(ChunkKind::Word { .. }) => {
                let sense = self.sense(end);
                sense.is(Set::And) || sense.is(Set::Because) || named && self.is_closed(end)
            }
            _ => false,
        };
        (!men.is_empty() && closed && (named || sign > 0)).then_some((men, end))
    }

    /// Whether what stands behind the count that ends at chunk `end` may say which men are
    /// counted, and was not understood: ", its neighbour on e3", "and by its comrade". Behind those
    /// that were `listed` it goes on with "by".
    fn tells_who(&self, end: usize, listed: bool) -> bool {
        if self.sense(end).is(Set::Agent) {
            return true;
        }
        let sign = self.kind(end).is_some_and(ChunkKind::parts_clauses);
        let and = listed && self.sense(end).is(Set::And);
        if !(sign || and) {
            return false;
        }
        let next = end + 1 + usize::from(sign && self.sense(end + 1).is(Set::And));
        let sense = self.sense(next);
        if listed {
            return sense.is(Set::Agent);
        }
        match self.kind(end + 1) {
            Some(ChunkKind::Word { .. }) => {
                !sense.is_any(
                    Set::And.bit() | Set::Because.bit() | Set::If.bit() | Set::Question.bit(),
                ) || sense.is_any(Set::Agent.bit() | Set::Relative.bit())
            }
            Some(ChunkKind::He(_) | ChunkKind::Side(_) | ChunkKind::Line(_) | ChunkKind::End)
            | None => false,
            Some(_) => true,
        }
    }
}
