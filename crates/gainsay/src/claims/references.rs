//! Pointers to other places: "see move 12", "White's 12th move", "two moves ago", "diagram 2".

use gainsay_commentary::{
    At, Claim, ClaimKind, LineRole, Mood, Polarity, Quality, Reference, Subject, Tense,
};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

use super::{
    Pending,
    answer::Answer,
    lines::{expected, step},
    scene::{Step, count},
};
use crate::outcome::{Evidence, Fault, PlaceWhy, Side};

impl Pending {
    /// Settles a pointer: the place exists, and the move that is named with it was made
    /// there. Diagrams may be counted through the book, which is not known here: those of the
    /// game are looked at first.
    pub(super) fn settle_reference(&self, reference: Reference) -> Answer {
        let scene = &self.comment.scene;
        if self.points_at(reference, &self.claim).next().is_some() {
            if let Reference::Nth { number, firm } = reference
                && let Some(answer) = self.another_move(number, firm)
            {
                return answer;
            }
            let mut places = self.points_at(reference, &self.claim);
            return match places.next() {
                Some(position) => Answer::new(Verdict::Holds).on(position),
                None => Answer::new(Verdict::Holds),
            };
        }
        let (number, plain) = match reference {
            Reference::Move(number) => (number, true),
            Reference::Nth { number, firm } => (number, firm),
            // "On move 40 the clock is stopped": only what happened must have a place.
            Reference::On(number) => (number, self.tells(number)),
            _ => return Answer::unsettled(),
        };
        // Behind the last move a comment may tell how a game went on that is not given.
        let goes_on = matches!(reference, Reference::Move(_))
            || !scene.ahead.is_empty()
            || scene.here.legal_moves().is_empty();
        let plain = plain && goes_on;
        let Some(last) = scene
            .tree
            .last_number()
            .filter(|_| plain && !self.tells_of_games())
        else {
            return Answer::unsettled();
        };
        if number <= last
            || self.denied()
            || !self.comment.lines.iter().all(|line| line.broken.is_none())
        {
            return Answer::unsettled();
        }
        Answer::new(Verdict::Fails)
            .showing(Evidence::LastMove(last))
            .found(Fault::of(PlaceWhy::NoSuchMove { number, last }))
    }

    /// Whether a claim of the same sentence tells of what happened on the move it points at.
    fn tells(&self, number: u32) -> bool {
        let points = |claim: &&Claim| match claim.kind {
            ClaimKind::Reference(Reference::On(other)) => other == number,
            _ => false,
        };
        let claims = &self.comment.prose.claims;
        claims.iter().any(|claim| {
            let told = match claim.kind {
                ClaimKind::Quality(quality) => quality != Quality::Wins,
                ref kind => matches!(
                    kind,
                    ClaimKind::Structure { .. }
                        | ClaimKind::Relation { .. }
                        | ClaimKind::Gain { .. }
                        | ClaimKind::Material(_)
                        | ClaimKind::Pieces(_)
                ),
            };
            claim.sentence == self.claim.sentence
                && told
                && !points(&claim)
                && claim.mood == Mood::Stated
                && claim.tense != Tense::Future
        })
    }

    /// "White's 4th move, 4.Ba4, was quiet" of a move that is not the game's. The cited move
    /// must have the number and the side of the pointer, and commas around it. "White's 4th
    /// move was Ba4" needs neither.
    fn another_move(&self, number: u32, firm: bool) -> Option<Answer> {
        let Subject::Side(side) = self.claim.subject else {
            return None;
        };
        let line = self
            .claim
            .at
            .line()
            .and_then(|at| self.comment.prose.lines.get(at as usize))
            .filter(|line| line.role == LineRole::Stated && line.moves.len() == 1)
            .filter(|line| line.span.start > self.claim.span.end)?;
        let wanted = ply(number, side);
        let cited = self.comment.prose.moves_of(line).first()?;
        let is_named = matches!(self.claim.at, At::Subject(_)) && !self.denied();
        let numbered = cited.number.and_then(expected) == Some(wanted);
        let plain = cited.number.is_none() && is_named && firm;
        if self.claim.mood != Mood::Stated || !(numbered && (firm || is_named) || plain) {
            return None;
        }
        let made = self.comment.scene.tree.moves_at(wanted);
        let resolved = self.comment.lines.get(self.claim.at.line()? as usize)?;
        let own =
            |made: &Step| step(&made.before, cited, None).is_some_and(|own| own.mv == made.mv);
        let played = made.first()?;
        if made.iter().any(own) || resolved.readings.is_empty() || !(is_named || line.apposed) {
            return None;
        }
        let by = played.shown();
        let shown = by.clone();
        let side = Side(side);
        Some(Answer::refuted(
            PlaceWhy::PlayedThere { side, by },
            &played.before,
            shown,
        ))
    }

    /// Whether the comment points at other games, so that a move it names may be theirs.
    fn tells_of_games(&self) -> bool {
        let points_away = |kind: &ClaimKind| {
            matches!(
                kind,
                ClaimKind::Reference(Reference::Game(_) | Reference::Diagram(_))
            )
        };
        (self.comment.prose.claims.iter()).any(|claim| points_away(&claim.kind))
    }

    /// The positions that a pointer, which `claim` makes, leads to: those before and behind
    /// the moves of that number, the main line's first.
    fn points_at(
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
    pub(super) fn pointed_at(&self) -> Vec<&Chess> {
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
    pub(super) fn pointer(&self) -> Option<&Claim> {
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
                        || claim.span.start.saturating_sub(self.claim.span.end)
                            <= " on his ".len() as u32)
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

    /// The positions of that place; `None` where there is no pointer. They may be none.
    pub(super) fn told_of(&self) -> Option<Vec<&Chess>> {
        let claim = self.pointer()?;
        let ClaimKind::Reference(reference) = claim.kind else {
            return None;
        };
        Some(self.points_at(reference, claim).collect())
    }

    /// The moves of that place: "White's 12th move was a mistake".
    pub(super) fn moves_told_of(&self) -> Option<Vec<Step>> {
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
    pub(super) fn is_told_of_nowhere(&self) -> bool {
        self.comment.scene.is_of_a_game() && self.told_of().is_some_and(|places| places.is_empty())
    }
}

/// The count of the position in which a side makes its move of this number.
fn ply(number: u32, side: Color) -> u32 {
    let first = number.saturating_mul(2);
    side.fold_wb(first, first.saturating_add(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, check};

    #[test]
    fn the_diagrams_of_a_game_are_counted_by_their_marks() {
        let text = b"1. e4 e5 2. Qh5 $220 Nc6 3. Bc4 Nf6 {[Diagram]} 4. d3 d6 \
            {See diagram 2, and diagram 3. In diagram 2 White mates in one. In diagram 1 \
            White mates in one.} *";
        let report = check(text, &Settings::default());
        let verdicts: Vec<(&str, Verdict)> = report
            .claims
            .iter()
            .map(|claim| (claim.text.as_str(), claim.verdict))
            .collect();
        assert_eq!(
            verdicts,
            [
                ("diagram 2", Verdict::Holds),
                ("diagram 3", Verdict::Unsettled),
                ("diagram 2", Verdict::Holds),
                ("mates in one", Verdict::Holds),
                ("diagram 1", Verdict::Holds),
                ("mates in one", Verdict::Fails),
            ]
        );
    }

    /// The verdicts on the claims of `kind` that a comment makes before the end of a game.
    fn verdicts(comment: &str, kind: &str) -> Vec<Verdict> {
        let text = format!(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 5. O-O Bg4 6. h3 h5 7. d3 Qf6 {{{comment}}} 8. Nbd2 *"
        );
        let report = check(text.as_bytes(), &Settings::default());
        let of = report.claims.iter().filter(|claim| claim.kind == kind);
        of.map(|claim| claim.verdict).collect()
    }

    #[test]
    fn what_is_told_of_a_move_must_be_true_there() {
        use Verdict::{Fails, Holds, Unsettled};
        for (comment, kind, verdict) in [
            ("White castled on move 5.", "structure", Holds),
            ("White castled on his 5th move.", "structure", Holds),
            ("White castled on move 6.", "structure", Fails),
            ("On move 5 Black pinned the knight.", "relation", Holds),
            // It was so later, but not there.
            ("On move 3 Black pinned the knight.", "relation", Unsettled),
            (
                "White's 4th move, 4.Bxc6, doubles pawns.",
                "reference",
                Holds,
            ),
            ("White's 4th move, 4.Ba4, was quiet.", "reference", Fails),
            (
                "Better than White's 4th move was 4.Ba4.",
                "reference",
                Holds,
            ),
            ("White's 40th move decided.", "reference", Fails),
            ("On move 40 White castled.", "reference", Fails),
            ("The time control was on move 40.", "reference", Unsettled),
            ("In the diagram White mates in two.", "mate-in", Unsettled),
        ] {
            let found = verdicts(comment, kind);
            assert_eq!(found, [verdict], "{comment}");
        }
    }
}
