//! Where the pointers of a sentence lead in the game.

use gainsay_commentary::{Claim, ClaimKind, Mood, Polarity, Reference, Subject};
use shakmaty::{Chess, Color};

use super::asked::Question;
use crate::scene::{Step, count};

impl Question {
    /// The positions that a pointer, which `claim` makes, leads to: those before and behind
    /// the moves of that number, the main line's first.
    pub(crate) fn points_at(
        &self,
        reference: Reference,
        claim: &Claim,
    ) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let tree = &self.comment.scene.tree;
        let here = count(&self.comment.scene.here) / 2;
        let span = |first: u32, last: u32| {
            let counts = first..=last;
            counts.flat_map(|count| tree.at(count))
        };
        // A number behind the last move leads nowhere, though the last position has it.
        let exists = |number: u32| tree.last_number().is_some_and(|last| number <= last);
        let of = |number: u32| {
            let first = number.saturating_mul(2);
            span(first, first.saturating_add(2))
        };
        match reference {
            Reference::Move(number) | Reference::On(number) | Reference::Mention(number)
                if exists(number) =>
            {
                Box::new(of(number))
            }
            Reference::Nth { number, .. } if exists(number) => match claim.subject {
                Subject::Side(side) => {
                    let before = ply(number, side);
                    Box::new(span(before, before.saturating_add(1)))
                }
                _ => Box::new(of(number)),
            },
            // Authors count from either side's move.
            Reference::Ago(moves) => match here.checked_sub(moves) {
                Some(number) if number > 0 => {
                    let first = number.saturating_mul(2);
                    Box::new(span(first.saturating_sub(2).max(2), first + 3))
                }
                _ => Box::new(std::iter::empty()),
            },
            Reference::Later(moves) if exists(here.saturating_add(moves).saturating_sub(1)) => {
                let first = here.saturating_add(moves).saturating_mul(2);
                Box::new(span(first.saturating_sub(2), first.saturating_add(3)))
            }
            Reference::Diagram(number) => Box::new(tree.diagram(number).into_iter()),
            Reference::TheDiagram => Box::new(tree.diagrams().iter().map(|(_, position)| position)),
            _ => Box::new(std::iter::empty()),
        }
    }

    /// The positions that the sentence of this claim points at: "two moves ago White had
    /// mate in one" speaks of them.
    pub(crate) fn pointed_at(&self) -> Vec<&Chess> {
        const MOST: usize = 8;
        let sentence = self.claim.sentence;
        let claims = self.comment.prose.claims.iter();
        claims
            .filter(|claim| claim.sentence == sentence)
            .filter_map(|claim| match claim.kind {
                ClaimKind::Reference(Reference::Game(_)) => None,
                ClaimKind::Reference(reference) => Some((reference, claim)),
                _ => None,
            })
            .flat_map(|(reference, claim)| self.points_at(reference, claim))
            .take(MOST)
            .collect()
    }

    /// The pointer that says of which place this claim is told: it stands in front of it in
    /// the sentence or directly behind it, and the claim leans on no line.
    pub(crate) fn pointer(&self) -> Option<&Claim> {
        if self.claim.at.line().is_some() {
            return None;
        }
        let claims = self.comment.prose.claims.iter();
        claims
            .filter(|claim| claim.sentence == self.claim.sentence)
            .filter(|claim| {
                claim.mood == Mood::Stated
                    && claim.polarity == Polarity::Affirmed
                    && (claim.span.end <= self.claim.span.start
                        || claim.follows && self.ends_before(claim))
            })
            .find(|claim| {
                matches!(
                    claim.kind,
                    ClaimKind::Reference(
                        Reference::On(_)
                            | Reference::Nth { firm: true, .. }
                            | Reference::Ago(_)
                            | Reference::Later(_)
                            | Reference::Diagram(_)
                            | Reference::TheDiagram
                    )
                )
            })
    }

    /// Whether the claim ends in front of another, with none between them.
    fn ends_before(&self, later: &Claim) -> bool {
        let end = self.claim.span.end;
        let mut claims = self.comment.prose.claims.iter();
        end <= later.span.start
            && !claims.any(|claim| end <= claim.span.start && claim.span.end <= later.span.start)
    }

    /// The positions of that place; `None` where there is no pointer. They may be none.
    pub(crate) fn told_of(&self) -> Option<Vec<&Chess>> {
        let claim = self.pointer()?;
        let ClaimKind::Reference(reference) = claim.kind else {
            return None;
        };
        Some(self.points_at(reference, claim).collect())
    }

    /// The moves of that place: "White's 12th move was a mistake".
    pub(crate) fn moves_told_of(&self) -> Option<Vec<Step>> {
        let claim = self.pointer()?;
        let tree = &self.comment.scene.tree;
        let sides = match (claim.subject, self.claim.subject) {
            (Subject::Side(side), _) | (_, Subject::Side(side)) => vec![side],
            _ => Color::ALL.to_vec(),
        };
        match claim.kind {
            ClaimKind::Reference(Reference::On(number) | Reference::Nth { number, .. }) => Some(
                sides
                    .into_iter()
                    .rev()
                    .flat_map(|side| tree.moves_at(ply(number, side)))
                    .collect(),
            ),
            _ => None,
        }
    }

    /// Whether the claim speaks of a place that is not known: a diagram of a game that marks
    /// none.
    pub(crate) fn is_told_of_nowhere(&self) -> bool {
        self.comment.scene.is_of_a_game() && self.told_of().is_some_and(|places| places.is_empty())
    }
}

/// The count of the position in which a side makes its move of this number.
pub(crate) fn ply(number: u32, side: Color) -> u32 {
    let first = number.saturating_mul(2);
    side.fold_wb(first, first.saturating_add(1))
}
