//! What the words around a claim say of it: polarity, mood, tense and role.

use super::maker::{Maker, REACH};
use crate::chunks::ChunkKind;
use crate::claim::{LineRole, Mood, Polarity, Tense};
use crate::sense::Sense;
use crate::set::Set;
use crate::wording::Nuance;

/// What the words around a claim or a line say of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surroundings {
    pub(super) polarity: Polarity,
    pub(super) mood: Mood,
    pub(super) tense: Tense,
    pub(super) role: LineRole,
}

/// The sets of the words that say something of a claim near them. [`Set::Question`] and
/// the like are asked for only beside one of these.
pub(super) const TELLING: u128 = Set::If.bit()
    | Set::Without.bit()
    | Set::But.bit()
    | Set::Would.bit()
    | Set::Because.bit()
    | Set::And.bit()
    | Set::Stop.bit()
    | Set::Wish.bit()
    | Set::Plan.bit()
    | Set::Threat.bit()
    | Set::Hedge.bit()
    | Set::HedgeBehind.bit()
    | Set::Past.bit()
    | Set::Future.bit()
    | Set::Impossible.bit()
    | Set::Instead.bit()
    | Set::Not.bit();

fn raise(mood: &mut Mood, to: Mood) {
    *mood = (*mood).max(to);
}

impl Maker<'_> {
    /// What the words around chunks `start..end` say.
    pub(super) fn surroundings(&self, start: usize, end: usize, asked: bool) -> Surroundings {
        self.surroundings_until(start, end, usize::MAX, asked)
    }

    /// The same where the clause ends in front of chunk `until`.
    pub(super) fn surroundings_until(
        &self,
        start: usize,
        end: usize,
        until: usize,
        asked: bool,
    ) -> Surroundings {
        let mut around = Surroundings {
            polarity: Polarity::Affirmed,
            mood: Mood::Stated,
            tense: Tense::Present,
            role: LineRole::Stated,
        };
        if self.telling {
            self.look_left(start, &mut around);
            self.look_right(end, until, &mut around);
        }
        if asked {
            raise(&mut around.mood, Mood::Asked);
        }
        if self.elsewhere || self.away || self.quotes % 2 == 1 || self.is_of_other_games(start) {
            raise(&mut around.mood, Mood::Elsewhere);
        }
        around
    }

    /// Reads the words in front of chunk `start`: the own clause first, then the rest of
    /// the sentence.
    fn look_left(&self, start: usize, around: &mut Surroundings) {
        let mut clause = true;
        // "Has no move and is not in check": the verb behind "and" is denied by itself.
        let verb = self.sense(start).is(Set::Is);
        let own = start
            .checked_sub(1)
            .filter(|&at| verb && self.sense(at).is(Set::And) && !self.sense(at).is(Set::Or));
        let mut lines_between = 0;
        for at in (start.saturating_sub(REACH)..start).rev() {
            let Some(chunk) = self.chunks.get(at) else {
                break;
            };
            match chunk.kind {
                ChunkKind::End => break,
                sign if sign.parts_clauses() => clause = false,
                ChunkKind::Line(_) => lines_between += 1,
                _ => {}
            }
            let sense = self.senses.sense(chunk);
            if !sense.is_any(TELLING) {
                continue;
            }
            self.conditions(at, around);
            if sense.is(Set::Would) {
                raise(&mut around.mood, Mood::Counterfactual);
            }
            if !clause {
                // "Plans to advance his king, take a pawn and queen his own."
                if sense.is(Set::Wish) || sense.is(Set::Plan) || self.is_aside(at) {
                    raise(&mut around.mood, Mood::Hedged);
                }
                continue;
            }
            if sense.is(Set::Because) || self.opens_clause(at, start) {
                // "Olsen said that he was a pawn up."
                let before = at.checked_sub(1).map_or(&Sense::NONE, |at| self.sense(at));
                if before.is(Set::Hedge) || before.is(Set::Wish) {
                    raise(&mut around.mood, Mood::Hedged);
                }
                clause = false;
                continue;
            }
            if sense.is(Set::Stop) {
                raise(&mut around.mood, Mood::Prevented);
                around.role = LineRole::Prevented;
            }
            if sense.is(Set::Wish) || sense.is(Set::Plan) {
                raise(&mut around.mood, Mood::Wished);
                if around.role == LineRole::Stated {
                    around.role = LineRole::Plan;
                }
            }
            if sense.is(Set::Threat) && around.role == LineRole::Stated {
                around.role = LineRole::Threat;
            }
            if sense.is(Set::Hedge) {
                raise(&mut around.mood, Mood::Hedged);
            }
            if sense.is(Set::Past) {
                around.tense = Tense::Past;
            }
            if sense.is(Set::Future) && around.tense == Tense::Present {
                around.tense = Tense::Future;
            }
            if sense.is(Set::Impossible) {
                around.role = LineRole::Impossible;
            }
            if sense.is(Set::Instead) && around.role == LineRole::Stated {
                around.role = LineRole::Alternative;
            }
            let reaches = own.is_none_or(|and| at >= and);
            if sense.is(Set::Not) && reaches && lines_between == 0 && !self.is_not_only(at) {
                around.polarity = contrary(around.polarity);
                if around.role == LineRole::Stated {
                    around.role = LineRole::Denied;
                }
            }
        }
    }

    /// Reads the words from chunk `end` on: conditions, and what would lift them as long as the
    /// clause goes on, in front of chunk `until`.
    fn look_right(&self, end: usize, until: usize, around: &mut Surroundings) {
        let is = self.sense(end).is(Set::Is);
        for at in end..end + REACH {
            let Some(chunk) = self.chunks.get(at) else {
                break;
            };
            if matches!(chunk.kind, ChunkKind::End | ChunkKind::Pause) {
                break;
            }
            // "White is a pawn up, and if he trades …": another clause's condition.
            if at == until && self.sense(at + 1).is(Set::If) {
                break;
            }
            let sense = self.senses.sense(chunk);
            if !sense.is_any(TELLING) {
                continue;
            }
            self.conditions(at, around);
            // "An Arabian mate, in the widest sense"
            if sense.is(Set::HedgeBehind) && at < end + 8 || self.is_aside(at) {
                raise(&mut around.mood, Mood::Hedged);
            }
            // "The open b-file will be White's"
            if sense.is(Set::Future) && at < until.min(end + 2) && around.tense == Tense::Present {
                around.tense = Tense::Future;
            }
            // "24.Qg7 is not legal", "is, with the king in check, against the rules"
            let legal = |at: usize| self.sense(at).has(Nuance::Literal);
            let denied = sense.is(Set::Not) && (at + 1..at + 4).any(legal);
            if is && (sense.is(Set::Impossible) || denied) && around.role == LineRole::Stated {
                around.role = LineRole::Impossible;
            }
            // "24.Qg7 would be mate", "24.Qg7 was impossible"
            if at < until.min(end + 4) {
                if sense.is(Set::Would) {
                    raise(&mut around.mood, Mood::Counterfactual);
                }
                if sense.is(Set::Past) {
                    around.tense = Tense::Past;
                }
                // "Not 24.gxf3, which is illegal"
                let cited = matches!(around.role, LineRole::Stated | LineRole::Denied);
                if sense.is(Set::Impossible) && cited {
                    around.role = LineRole::Impossible;
                }
                // "24.Qg7 is threatened"
                if sense.is(Set::Threat)
                    && self.sense(at - 1).is(Set::Question)
                    && around.role == LineRole::Stated
                {
                    around.role = LineRole::Threat;
                }
                if sense.is(Set::Instead) && around.role == LineRole::Stated {
                    around.role = LineRole::Alternative;
                }
            }
        }
    }

    /// Whether the words behind chunk `end` say that what is claimed is true no longer: "the
    /// mate in two is gone".
    pub(super) fn is_gone(&self, end: usize) -> bool {
        const NEAR: usize = 4;
        for at in end..end + NEAR {
            let sense = self.sense(at);
            if sense.is(Set::Gone) {
                let before = (end..at).any(|at| self.sense(at).is(Set::Question));
                return at == end || before;
            }
            let verb = [Set::Question, Set::Past, Set::Future, Set::Filler, Set::Not];
            if !verb.into_iter().any(|set| sense.is(set)) {
                return false;
            }
        }
        false
    }

    /// Whether chunk `at` hedges the whole sentence, parted from it by a comma: "возможно, у чёрных
    /// лишняя пешка", "a pawn up, perhaps".
    fn is_aside(&self, at: usize) -> bool {
        let parted = |at: usize| matches!(self.kind(at), Some(ChunkKind::Comma));
        let ends = |at: usize| matches!(self.kind(at), None | Some(ChunkKind::End));
        let before = at.checked_sub(1);
        self.sense(at).is(Set::Hedge)
            && (parted(at + 1) || before.is_some_and(parted) && ends(at + 1))
    }

    /// Conditions hold for a claim wherever in the sentence they stand.
    fn conditions(&self, at: usize, around: &mut Surroundings) {
        let sense = self.sense(at);
        // "At once" is no condition.
        let at_once = sense.is(Set::Filler)
            && at
                .checked_sub(1)
                .is_some_and(|at| self.sense(at).is(Set::On));
        // "On either side", "with the road clear before him" are none, either.
        let next = self.sense(at + 1);
        let of_two = sense.is(Set::Or) && next.is(Set::Adjunct);
        let of_place = (next.is(Set::This) || matches!(self.kind(at + 1), Some(ChunkKind::He(_))))
            && !matches!(
                self.kind(at + 2),
                Some(ChunkKind::Word { .. } | ChunkKind::Line(_))
            );
        if sense.is(Set::If) && !at_once && !of_two && !of_place {
            raise(&mut around.mood, Mood::Conditional);
        }
        if sense.is(Set::Without) || sense.is(Set::But) && self.sense(at + 1).is(Set::For) {
            raise(&mut around.mood, Mood::Unreal);
        }
    }

    /// Whether "and" at chunk `at` begins a clause with a subject of its own, in which the
    /// claim at `start` stands: "the king cannot move and the knight covers f6".
    pub(super) fn opens_clause(&self, at: usize, start: usize) -> bool {
        let sense = self.sense(at);
        if !sense.is(Set::And) || sense.is(Set::Or) {
            return false;
        }
        let subject = |at| {
            matches!(
                self.kind(at),
                Some(ChunkKind::Noun(_) | ChunkKind::Side(_) | ChunkKind::He(_))
            )
        };
        let verb = self.sense(at + 2);
        let verb = [Set::Question, Set::Past, Set::Future, Set::MoveVerb]
            .into_iter()
            .any(|set| verb.is(set));
        subject(at + 1) && (at + 1 == start || at + 2 == start || at + 2 < start && verb)
    }

    /// "not only", "no doubt", "nothing but" deny nothing.
    pub(super) fn is_not_only(&self, at: usize) -> bool {
        matches!(self.kind(at + 1), Some(ChunkKind::Word { .. })) && {
            let next = self.sense(at + 1);
            next.is(Set::NotOnly)
        }
    }
}

pub(super) const fn contrary(polarity: Polarity) -> Polarity {
    match polarity {
        Polarity::Affirmed => Polarity::Denied,
        Polarity::Denied => Polarity::Affirmed,
    }
}
