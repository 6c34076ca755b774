//! Threats.

use gainsay_commentary::{At, Passing, Tense, Threat};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

use super::{
    Pending,
    answer::{Answer, Court, Forced, evidence},
    mates::{Reading, holds, number},
};
use crate::{pass, rules, show};

/// "Threatens mate" without a number means a mate of few moves.
pub(super) const THREAT: u32 = 4;

impl Pending {
    /// Settles a claim about a threat.
    pub(super) fn settle_threat(&self, threat: &Threat, court: &mut Court<'_>) -> Answer {
        match threat {
            Threat::Mate(moves) => self.settle_mate_threat(*moves, court),
            Threat::Line => self.settle_threat_of_line(),
            Threat::Pieces(targets) => {
                self.settle_relation(gainsay_commentary::Relation::Attacked, None, targets)
            }
            Threat::Gain(goods) => self.settle_gain(*goods, Passing::Won, court),
            Threat::Any => Answer::unsettled(),
        }
    }

    /// A threat of mate: the side to move passes, and the other mates. Said of either
    /// side, at the comment, just before it, just after it, and at the end of the line it
    /// leans on; a defence that exists does not make it less of a threat.
    fn settle_mate_threat(&self, moves: Option<u32>, court: &mut Court<'_>) -> Answer {
        if moves.is_some_and(|moves| moves == 0 || moves > 200) {
            return Answer::unsettled();
        }
        let scene = &self.comment.scene;
        let within = moves.unwrap_or(THREAT);
        let mut readings: Vec<Reading> = Vec::new();
        let mut add = |position: Option<Chess>| {
            if let Some(position) = position
                && !readings.iter().any(|known| known.position == position)
            {
                readings.push(Reading {
                    made: 0,
                    position,
                    attacks: true,
                    moves: within,
                });
            }
        };
        if let Some(line) = self.line() {
            for steps in &line.readings {
                if let (Some(first), Some(last)) = (steps.first(), steps.last()) {
                    if matches!(self.claim.at, At::Shown(_)) {
                        add(Some(first.before.clone()));
                    }
                    add(pass(&last.after));
                    add(Some(last.after.clone()));
                    add(Some(first.before.clone()));
                }
            }
        }
        add(scene.passed());
        add(Some(scene.here.clone()));
        // What was threatened may have been stopped a few moves ago.
        let told = self
            .text
            .split(' ')
            .any(|word| matches!(word, "was" | "were" | "had"));
        let back = if told || self.claim.tense == Tense::Past {
            6
        } else {
            2
        };
        for position in scene
            .back
            .iter()
            .take(back)
            .chain(scene.ahead.iter().take(2))
            .chain(scene.beside.iter().take(2))
        {
            add(pass(position));
            add(Some(position.clone()));
        }
        if let Some(side) = self.winner() {
            readings.retain(|reading| reading.winner() == side);
        }
        if self.denied() || self.line_is_lost() || self.checks(&readings) {
            return self
                .any_holds(&readings, court)
                .unwrap_or_else(Answer::unsettled);
        }
        let mut failed: Option<(usize, Forced)> = None;
        for (at, reading) in readings.iter().enumerate() {
            let forced = Self::ask(court, reading);
            match forced.verdict {
                Verdict::Holds => return holds(reading, &forced),
                Verdict::Unsettled => return Answer::unsettled(),
                Verdict::Fails => {
                    if failed.is_none() {
                        failed = Some((at, forced));
                    }
                }
            }
        }
        let Some((at, forced)) = failed else {
            return Answer::unsettled();
        };
        let Some(reading) = readings.get(at) else {
            return Answer::unsettled();
        };
        let side = show::side(reading.winner());
        let shown = evidence(&reading.position, &forced.line);
        let within = match moves {
            Some(moves) => format!("in {}", number(moves)),
            None => format!("within {THREAT} moves"),
        };
        let reason = if shown.is_empty() {
            "there is none".to_owned()
        } else {
            format!("{shown} holds out")
        };
        let message = format!(
            "{side} does not threaten mate {within}: even if it were {side}'s move, {reason}."
        );
        self.refuted(
            &rules::false_threat::RULE,
            &reading.position,
            message,
            shown,
        )
        .by_search(court.spent())
    }

    /// Whether a pass is impossible at the comment, so that its threat cannot be told.
    fn checks(&self, readings: &[Reading]) -> bool {
        readings.is_empty() || self.line().is_none() && self.comment.scene.here.is_check()
    }

    /// A threat by a line is there where the line can be played and its signs are true.
    /// What is wrong with the line is told once, at the line.
    fn settle_threat_of_line(&self) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        let mut answer = self.settle_line();
        answer.findings.clear();
        answer
    }
}
