//! Lines that are said to refute a move.

use super::{
    answer::{Answer, Court},
    cited::{line_is_told, settle_line, unplayable},
    judgements::given_up,
    margins::{JUDGEMENT, WON},
    no_mate::not_mate,
    standings::judge,
};
use gainsay_commentary::{Refutation, Standing};
use gainsay_notation::Signs;
use gainsay_proof::{Verdict, search::Settings as Margin};
use shakmaty::{Move, Position};

use crate::{
    outcome::{Line, MoveWhy, Side},
    question::{Broken, Question, expected, signs_are_true},
    rule::{Severity, rule},
    scene::{Step, count},
};

rule! {
    /// A line that is said to refute a move does not: the other side is winning in it.
    ///
    /// Behind the first move of the refutation the other side gets its best defence, found by
    /// search. The rule speaks only where that side is winning beyond doubt, the more so where
    /// the refutation gives up something first.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {Not 2...d6, which fails to 3.Ba6.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {Not 2...Qg5, which fails to 3.Nxg5.} 3. Bb5 *
    /// ```
    LINE_DOES_NOT_REFUTE = "line-does-not-refute", Severity::Warning
}

/// Settles "fails to", "because of": the refutation must keep its promise against the
/// best defence.
pub(super) fn settle_refutation(
    question: &Question,
    refutation: Refutation,
    court: &mut Court<'_>,
) -> Answer {
    if refutation == Refutation::Bare {
        return settle_loses(question, court);
    }
    let mild = matches!(refutation, Refutation::Met { .. });
    let Some(steps) = question
        .line()
        .filter(|line| !line.shaky && !line.ambiguous)
        .and_then(|line| line.readings.first())
    else {
        return Answer::unsettled();
    };
    let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
        return Answer::unsettled();
    };
    if question.denied() {
        return Answer::unsettled();
    }
    if let Some(answer) = answers_wrongly(question, refutation, steps) {
        return answer;
    }
    // "Because of 36.Ra8 mate", which is none, is not confirmed by what else it does.
    let signed = question.line_moves();
    if !signs_are_true(signed, steps) {
        return Answer::unsettled();
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
    let shown = Line::new(&first.before, &shown);
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
    if line_is_told(question) {
        return Answer::new(Verdict::Fails)
            .on(&first.before)
            .shown_by(shown);
    }
    // "Acceptance is met by 28...Qxb4 29.Bxe5+" begins with the move that is met. Where moves go on
    // behind a parenthesis the point may come there.
    let begins = question.comment.scene.here == first.before && steps.len() > 1;
    let unnamed = match refutation {
        Refutation::Met { fails } => fails.is_none(),
        Refutation::By { fails } => fails.is_none() && begins,
        Refutation::Bare => false,
    };
    if unnamed || question.line_goes_on() {
        return Answer::unsettled();
    }
    let why = MoveWhy::RefutesNothing {
        line: shown.clone(),
        side: Side(!refuter),
    };
    Answer::refuted(why, &first.before, shown)
}

/// "24...h6 fails to 25.Rd8#", where the answer cannot be played behind that move, or is
/// no mate there.
fn answers_wrongly(question: &Question, refutation: Refutation, steps: &[Step]) -> Option<Answer> {
    let (Refutation::By { fails } | Refutation::Met { fails }) = refutation else {
        return None;
    };
    let comment = &question.comment;
    let failing = comment.lines.get(fails? as usize)?;
    let (first, last) = (steps.first()?, steps.last()?);
    let [before] = failing.readings.as_slice() else {
        return None;
    };
    let end = &before.last()?.after;
    let line = comment
        .prose
        .lines
        .get(question.claim.at.line()? as usize)?;
    let moves = comment.prose.moves_of(line);
    if failing.shaky {
        return None;
    }
    // What is wrong with the answer wherever it is played is told at its line.
    if settle_line(question).verdict == Verdict::Fails {
        return Some(Answer::new(Verdict::Fails));
    }
    if first.before != *end {
        let number = moves.first()?.number.and_then(expected)?;
        return (number == count(end))
            .then(|| Broken::behind(before))
            .flatten()
            .map(|broken| unplayable(question, line, &broken))
            .filter(|answer| answer.verdict == Verdict::Fails);
    }
    let cited = moves.last()?;
    let mates = cited.mate_word || cited.written.signs == Signs::Mate;
    (mates && !last.after.is_checkmate()).then(|| not_mate(question, &last.after))
}

/// "24.Qh5 loses": the other side wins.
fn settle_loses(question: &Question, court: &mut Court<'_>) -> Answer {
    let last = match question.claim.at.line() {
        Some(_) => question
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| steps.last()),
        None => question.comment.scene.played.as_ref(),
    };
    let Some(last) = last else {
        return Answer::unsettled();
    };
    let loser = !last.after.turn();
    judge(&last.after, loser, Standing::Lost, court)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn a_line_that_loses_refutes_nothing() {
        use Verdict::Holds;
        all(
            "1. e4 e5 2. Qh5 Nc6",
            &[("3.Qxe5+ [fails to] 3...Nxe5.", Holds)],
        );
    }
    #[test]
    fn what_was_not_played_is_refuted_where_it_would_stand() {
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Nxe4 6. d4 b5 7. Bb3 d5 8. a4 Nxd4 \
             9. Nxd4 exd4 10. Nc3 Nxc3",
            &[("Not PxKt, [on account of BxP].", Verdict::Unsettled)],
        );
    }
}
