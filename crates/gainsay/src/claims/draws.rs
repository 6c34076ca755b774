//! Draws by the rules of the game, and perpetual check.

use gainsay_commentary::{At, Draw, Subject};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Position};

use crate::rules;

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    scene::Step,
    told::{pieces, stand},
};

/// One question about perpetual check costs at most so many nodes.
const CHECKS: u64 = 60_000;

impl Pending {
    /// Settles claims of a draw by the rules of the game.
    pub(super) fn settle_draw(&self, draw: Draw, court: &mut Court<'_>) -> Answer {
        if draw == Draw::Perpetual {
            return self.settle_perpetual(court);
        }
        let holds = |position: &Chess| match draw {
            Draw::Stalemate => position.is_stalemate(),
            Draw::Dead => facts::dead_position(position) == Verdict::Holds,
            Draw::Insufficient => facts::insufficient_material(position),
            Draw::FiftyMoves => position.halfmoves() >= 100,
            Draw::Repetition => {
                let same = |other: &&Chess| {
                    other.board() == position.board() && other.turn() == position.turn()
                };
                self.comment.scene.tree.all().filter(same).count() >= 2
            }
            Draw::Perpetual => false,
        };
        if self.denied() {
            return match self.nearest().next() {
                Some(position) if !holds(position) && draw == Draw::Stalemate => {
                    Answer::new(Verdict::Holds).on(position)
                }
                _ => Answer::unsettled(),
            };
        }
        if let Some(position) = self.within_reach().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        if let Some(answer) = self.mate_no_stalemate(draw) {
            return answer;
        }
        let end = match self.claim.at {
            At::End(_) => self.only_end().map(|step| &step.after),
            // A whole comment that says so speaks of its position.
            At::Here if self.comment.brief => Some(&self.comment.scene.here),
            _ => None,
        };
        let Some(end) = end else {
            return Answer::unsettled();
        };
        match draw {
            Draw::Stalemate if !soon(end, &holds) => {
                let Some(&m) = end.legal_moves().first() else {
                    return Answer::unsettled();
                };
                let shown = evidence(end, &[m]);
                self.refuted(
                    &rules::false_draw::RULE,
                    end,
                    format!("This is no stalemate: {shown} is legal."),
                    shown,
                )
            }
            Draw::Insufficient if self.claim.subject == Subject::Nobody => {
                let board = end.board();
                let enough = board.pawns() | board.rooks_and_queens();
                if enough.is_empty() || soon(end, &holds) {
                    return Answer::unsettled();
                }
                let message = format!("There still {} {}.", stand(enough), pieces(board, enough));
                self.refuted(&rules::false_draw::RULE, end, message, String::new())
            }
            _ => Answer::unsettled(),
        }
    }

    /// "Stalemate!", all that a comment says behind a move that mates.
    fn mate_no_stalemate(&self, draw: Draw) -> Option<Answer> {
        let scene = &self.comment.scene;
        let step = scene.played.as_ref()?;
        if draw != Draw::Stalemate || !self.comment.one_word || !step.after.is_checkmate() {
            return None;
        }
        let shown = step.shown();
        Some(self.refuted(
            &rules::false_draw::RULE,
            &step.after,
            format!("This is no stalemate: {shown} is mate."),
            shown,
        ))
    }

    /// The last step of the line that the claim leans on, where the line can be played in
    /// one way only.
    pub(super) fn only_end(&self) -> Option<&Step> {
        let [steps] = self.line()?.readings.as_slice() else {
            return None;
        };
        steps.last()
    }

    /// Perpetual check: the side to move checks for ever, at the comment, around it, or
    /// anywhere on the line the claim leans on. It fails only at the end of a line, where
    /// the checks are shown to run out in every position that can be meant.
    fn settle_perpetual(&self, court: &mut Court<'_>) -> Answer {
        let scene = &self.comment.scene;
        let mut positions: Vec<&Chess> = Vec::new();
        let at_line = matches!(self.claim.at, At::End(_) | At::Shown(_));
        if let Some(line) = self.line() {
            for steps in line.readings.iter().take(2) {
                positions.extend(steps.iter().rev().take(4).map(|step| &step.before));
                positions.extend(steps.last().map(|step| &step.after));
            }
        }
        positions.push(&scene.here);
        positions.extend(scene.back.iter().take(3));
        positions.extend(scene.ahead.iter().take(4));
        positions.extend(scene.beside.iter().take(4));
        let mut all_fail = true;
        for position in positions {
            let (verdict, line) = court.perpetual(position, CHECKS);
            // Checks that end in mate are no perpetual check.
            let mut end = position.clone();
            for &m in &line {
                end.play_unchecked(m);
            }
            match verdict {
                _ if end.is_checkmate() => {}
                Verdict::Holds if self.denied() => return Answer::unsettled(),
                Verdict::Holds => {
                    return Answer::new(Verdict::Holds)
                        .on(position)
                        .shown_by(evidence(position, &line));
                }
                Verdict::Unsettled => all_fail = false,
                Verdict::Fails => {}
            }
        }
        let (Some(last), true) = (self.only_end(), all_fail && at_line && !self.denied()) else {
            return Answer::unsettled();
        };
        if !last.after.is_check() {
            return Answer::unsettled();
        }
        let escape = last.after.legal_moves().into_iter().find(|&m| {
            let mut away = last.after.clone();
            away.play_unchecked(m);
            court.perpetual(&away, CHECKS).0 == Verdict::Fails
        });
        let Some(escape) = escape else {
            return Answer::unsettled();
        };
        let shown = evidence(&last.after, &[escape]);
        self.refuted(
            &rules::false_draw::RULE,
            &last.after,
            format!("This is no perpetual check: after {shown} the checks run out."),
            shown,
        )
    }
}

/// Whether something is true after one or two moves from a position.
fn soon(position: &Chess, holds: &dyn Fn(&Chess) -> bool) -> bool {
    position.legal_moves().iter().any(|&m| {
        let mut after = position.clone();
        after.play_unchecked(m);
        holds(&after)
            || after.legal_moves().iter().any(|&m| {
                let mut later = after.clone();
                later.play_unchecked(m);
                holds(&later)
            })
    })
}
