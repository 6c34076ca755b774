//! Lines that are said to refute a move.

use gainsay_commentary::{Refutation, Standing};
use gainsay_notation::Signs;
use gainsay_proof::{Verdict, search::Settings as Margin};
use shakmaty::{Move, Position};

use super::judge::{JUDGEMENT, WON, given_up};
use super::{
    Pending,
    answer::{Answer, Court, evidence},
    lines::{Broken, expected},
    scene::{Step, count},
};
use crate::outcome::{MoveWhy, Side};

impl Pending {
    /// Settles "fails to", "because of": the refutation must keep its promise against the
    /// best defence.
    pub(super) fn settle_refutation(
        &self,
        refutation: Refutation,
        court: &mut Court<'_>,
    ) -> Answer {
        if refutation == Refutation::Bare {
            return self.settle_loses(court);
        }
        let mild = matches!(refutation, Refutation::Met { .. });
        let Some(steps) = self
            .line()
            .filter(|line| !line.shaky)
            .and_then(|line| line.readings.first())
        else {
            return Answer::unsettled();
        };
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            return Answer::unsettled();
        };
        if self.denied() {
            return Answer::unsettled();
        }
        if let Some(answer) = self.answers_wrongly(refutation, steps) {
            return answer;
        }
        let refuter = first.before.turn();
        if last.after.is_checkmate() && last.after.turn() != refuter && steps.len() == 1 {
            return Answer::new(Verdict::Holds).on(&last.after);
        }
        // Behind the refutation's first move the other side chooses its best defence.
        let judged = court.value(&first.after, JUDGEMENT);
        let Some((value, moves, sure)) = judged else {
            return Answer::unsettled();
        };
        let defender = value.centipawns();
        let mut shown: Vec<Move> = first.mv.into_iter().collect();
        shown.extend(moves);
        let shown = evidence(&first.before, &shown);
        if defender <= -50 {
            return Answer::new(Verdict::Holds)
                .on(&first.before)
                .shown_by(shown);
        }
        // An answer need not win: it is enough that there is none better.
        if mild
            && let Some(best) = court.best(&first.before, 1, JUDGEMENT / 2).first()
            && (best.moves.first().copied() == first.mv
                || best.value.centipawns() + defender <= Margin::default().margin)
        {
            return Answer::new(Verdict::Holds)
                .on(&first.before)
                .shown_by(shown);
        }
        // What is given up for an attack the search may be too short to see paid back.
        let given = first.mv.map_or(0, |m| given_up(&first.before, m));
        if defender < WON + 25 * given.clamp(0, 5) || !sure {
            return Answer::unsettled();
        }
        // A false `#` in it is told at the line.
        if self.line_is_told() {
            return Answer::new(Verdict::Fails)
                .on(&first.before)
                .shown_by(shown);
        }
        let why = MoveWhy::RefutesNothing {
            line: shown.clone(),
            side: Side(!refuter),
        };
        Answer::refuted(why, &first.before, shown)
    }

    /// "24...h6 fails to 25.Rd8#", where the answer cannot be played behind that move, or is
    /// no mate there.
    fn answers_wrongly(&self, refutation: Refutation, steps: &[Step]) -> Option<Answer> {
        let (Refutation::By { fails } | Refutation::Met { fails }) = refutation else {
            return None;
        };
        let comment = &self.comment;
        let failing = comment.lines.get(fails? as usize)?;
        let (first, last) = (steps.first()?, steps.last()?);
        let [before] = failing.readings.as_slice() else {
            return None;
        };
        let end = &before.last()?.after;
        let line = comment.prose.lines.get(self.claim.at.line()? as usize)?;
        let moves = comment.prose.moves_of(line);
        if failing.shaky {
            return None;
        }
        // What is wrong with the answer wherever it is played is told at its line.
        if self.settle_line().verdict == Verdict::Fails {
            return Some(Answer::new(Verdict::Fails));
        }
        if first.before != *end {
            let number = moves.first()?.number.and_then(expected)?;
            return (number == count(end))
                .then(|| Broken::behind(before))
                .flatten()
                .map(|broken| self.unplayable(line, &broken))
                .filter(|answer| answer.verdict == Verdict::Fails);
        }
        let cited = moves.last()?;
        let mates = cited.mate_word || cited.written.signs == Signs::Mate;
        (mates && !last.after.is_checkmate()).then(|| self.not_mate(&last.after))
    }

    /// "24.Qh5 loses": the other side wins.
    fn settle_loses(&self, court: &mut Court<'_>) -> Answer {
        let last = match self.claim.at.line() {
            Some(_) => self
                .line()
                .and_then(|line| line.readings.first())
                .and_then(|steps| steps.last()),
            None => self.comment.scene.played.as_ref(),
        };
        let Some(last) = last else {
            return Answer::unsettled();
        };
        let loser = !last.after.turn();
        self.judge(&last.after, loser, Standing::Lost, court)
    }
}
