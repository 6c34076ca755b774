//! Forced mates of no stated length.

use gainsay_commentary::{At, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::Position;

use super::{
    answer::{Answer, Court},
    readings::{any_holds, mate_readings},
};
use crate::{
    outcome::{Line, Man, MateWhy, Side},
    question::Question,
    resolve::played,
};

/// Longer mates than this are not looked for where the text gives no number.
const LONGEST: u32 = 12;

/// A mate without a number: proved where it is short enough, and disproved only where
/// the side that should mate never can, in every reading.
pub(super) fn settle_forced(question: &Question, court: &mut Court<'_>) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    // "Mate arrives with 24.Bxf7" is begun by that move.
    let shown = match question.claim.at {
        At::Shown(_) => question.line().and_then(|line| line.readings.first()),
        _ => None,
    };
    if let Some(first) = shown.and_then(|steps| steps.first())
        && court.is_mated(&first.after, LONGEST).verdict != Verdict::Holds
    {
        return Answer::unsettled();
    }
    for moves in [1, 2, 3, 5, LONGEST] {
        let readings = mate_readings(question, moves);
        if let Some(answer) = any_holds(question, &readings, court) {
            return answer;
        }
    }
    if question.line_is_lost() {
        return Answer::unsettled();
    }
    never_mates(question, court).unwrap_or_else(Answer::unsettled)
}

/// "There is no mate", of the position of the comment, whose side is to move: it fails
/// where a short one is proved, and holds where none is possible.
pub(super) fn settle_no_mate(
    question: &Question,
    moves: Option<u32>,
    court: &mut Court<'_>,
) -> Answer {
    /// Longer mates than this an author may leave aside.
    const SHORT: u32 = 3;
    let here = &question.comment.scene.here;
    let side = here.turn();
    let said_of_it = question.claim.at == At::Here
        && question.claim.tense == Tense::Present
        && !question.denied()
        && matches!(question.claim.subject, Subject::Nobody | Subject::Side(_))
        && question.winner().is_none_or(|winner| winner == side);
    if !said_of_it || moves.is_some_and(|moves| moves == 0) {
        return Answer::unsettled();
    }
    let found = court.mates(here, moves.unwrap_or(SHORT));
    let shown = Line::new(here, &found.line);
    match (found.verdict, moves) {
        (Verdict::Holds, _) => {
            let line = shown.clone();
            Answer::refuted(MateWhy::MateThere { side: None, line }, here, shown)
        }
        (Verdict::Fails, Some(_)) => Answer::new(Verdict::Holds).on(here),
        _ if facts::can_never_mate(here, side) => Answer::new(Verdict::Holds).on(here),
        _ => Answer::unsettled(),
    }
}

/// The finding that no reading of "forced mate" can be true: the side has too little
/// material, or the prover has seen everything.
fn never_mates(question: &Question, court: &mut Court<'_>) -> Option<Answer> {
    const NODES: u64 = 20_000;
    let readings = mate_readings(question, 1);
    let mut told: Option<(Vec<Man>, Option<Line>)> = None;
    for reading in &readings {
        let position = &reading.position;
        let here = if facts::can_never_mate(position, reading.winner()) {
            let own = position.board().by_color(reading.winner());
            (Man::all(position.board(), own), None)
        } else {
            let line = if reading.attacks {
                let forced = court.mates_ever(position, NODES);
                (forced.verdict == Verdict::Fails).then_some(forced.line)?
            } else {
                position.legal_moves().into_iter().find_map(|m| {
                    let after = played(position, m);
                    let forced = court.mates_ever(&after, NODES);
                    (forced.verdict == Verdict::Fails).then_some(vec![m])
                })?
            };
            (Vec::new(), Some(Line::new(position, &line)))
        };
        told.get_or_insert(here);
    }
    let ((only, defence), reading) = (told?, readings.first()?);
    let shown = defence.clone();
    let why = MateWhy::NoForcedMate {
        side: Side(reading.winner()),
        only,
        defence,
    };
    let shown = shown.unwrap_or_else(|| Line::new(&reading.position, &[]));
    let answer = Answer::refuted(why, &reading.position, shown);
    Some(answer.by_search(court.spent()))
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn a_mate_without_a_number_is_proved() {
        use Verdict::{Holds, Unsettled};
        all(
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1 | 1. Kd2 h6 2. Ra7 g5",
            &[("White [forces mate].", Unsettled)],
        );
        all(
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1 | 1. Kd2 Kf8 2. Kd3 Kg8",
            &[("White [forces mate].", Holds)],
        );
    }
}
