//! Judgements of moves: praise and blame, by search.

use super::{
    answer::{Answer, Court},
    compared::settle_compared,
    contradicted::contradiction,
    endings::judge_move_of_ending,
    margins::{BLUNDER, CLEARLY, FIRST, JUDGEMENT, WON},
};
use gainsay_commentary::{At, Quality, Subject};
use gainsay_proof::{
    Verdict, facts,
    search::{Settings as Margin, Value},
};
use shakmaty::{Chess, Move, Position};

use crate::{outcome::Line, question::Question, resolve::played, scene::Step};

/// Settles praise and blame of a move. They are confirmed where the search agrees, and
/// never called false: authors may differ.
pub(super) fn settle_quality(
    question: &Question,
    quality: Quality,
    court: &mut Court<'_>,
) -> Answer {
    if question.denied() || question.line_is_lost() {
        return Answer::unsettled();
    }
    if let Some(answer) = words_contradicted(question, quality, court) {
        return answer;
    }
    if matches!(quality, Quality::Best | Quality::Better) {
        return settle_compared(question, quality, court);
    }
    let meant = question.moves_meant().into_iter().filter(|(position, _)| {
        !matches!(question.claim.subject, Subject::Side(side) if side != position.turn())
    });
    // "24.Qh6+ wins" speaks of that move alone.
    let most = if question.line().is_some() { 1 } else { 2 };
    meant
        .take(most)
        .find_map(|(position, m)| judge_move(question, quality, &position, m, JUDGEMENT, court))
        .unwrap_or_else(Answer::unsettled)
}

/// What nobody can argue with, of the move that the words are said of for certain: the
/// single move that they call so, or the one that the comment stands behind and of which
/// it says nothing else.
fn words_contradicted(
    question: &Question,
    quality: Quality,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let comment = &question.comment;
    let steps: Vec<&Step> = match (question.claim.at, &question.claim.subject) {
        (At::Here, Subject::Nobody | Subject::ThisMove) if question.is_all() => {
            comment.scene.played.iter().collect()
        }
        (At::Shown(_) | At::Subject(_), _) => {
            let line = question.line()?;
            let single = |steps: &Vec<Step>| steps.len() == 1;
            if line.shaky || line.ambiguous || !line.readings.iter().all(single) {
                return None;
            }
            line.readings.iter().flatten().collect()
        }
        _ => return None,
    };
    let mut found = None;
    for step in steps {
        let answer = contradiction(quality, &step.before, step.mv?, &step.after, court)?;
        if answer.verdict != Verdict::Fails {
            return None;
        }
        found = found.or(Some(answer));
    }
    found
}

/// Confirms praise or blame of one move by two searches that cost `nodes` together.
pub(super) fn judge_move(
    question: &Question,
    quality: Quality,
    position: &Chess,
    m: Move,
    nodes: u64,
    court: &mut Court<'_>,
) -> Option<Answer> {
    if let Some(exact) = judge_move_of_ending(question, quality, position, m, court) {
        return exact;
    }
    let nodes = nodes / 2;
    let after = played(position, m);
    // A quarter of the nodes often makes it plain, if it is not too few to see anything.
    let first = (nodes / 4 >= FIRST).then_some((nodes / 4, CLEARLY));
    for (nodes, margin) in first.into_iter().chain([(nodes, 0)]) {
        let lines = court.best(position, 1, nodes);
        let best = lines.first()?;
        let own = match court.best(&after, 1, nodes).first() {
            Some(line) => line.value.reversed().centipawns(),
            None if after.is_checkmate() => Value::Mates(1).centipawns(),
            None => 0,
        };
        let is_best = best.moves.first() == Some(&m);
        // The best move loses nothing, though the search behind it may see more.
        let lost = match best.value.centipawns() - own {
            lost if is_best => lost.min(0),
            lost => lost,
        };
        let holds = |margin: i32| match quality {
            Quality::Best => is_best && margin <= 0 || lost <= -margin,
            Quality::Better | Quality::Good => lost + margin <= Margin::default().margin / 2,
            Quality::Wins => own - margin >= WON,
            Quality::Mistake => lost - margin >= BLUNDER / 2,
            // The better move is not the one that was played.
            Quality::Blunder | Quality::Missed => lost - margin >= BLUNDER,
        };
        if holds(margin) {
            let shown = Line::new(position, &best.moves);
            return Some(Answer::new(Verdict::Holds).on(position).shown_by(shown));
        }
        if !holds(-margin) {
            break;
        }
    }
    None
}

/// What a move leaves to be taken for less than it takes itself, in pawns by the scale 1, 3,
/// 3, 5, 9.
pub(super) fn given_up(position: &Chess, m: Move) -> i32 {
    let after = played(position, m);
    let before = facts::balance(position.board(), position.turn());
    let taken = facts::balance(after.board(), position.turn()) - before;
    let captures = after.capture_moves();
    let lost = captures
        .iter()
        .map(|&m| facts::exchange_of(&after, m))
        .max();
    lost.unwrap_or(0).max(0) / 100 - taken
}
