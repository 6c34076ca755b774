//! Exercises' stipulations.

use gainsay_commentary::{ClaimKind, Mate, Standing, Stipulation, Subject};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    judge::JUDGEMENT,
};
use crate::outcome::{PlaceWhy, Side};

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
            Stipulation::Win => {
                let answer = self.judge(here, side, Standing::Winning, court);
                // "Find the win" may be said to the side that has just moved.
                let plain =
                    self.claim.subject != Subject::Nobody || self.comment.scene.before().is_none();
                if answer.verdict == Verdict::Fails && !plain {
                    return Answer::unsettled();
                }
                answer
            }
            Stipulation::Draw => self.judge(here, side, Standing::Drawn, court),
            Stipulation::Mate(moves) => self.settle_mate(
                Mate::In {
                    moves,
                    at_most: false,
                },
                court,
            ),
            Stipulation::BestMove => self.settle_best_move(court),
            Stipulation::AnyMate => self.settle_mate(Mate::Forced, court),
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
        let why = PlaceWhy::OtherToMove {
            turn: Side(here.turn()),
            side: Side(side),
        };
        Answer::refuted(why, here, shown)
    }
}
