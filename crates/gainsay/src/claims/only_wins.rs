//! "Only 24.Qh5 wins", "only 24.Qh5 mates", "two legal moves": what other moves there are.

use super::{
    answer::{Answer, Court},
    endings::keeps_alone,
    margins::JUDGEMENT,
    nouns::squares,
    only_sensible::{settle_only_sensible, shown_by_moves, some_moves},
};
use gainsay_commentary::{Subject, Tense};
use gainsay_proof::{Verdict, search::Variation};
use shakmaty::{Chess, Move, Position};

use crate::{
    outcome::{Fault, Line, MoveWhy, Side},
    question::Question,
    resolve::played,
};

/// A mate of so many moves is a win that nobody can argue about.
const SHORT: u32 = 3;

/// The prover may spend so much on one other move.
const NODES: u64 = 20_000;

/// "White has two legal moves": counted wherever it can be meant.
pub(super) fn settle_legal_moves(question: &Question, told: u32) -> Answer {
    // "The king has two legal moves" counts those of the king, where it is its side's turn.
    let piece = match &question.claim.subject {
        Subject::Piece(noun) => Some(noun),
        _ => None,
    };
    let count = |position: &Chess| {
        let moves = position.legal_moves();
        let from = piece.map(|noun| squares(position.board(), noun));
        let own = |m: &&Move| match (from, m.from()) {
            (Some(from), Some(square)) => from.contains(square),
            (from, _) => from.is_none(),
        };
        u32::try_from(moves.iter().filter(own).count()).unwrap_or(0)
    };
    let turn = |position: &Chess| {
        piece.is_none_or(|noun| {
            let pieces = squares(position.board(), noun);
            pieces.count() == 1 && (pieces & position.us()).any()
        })
    };
    let mut choices = question.choices();
    if let Subject::Side(side) = question.claim.subject {
        let passed = question.comment.scene.passed();
        choices.extend(passed.filter(|passed| passed.turn() == side));
    }
    // "Slide the king to g6, and Black will have one legal move"
    if question.claim.tense == Tense::Future {
        return Answer::unsettled();
    }
    let mut counted = question.counted();
    counted.retain(turn);
    let Some(position) = counted.first().filter(|_| !question.denied()) else {
        return Answer::unsettled();
    };
    if counted.iter().all(|position| count(position) == told) {
        return Answer::new(Verdict::Holds).on(position);
    }
    // Where it is so in another position, that may be meant.
    let mut all = counted.iter().chain(&choices);
    if all.any(|position| count(position) == told) || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let right = count(position);
    // What is wrong with the moves of one piece is not told as those of the side.
    if piece.is_some() {
        return Answer::unsettled();
    }
    let why = MoveWhy::LegalMoves {
        side: Side(position.turn()),
        count: right,
        moves: some_moves(position),
    };
    let mut fault = Fault::of(why);
    // "There are one legal move" would be no remedy.
    if (told == 1) == (right == 1) {
        fault = question.recounted(fault, right);
    }
    shown_by_moves(Answer::new(Verdict::Fails).on(position), position).found(fault)
}

/// "Only 24.Qh5 mates": it mates, and no other move does so as soon.
pub(super) fn settle_only_mate(question: &Question, court: &mut Court<'_>) -> Answer {
    settle_only_one(question, true, court)
}

/// "Only 24.Qh5 wins", "the only winning move": no other move forces a short mate. That
/// no other wins is confirmed by a search.
pub(super) fn settle_only_win(question: &Question, court: &mut Court<'_>) -> Answer {
    let answer = settle_only_one(question, false, court);
    if answer.verdict == Verdict::Fails {
        return answer;
    }
    // Where tables know that another move wins too, no search may confirm it.
    let meant = question.moves_meant().into_iter().next();
    let alone = meant.and_then(|(position, m)| keeps_alone(&position, m, court));
    let answer = match alone {
        Some((false, _)) => Answer::unsettled(),
        _ => settle_only_sensible(question, false, court),
    };
    if answer.verdict != Verdict::Unsettled || question.denied() || question.line_is_lost() {
        return answer;
    }
    another_wins(question, court).unwrap_or(answer)
}

/// The finding that by two searches another move wins beyond dispute.
fn another_wins(question: &Question, court: &mut Court<'_>) -> Option<Answer> {
    const PLAIN: i32 = 700;
    let (position, m) = match question.moves_meant().as_slice() {
        [meant, ..] if question.line().is_some() => meant.clone(),
        [meant] => meant.clone(),
        _ => return None,
    };
    let mut other = |nodes| {
        let lines = court.best(&position, 2, nodes);
        let wins =
            |line: &&Variation| line.moves.first() != Some(&m) && line.value.centipawns() >= PLAIN;
        lines.iter().find(wins).map(|line| line.moves.clone())
    };
    let early = other(JUDGEMENT / 8)?;
    let late = other(JUDGEMENT / 2)?;
    if early.first() != late.first() {
        return None;
    }
    let other = *late.first()?;
    let why = MoveWhy::WinsToo {
        cited: Line::new(&position, &[m]),
        other: Line::new(&position, &[other]),
    };
    Some(Answer::refuted(why, &position, Line::new(&position, &late)))
}

/// Whether no other move than the one meant forces a short mate; where `as_soon`, the one
/// meant mates, and no other does in as few moves. It fails where another does in every
/// reading.
fn settle_only_one(question: &Question, as_soon: bool, court: &mut Court<'_>) -> Answer {
    if question.denied() || question.line_is_lost() {
        return Answer::unsettled();
    }
    let most = if question.line().is_some() { 1 } else { 2 };
    let meant: Vec<(Chess, Move)> = question.moves_meant().into_iter().take(most).collect();
    let mut found: Option<(Chess, Move, Vec<Move>)> = None;
    for (position, m) in meant {
        let moves = if as_soon {
            mates_in(&position, m, court)
        } else {
            Some(SHORT)
        };
        let Some(moves) = moves else {
            return Answer::unsettled();
        };
        match other_mate(&position, m, moves, court) {
            Some(line) => {
                found.get_or_insert((position, m, line));
            }
            // One that takes longer may still mate later than this budget shows.
            None if as_soon && moves == 1 => {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(Line::new(&position, &[m]));
            }
            None => return Answer::unsettled(),
        }
    }
    let Some((position, m, line)) = found else {
        return Answer::unsettled();
    };
    let shown = Line::new(&position, &line);
    if shown.is_empty() {
        return Answer::unsettled();
    }
    let why = MoveWhy::MatesToo {
        cited: Line::new(&position, &[m]),
        other: shown.clone(),
    };
    Answer::refuted(why, &position, shown)
}

/// In how many moves `m` mates, if that is soon.
fn mates_in(position: &Chess, m: Move, court: &mut Court<'_>) -> Option<u32> {
    (1..=SHORT).find(|&moves| {
        let told = court.mating_moves(position, &[m], moves, NODES);
        told.iter().any(|told| told.verdict == Verdict::Holds)
    })
}

/// The line of another move than `m` that mates within `moves`, the sooner the better.
fn other_mate(position: &Chess, m: Move, moves: u32, court: &mut Court<'_>) -> Option<Vec<Move>> {
    let mut others = position.legal_moves();
    others.retain(|other| *other != m);
    (1..=moves).find_map(|moves| {
        let told = court.mating_moves(position, &others, moves, NODES);
        let other = told.iter().find(|told| told.verdict == Verdict::Holds)?;
        let after = played(position, other.first);
        let mut line = vec![other.first];
        line.extend(court.is_mated_within(&after, moves - 1, NODES).line);
        Some(line)
    })
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn another_mate_spoils_the_only_one() {
        use Verdict::Fails;
        all(
            "6k1/5ppp/8/8/8/8/8/RR4K1 w - - 0 1 | 1. Kf2 Kh8",
            &[("[Only 2.Ra8 mates].", Fails)],
        );
    }
}
