//! "24.Qh5 is better", "best was 24.Qh5": a move is compared with another of the same position.

use gainsay_commentary::{Quality, Subject, Tense};
use gainsay_proof::{Verdict, search::Value};
use shakmaty::{Chess, Move, Position};

use super::{
    answer::{Answer, Court},
    margins::{FAR, JUDGEMENT, LEAD},
};
use crate::{
    outcome::{Line, MoveWhy},
    question::Question,
    resolve::played,
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A move that is called better or best is clearly worse.
    ///
    /// What is called better is compared with the move that was played, and what is called best
    /// with the best move of the same position, by searches of the same size. It is confirmed if
    /// it is ahead by a third of a pawn, and called false only if it is behind by two pawns and a
    /// half, a larger search says so too, and it is plain which move is meant.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 3. Bb5 {3.Ba6 is best.} a6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 3. Bb5 {3.Ba6 is a joke.} a6 *
    /// ```
    WEAKER_MOVE = "weaker-move", Severity::Warning
}

/// Settles that a move is better or the best. Another move than the one that is named, or than
/// the one the comment stands behind, is never judged in its place.
pub(super) fn settle_compared(
    question: &Question,
    quality: Quality,
    court: &mut Court<'_>,
) -> Answer {
    let Some((before, m)) = named(question) else {
        return Answer::unsettled();
    };
    if matches!(question.claim.subject, Subject::Side(side) if side != before.turn()) {
        return Answer::unsettled();
    }
    // "24.Be3 was better" tells what could have been played, and not what can be.
    let past = question.claim.tense == Tense::Past;
    if past && before == question.comment.scene.here {
        return Answer::unsettled();
    }
    let answer = if quality == Quality::Best {
        with_the_best(&before, m, court)
    } else {
        played_in(question, &before)
            .filter(|&other| other != m)
            .and_then(|other| with_another(&before, m, other, court))
    };
    let answer = answer.unwrap_or_else(Answer::unsettled);
    if answer.verdict == Verdict::Fails && !is_plain(question, &before) {
        return Answer::unsettled();
    }
    answer
}

/// Whether it is plain which move is meant: it has a number, or it could have been played instead
/// of the move that the comment stands behind.
fn is_plain(question: &Question, before: &Chess) -> bool {
    let first = question.line_moves().first();
    let numbered = first.is_some_and(|cited| cited.number.is_some_and(|own| own.value.is_some()));
    numbered || question.comment.scene.before() == Some(before)
}

/// The move that is named, or told of, or else the one that the comment stands behind.
fn named(question: &Question) -> Option<(Chess, Move)> {
    let of = |step: &Step| Some((step.before.clone(), step.mv?));
    if question.line().is_some() && question.moves_told_of().is_none() {
        let line = question.line()?.readings.first()?;
        return of(question.named_step(line)?);
    }
    question.moves_meant().into_iter().next()
}

/// The move that was played in this position.
fn played_in(question: &Question, before: &Chess) -> Option<Move> {
    let scene = &question.comment.scene;
    let near = scene.played.iter().chain(&scene.steps);
    near.into_iter()
        .find(|step| step.before == *before)
        .and_then(|step| step.mv)
}

/// Compares a move with the best one, which may be itself, and then with the second best.
fn with_the_best(before: &Chess, m: Move, court: &mut Court<'_>) -> Option<Answer> {
    let lines = court.best(before, 2, JUDGEMENT);
    let best = lines.first()?;
    let shown = Line::new(before, &best.moves);
    if best.moves.first() == Some(&m) {
        let lead = match lines.get(1) {
            Some(second) => worth(best.value) - worth(second.value),
            None => LEAD,
        };
        let holds = lead >= LEAD || before.legal_moves().len() == 1;
        return holds.then(|| holds_by(before, shown));
    }
    let other = *best.moves.first()?;
    weaker(before, m, other, court)
}

/// Compares two moves of the same position.
fn with_another(before: &Chess, m: Move, other: Move, court: &mut Court<'_>) -> Option<Answer> {
    let (own, line) = value(before, m, JUDGEMENT / 2, court)?;
    let (theirs, _) = value(before, other, JUDGEMENT / 2, court)?;
    if own - theirs >= LEAD {
        return Some(holds_by(before, Line::new(before, &line)));
    }
    (own - theirs <= -FAR)
        .then(|| weaker(before, m, other, court))
        .flatten()
}

fn holds_by(before: &Chess, shown: Line) -> Answer {
    Answer::new(Verdict::Holds).on(before).shown_by(shown)
}

/// The finding that another move is clearly better, if two searches of different sizes say so
/// and the second finds its nodes.
fn weaker(before: &Chess, m: Move, other: Move, court: &mut Court<'_>) -> Option<Answer> {
    let mut shown = Line::new(before, &[]);
    for nodes in [JUDGEMENT / 2, 3 * JUDGEMENT / 2] {
        if court.left() < 2 * nodes {
            return None;
        }
        let (own, _) = value(before, m, nodes, court)?;
        let (theirs, line) = value(before, other, nodes, court)?;
        if theirs - own < FAR {
            return None;
        }
        shown = Line::new(before, &line);
    }
    let why = MoveWhy::Weaker {
        cited: Line::new(before, &[m]),
        other: Line::new(before, &[other]),
        line: shown.clone(),
    };
    Some(Answer::refuted(why, before, shown))
}

/// What a move is worth for the side that makes it, and how the game goes on.
fn value(before: &Chess, m: Move, nodes: u64, court: &mut Court<'_>) -> Option<(i32, Vec<Move>)> {
    let after = played(before, m);
    let mut line = vec![m];
    if after.legal_moves().is_empty() {
        let value = if after.is_checkmate() {
            Value::Mates(1)
        } else {
            Value::Centipawns(0)
        };
        return Some((worth(value), line));
    }
    let reply = court.best(&after, 1, nodes).into_iter().next()?;
    line.extend(reply.moves);
    Some((worth(reply.value.reversed()), line))
}

/// A value in centipawns; beyond fifteen pawns all wins are alike.
fn worth(value: Value) -> i32 {
    const ALIKE: i32 = 1_500;
    value.centipawns().clamp(-ALIKE, ALIKE)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict::{Fails, Holds, Unsettled};

    use crate::marked::all;

    #[test]
    fn a_move_is_compared_with_another_of_its_position() {
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5",
            &[
                ("[3.Ba6 is best].", Fails),
                ("[Better was 3.Ba6].", Fails),
                ("[3.Be2 is better].", Unsettled),
            ],
        );
        all(
            "1. e4 e5 2. Qh5 Nc6 3. Qxf7+",
            &[
                ("[Better was 3.Nf3].", Holds),
                ("[3.Bc4 was stronger].", Holds),
                // Bad as it is, it is no worse than the move of the game.
                ("[3.Qxe5+ was better].", Unsettled),
            ],
        );
        all(
            "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Nf3",
            &[
                ("[4.Qxf7# was best].", Holds),
                ("[4.Bxf7+ was best].", Fails),
            ],
        );
    }
}
