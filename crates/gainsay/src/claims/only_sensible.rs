//! "The only move" where more than one is legal.

use super::{
    answer::{Answer, Court},
    endings::keeps_alone,
    margins::{BLUNDER, JUDGEMENT},
    threats::THREAT,
};
use crate::{
    outcome::{Line, MoveWhy},
    question::Question,
    resolve::played,
    rule::{Severity, rule},
};
use gainsay_commentary::{Nuance, Subject};
use gainsay_proof::Verdict;
use gainsay_proof::search::Value;
use shakmaty::{Chess, Move, Position};

rule! {
    /// "The only move" is one of several that are as good.
    ///
    /// "The only move" mostly means the only sensible one. It is doubted where, by two
    /// searches, another move is as good in a position that is level, whichever of the moves
    /// around the comment is meant. "The only way to stop the mate" and the like say more
    /// than that and are left alone; "the only winning move" is doubted where by two searches
    /// another wins beyond dispute.
    ///
    /// ```pgn before
    /// 1. d4 d5 2. Nf3 Nf6 3. e3 e6 {The only move.} 4. Bd3 Bd6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. d4 d5 2. Nf3 Nf6 3. e3 e6 {A sound move.} 4. Bd3 Bd6 *
    /// ```
    OTHER_MOVES_HOLD = "other-moves-hold", Severity::Warning
}

/// "The only move" means the only sensible one: it holds where every other move is
/// clearly worse. Where it is said without more ("the only way to stop", "the only
/// winning move" say more), it fails if in every reading another move is just as good by
/// two searches, and the position is neither won nor lost. In an ending that tables know
/// it holds where no other move keeps the win, or the draw.
pub(super) fn settle_only_sensible(
    question: &Question,
    plain: bool,
    court: &mut Court<'_>,
) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    let choices = question.choices();
    if let Some(position) = choices
        .iter()
        .take(4)
        .find(|position| position.legal_moves().len() == 1)
    {
        return Answer::new(Verdict::Holds)
            .on(position)
            .shown_by(Line::new(position, &position.legal_moves()));
    }
    let mut other: Option<(Chess, Move, Vec<Move>)> = None;
    let mut all_fail = plain && !question.comment_cites_loosely();
    let mut read = 0;
    let named = question.line().is_some() && question.names_its_move();
    let readings = if named || question.is_glyph() { 1 } else { 3 };
    let meant = question.moves_meant().into_iter().take(readings);
    for (rank, (position, m)) in meant.enumerate() {
        if let Subject::Side(side) = question.claim.subject
            && position.turn() != side
        {
            continue;
        }
        read += 1;
        if rank == 0
            && let Some((true, line)) = keeps_alone(&position, m, court)
        {
            return Answer::new(Verdict::Holds)
                .on(&position)
                .shown_by(Line::new(&position, &line));
        }
        let late = court.best(&position, 2, JUDGEMENT / 2);
        let [best, second, ..] = late.as_slice() else {
            all_fail = false;
            continue;
        };
        let apart = best.value.centipawns() - second.value.centipawns();
        // What puts off the mate is forced.
        let longer = !plain
            && matches!(
                (best.value, second.value),
                (Value::Mated(best), Value::Mated(second)) if best > second
            );
        if best.moves.first() == Some(&m) && (apart >= BLUNDER || longer) {
            // That some later move is the only one makes no earlier claim true.
            if rank > 0 {
                return Answer::unsettled();
            }
            return Answer::new(Verdict::Holds)
                .on(&position)
                .shown_by(Line::new(&position, &best.moves))
                .shown_by(Line::new(&position, &second.moves));
        }
        let early = court.best(&position, 2, JUDGEMENT / 8);
        match equals(&late, &early, m) {
            Some(moves) => {
                other.get_or_insert((position, m, moves));
            }
            None => all_fail = false,
        }
    }
    all_fail &= !question.follows_its_line();
    let (Some((position, m, moves)), true, true) = (other, all_fail, read > 0) else {
        return Answer::unsettled();
    };
    let as_good = moves.first().map_or(m, |&other| other);
    let why = MoveWhy::AsGood {
        cited: Line::new(&position, &[m]),
        other: Line::new(&position, &[as_good]),
    };
    Answer::refuted(why, &position, Line::new(&position, &moves))
}

/// "Only 24...g6 stops mate", where another move stops it as well: there is no mate then
/// that takes two moves more, or fewer.
pub(super) fn another_stops_mate(question: &Question, court: &mut Court<'_>) -> Option<Answer> {
    const NODES: u64 = 20_000;
    const LONGER: u32 = 2;
    let said = question.claim.wording.has(Nuance::Mate);
    if !said || question.denied() || question.line_is_lost() || !question.names_its_move() {
        return None;
    }
    let (position, m) = question.moves_meant().into_iter().next()?;
    let threat = court.mates_within(&crate::resolve::pass(&position)?, THREAT, JUDGEMENT);
    if threat.verdict != Verdict::Holds {
        return None;
    }
    let longer = threat.moves.unwrap_or(THREAT) + LONGER;
    let stops = |other: &Move| {
        let after = played(&position, *other);
        *other != m
            && !after.legal_moves().is_empty()
            && court.mates_within(&after, longer, NODES).verdict == Verdict::Fails
    };
    let other = position.legal_moves().into_iter().find(stops)?;
    let other = Line::new(&position, &[other]);
    let shown = other.clone();
    let cited = Line::new(&position, &[m]);
    let why = MoveWhy::StopsMateToo { cited, other };
    Some(Answer::refuted(why, &position, shown))
}

/// A few legal moves of a position.
pub(super) fn some_moves(position: &Chess) -> Vec<Line> {
    const SOME: usize = 3;
    let moves = position.legal_moves().into_iter().take(SOME);
    moves.map(|m| Line::new(position, &[m])).collect()
}

/// The answer, shown by a few legal moves.
pub(super) fn shown_by_moves(answer: Answer, position: &Chess) -> Answer {
    some_moves(position)
        .into_iter()
        .fold(answer, Answer::shown_by)
}

/// A line that begins with another move than `m` and is as good as the best, in both of two
/// searches, in a position where neither side is winning.
fn equals(
    late: &[gainsay_proof::search::Variation],
    early: &[gainsay_proof::search::Variation],
    m: Move,
) -> Option<Vec<Move>> {
    const SAME: i32 = 20;
    const BALANCED: i32 = 60;
    let other = |lines: &[gainsay_proof::search::Variation]| {
        let [best, second, ..] = lines else {
            return None;
        };
        let (first, next) = (best.value.centipawns(), second.value.centipawns());
        if first - next > SAME || first.abs() > BALANCED || next.abs() > BALANCED {
            return None;
        }
        [best, second]
            .into_iter()
            .find(|line| line.moves.first() != Some(&m))
            .map(|line| line.moves.clone())
    };
    other(early)?;
    other(late)
}
