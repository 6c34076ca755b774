//! Exercises' stipulations, and pointers to other places.

use gainsay_commentary::{ClaimKind, Reference, Standing, Stipulation, Subject};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    judge::JUDGEMENT,
    scene::count,
};
use crate::{Finding, rules, show};

impl Pending {
    /// Settles what an exercise asks for.
    pub(super) fn settle_stipulation(
        &self,
        stipulation: Stipulation,
        court: &mut Court<'_>,
    ) -> Answer {
        let here = &self.comment.scene.here;
        let side = match self.claim.subject {
            Subject::Side(color) => color,
            _ => here.turn(),
        };
        if side != here.turn() {
            return self.not_to_move(side);
        }
        match stipulation {
            Stipulation::ToPlay => Answer::new(Verdict::Holds).on(here),
            Stipulation::Win => self.judge(here, side, Standing::Winning, court),
            Stipulation::Draw => self.judge(here, side, Standing::Drawn, court),
            Stipulation::Mate(moves) => self.settle_mate(
                gainsay_commentary::Mate::In {
                    moves,
                    at_most: false,
                },
                court,
            ),
            Stipulation::BestMove => self.settle_best_move(court),
        }
    }

    /// "Find the best move": the game goes on with it. Another move of the same worth
    /// does not make it false.
    fn settle_best_move(&self, court: &mut Court<'_>) -> Answer {
        let scene = &self.comment.scene;
        let Some((next, m)) = scene.steps.first().and_then(|step| Some((step, step.mv?))) else {
            return Answer::unsettled();
        };
        if next.after.is_checkmate() {
            return Answer::new(Verdict::Holds).on(&next.before);
        }
        let lines = court.best(&next.before, 1, JUDGEMENT);
        match lines.first() {
            Some(best) if best.moves.first() == Some(&m) => Answer::new(Verdict::Holds)
                .on(&next.before)
                .shown_by(evidence(&next.before, &best.moves)),
            _ => Answer::unsettled(),
        }
    }

    /// "Black to play" of a diagram in which it is White's turn. Only where a position is
    /// set up and the text stands before the first move is it plain which one is meant.
    fn not_to_move(&self, side: Color) -> Answer {
        let scene = &self.comment.scene;
        let here = &scene.here;
        // "White to move wins, Black to move draws" tells both.
        let also = self.comment.prose.claims.iter().any(|claim| {
            matches!(claim.kind, ClaimKind::Stipulation(_))
                && claim.subject == Subject::Side(here.turn())
        });
        let set_up = !also
            && scene.before().is_none()
            && here.board() != Chess::default().board()
            && scene.played.is_none();
        if !set_up || self.denied() || !self.comment.lines.is_empty() {
            return Answer::unsettled();
        }
        let shown = evidence(
            here,
            &here.legal_moves().into_iter().take(1).collect::<Vec<_>>(),
        );
        self.refuted(
            &rules::false_stipulation::RULE,
            here,
            format!(
                "It is {}'s move here, not {}'s.",
                show::side(here.turn()),
                show::side(side)
            ),
            shown,
        )
    }

    /// Settles a pointer: the place exists. Games are counted in the book, which is not known
    /// here, and so may diagrams be: those of the game are looked at first.
    pub(super) fn settle_reference(&self, reference: Reference) -> Answer {
        let scene = &self.comment.scene;
        let (exists, told) = match reference {
            Reference::Move(_) | Reference::Ago(_) => (
                self.points_at(reference).next().is_some(),
                matches!(reference, Reference::Move(_)),
            ),
            Reference::Mention(number) => (
                scene
                    .tree
                    .all()
                    .any(|position| position.fullmoves().get() == number),
                false,
            ),
            Reference::Diagram(_) => (self.points_at(reference).next().is_some(), false),
            // A game is read by itself, so that its number in the book cannot matter.
            Reference::Game(_) => (false, false),
        };
        if exists {
            return match self.points_at(reference).next() {
                Some(position) => Answer::new(Verdict::Holds).on(position),
                None => Answer::new(Verdict::Holds),
            };
        }
        let last = scene.tree.all().map(|p| p.fullmoves().get()).max();
        let (Some(last), true) = (last, told && !self.tells_of_games()) else {
            return Answer::unsettled();
        };
        let Reference::Move(number) = reference else {
            return Answer::unsettled();
        };
        if number <= last {
            return Answer::unsettled();
        }
        let finding = Finding::new(
            &rules::lost_reference::RULE,
            self.place(),
            format!("There is no move {number}: no line of this game goes beyond move {last}."),
        );
        Answer::new(Verdict::Fails)
            .shown_by(format!("the last move is number {last}"))
            .found(finding)
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

    /// The positions that a pointer leads to: those before and behind the moves of that
    /// number, the main line's first.
    fn points_at(&self, reference: Reference) -> Box<dyn Iterator<Item = &Chess> + '_> {
        let tree = &self.comment.scene.tree;
        let at = |number: u32| {
            let first = number.saturating_mul(2);
            tree.at(first)
                .chain(tree.at(first.saturating_add(1)))
                .chain(tree.at(first.saturating_add(2)))
        };
        match reference {
            // A number behind the last move leads nowhere, though the last position has it.
            Reference::Move(number) if tree.at(number.saturating_mul(2)).next().is_none() => {
                Box::new(tree.at(number.saturating_mul(2).saturating_add(1)))
            }
            Reference::Move(number) => Box::new(at(number)),
            Reference::Ago(moves) => {
                let here = count(&self.comment.scene.here) / 2;
                match here.checked_sub(moves) {
                    Some(number) if number > 0 => Box::new(at(number)),
                    _ => Box::new(std::iter::empty()),
                }
            }
            Reference::Diagram(number) => Box::new(tree.diagram(number).into_iter()),
            _ => Box::new(std::iter::empty()),
        }
    }

    /// The positions that the sentence of this claim points at: "two moves ago White had
    /// mate in one" speaks of them.
    pub(super) fn pointed_at(&self) -> Vec<&Chess> {
        const MOST: usize = 6;
        let sentence = self.claim.sentence;
        self.comment
            .prose
            .claims
            .iter()
            .filter(|claim| claim.sentence == sentence)
            .filter_map(|claim| match claim.kind {
                ClaimKind::Reference(
                    reference @ (Reference::Move(_)
                    | Reference::Ago(_)
                    | Reference::Mention(_)
                    | Reference::Diagram(_)),
                ) => Some(reference),
                _ => None,
            })
            .flat_map(|reference| {
                let meant = match reference {
                    Reference::Mention(number) => Reference::Move(number),
                    other => other,
                };
                self.points_at(meant)
            })
            .take(MOST)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Settings, check};

    #[test]
    fn the_diagrams_of_a_game_are_counted_by_their_marks() {
        let text = b"1. e4 e5 2. Qh5 $220 Nc6 {[Diagram]} 3. Bc4 Nf6 4. d3 d6 \
            {See diagram 2, and diagram 3. In diagram 2 White mates in one.} *";
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
            ]
        );
    }
}
