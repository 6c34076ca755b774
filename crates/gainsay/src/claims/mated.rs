//! "Is mate", "mates", "checkmate!": a mate that is on the board or comes.

use gainsay_commentary::{Nuance, Subject};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

use super::mates::{Reading, holds};
use super::{
    Pending,
    answer::{Answer, Court, nothing, single},
    facts::squares,
    threats::THREAT,
};
use crate::{
    outcome::{MateWhy, Mated, Side},
    played,
};

impl Pending {
    /// "Is mate": of the end of the line it leans on, or of the position.
    pub(super) fn settle_mate_now(&self, court: &mut Court<'_>) -> Answer {
        let scene = &self.comment.scene;
        let mut positions: Vec<Chess> = Vec::new();
        let mut plain = false;
        if let Some(line) = self.line() {
            for steps in &line.readings {
                if let Some(last) = steps.last() {
                    positions.push(last.after.clone());
                    plain = true;
                }
            }
            if line.readings.is_empty() {
                return Answer::unsettled();
            }
        } else {
            positions.push(scene.here.clone());
        }
        let found = positions.iter().find(|position| position.is_checkmate());
        // "Black is mated" of a position in which White is. "Black is mate" may mean either.
        if let (Some(mate), false) = (found, self.denied())
            && self.winner() == Some(mate.turn())
            && self.claim.wording.has(Nuance::Mated)
        {
            let side = Side(mate.turn());
            let all = positions.iter().all(Position::is_checkmate);
            return if all && self.line().is_none() {
                Answer::refuted(MateWhy::OtherSideMated { side }, mate, nothing(mate))
            } else {
                Answer::unsettled()
            };
        }
        // "The queen on e4 gives mate" where a knight gives the check.
        if let (Some(mate), Subject::Piece(noun)) = (found, &self.claim.subject)
            && noun.square.is_some()
            && (squares(mate.board(), noun) & mate.checkers()).is_empty()
        {
            return Answer::unsettled();
        }
        match (found, self.denied()) {
            (Some(mate), false) => return Answer::mated(mate),
            (Some(mate), true) => {
                let side = Side(mate.turn());
                return if positions.iter().all(Position::is_checkmate) {
                    Answer::refuted(MateWhy::IsMated { side }, mate, nothing(mate))
                } else {
                    Answer::unsettled()
                };
            }
            (None, true) => {
                return match positions.first() {
                    Some(position) => Answer::new(Verdict::Holds).on(position),
                    None => Answer::unsettled(),
                };
            }
            (None, false) => {}
        }
        // What is said where the game ends in stalemate is not shown by the mate that was missed.
        if !plain && scene.here.is_stalemate() {
            return Answer::unsettled();
        }
        // A mate that the line forces is meant too.
        if let Some(first) = positions.first().filter(|_| plain) {
            let first = first.clone();
            // "After 24.Qh5 the rook goes to h8, and it is mate": a move told in words.
            let told = self.claim.subject != Subject::Line && positions.iter().any(mates_next);
            for position in positions {
                let forced = Reading {
                    position,
                    attacks: false,
                    moves: THREAT,
                    made: 0,
                };
                let found = Self::ask(court, &forced);
                if found.verdict == Verdict::Holds {
                    return holds(&forced, &found);
                }
            }
            return if told {
                Answer::unsettled()
            } else {
                self.not_mate(&first)
            };
        }
        // "Checkmate!" behind a check is said of that check.
        if self.is_one_word()
            && scene.here.is_check()
            && scene.played.is_some()
            && self.claim.wording.has(Nuance::Checkmate)
        {
            return self.not_mate(&scene.here);
        }
        // Without a line, so is a mate that comes later in the game, or is forced.
        let later = scene.ahead.iter().chain(&scene.beside);
        if let Some(mate) = later.clone().find(|position| position.is_checkmate()) {
            return Answer::mated(mate);
        }
        for moves in [1, 2, 4] {
            let readings = self.mate_readings(moves);
            let found = court.leaving_a_quarter(|court| self.any_holds(&readings, court));
            if let Some(answer) = found {
                return answer;
            }
        }
        self.nothing_mates(court)
    }

    /// "Mate!", all that a comment says behind a move that is no mate, where nothing mates
    /// soon.
    fn nothing_mates(&self, court: &mut Court<'_>) -> Answer {
        const NODES: u64 = 20_000;
        let here = &self.comment.scene.here;
        let said = self.is_one_word() && self.comment.scene.played.is_some();
        if !said || here.legal_moves().is_empty() {
            return Answer::unsettled();
        }
        if here.is_check() {
            // "Mate" may announce one; "checkmate" says that it is there.
            let there = self.claim.wording.has(Nuance::Checkmate);
            let moves = if there { 2 } else { THREAT };
            let held = court.is_mated(here, moves).verdict == Verdict::Fails;
            return if held {
                self.not_mate(here)
            } else {
                Answer::unsettled()
            };
        }
        let refuted = self
            .mate_readings(2)
            .iter()
            .all(|reading| Self::ask(court, reading).verdict == Verdict::Fails);
        let ever = |position: &Chess, court: &mut Court<'_>| {
            court.mates_ever(position, NODES).verdict == Verdict::Holds
        };
        let passed = self.comment.scene.passed();
        if !refuted || ever(here, court) || passed.is_some_and(|passed| ever(&passed, court)) {
            return Answer::unsettled();
        }
        self.not_mate(here)
    }

    /// The finding that a position is no mate, with a move that shows it.
    pub(super) fn not_mate(&self, position: &Chess) -> Answer {
        let Some(&reply) = position.legal_moves().first() else {
            return Answer::unsettled();
        };
        let shown = single(position, reply);
        // A false `#` on the same move is told at the line.
        if self.line_is_told() {
            return Answer::new(Verdict::Fails).on(position).shown_by(shown);
        }
        let why = MateWhy::NotMated(Mated {
            side: Side(position.turn()),
            check: position.is_check(),
            reply: shown.clone(),
        });
        Answer::refuted(why, position, shown)
    }
}

/// Whether the side to move can mate at once.
fn mates_next(position: &Chess) -> bool {
    let moves = position.legal_moves();
    moves
        .into_iter()
        .any(|m| played(position, m).is_checkmate())
}
