//! Names of mates that are still to come: "a smothered mate follows", "forces a back-rank
//! mate", "threatens an Arabian mate".

use gainsay_commentary::{ClaimKind, Coming, Subject, Threat};
use gainsay_proof::{Verdict, facts::MatingPattern};
use shakmaty::{Chess, Color, Move, Position};

use super::{
    answer::{Answer, Court},
    pictures::{called, lacks},
    readings::{MateReading, ask, mate_readings},
};
use crate::{
    outcome::{Lack, Line, MateWhy},
    question::Question,
    resolve::played,
};

/// Mates of more moves are not looked through for their names.
const MOVES: u32 = 3;

/// What one question about a mate on the way may cost.
const NODES: u64 = 20_000;

/// Positions that are looked through at most.
const MOST: usize = 80;

/// What the mates that follow from a position show.
enum Shows {
    /// The name, in this line.
    Named(Vec<Move>, Chess),
    /// The name, or what comes near to it, if the defender helps.
    Perhaps,
    /// Another picture, always; with the line, and what it lacks.
    Other(Vec<Move>, Lack, Chess),
    /// There is no such mate.
    Nothing,
    Unsettled,
}

/// Settles a name that is said of a mate to come: the sentence says that it follows, is
/// threatened, or comes in so many moves. It holds if the best defence ends
/// in that picture. It fails only if there is a mate of few moves, and no line of it,
/// whatever both sides play, ends in what could be called so, in any reading.
pub(super) fn settle_named_mate(
    question: &Question,
    pattern: MatingPattern,
    name: &str,
    comes: Option<Coming>,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let Coming { moves, threatened } = comes?;
    if moves.is_some_and(|moves| !(1..=MOVES).contains(&moves)) {
        return None;
    }
    if question.denied() || question.line_is_lost() || is_mated_already(question) {
        return None;
    }
    let scene = &question.comment.scene;
    let passed = scene.passed().filter(|_| threatened);
    let side = side_of_the_mate(question);
    let mut other: Option<(Chess, Vec<Move>, Lack, Chess)> = None;
    for reading in mate_readings(question, moves.unwrap_or(MOVES)) {
        if side.is_some_and(|side| side != reading.winner()) {
            continue;
        }
        // Elsewhere another mate may be meant.
        let plain = question.line().is_some()
            || reading.position == scene.here
            || Some(&reading.position) == passed.as_ref();
        match shows(&reading, pattern, court) {
            Shows::Named(line, end) => {
                return Some(
                    Answer::new(Verdict::Holds)
                        .on(&end)
                        .shown_by(Line::new(&reading.position, &line)),
                );
            }
            Shows::Perhaps | Shows::Unsettled => return Some(Answer::unsettled()),
            Shows::Nothing => {}
            Shows::Other(line, what, end) if plain => {
                other.get_or_insert((reading.position, line, what, end));
            }
            Shows::Other(..) => {}
        }
    }
    let (start, line, what, end) = other?;
    let shown = Line::new(&start, &line);
    let why = MateWhy::MisnamedMate {
        name: name.to_owned(),
        lacks: what,
        shows: called(&end),
        line: Some(shown.clone()),
    };
    Some(Answer::refuted(why, &start, shown))
}

/// The side that mates, where the sentence says so.
fn side_of_the_mate(question: &Question) -> Option<Color> {
    let claims = question.comment.prose.claims.iter();
    let mut sides = claims
        .filter(|claim| claim.sentence == question.claim.sentence)
        .filter(|claim| {
            matches!(
                claim.kind,
                ClaimKind::Mate(_) | ClaimKind::Threat(Threat::Mate(_)) | ClaimKind::Pattern(_)
            )
        })
        .filter_map(|claim| match claim.subject {
            Subject::Side(side) => Some(side),
            _ => None,
        });
    sides.next()
}

/// Whether the comment, or the line that the claim leans on, ends in mate.
fn is_mated_already(question: &Question) -> bool {
    let ends = question.line_ends();
    ends.chain([&question.comment.scene.here])
        .any(Position::is_checkmate)
}

/// What the shortest mates of a reading show.
fn shows(reading: &MateReading, pattern: MatingPattern, court: &mut Court<'_>) -> Shows {
    if reading.position.legal_moves().is_empty() {
        return Shows::Nothing;
    }
    let forced = ask(court, reading);
    let moves = match (forced.verdict, forced.moves) {
        (Verdict::Fails, _) => return Shows::Nothing,
        (Verdict::Holds, Some(moves @ 1..)) => moves,
        _ => return Shows::Unsettled,
    };
    let mut end = reading.position.clone();
    for &m in &forced.line {
        end.play_unchecked(m);
    }
    if pattern.matches(&end) {
        return Shows::Named(forced.line, end);
    }
    let Some(what) = lacks(pattern, &end).filter(|_| end.is_checkmate()) else {
        return Shows::Perhaps;
    };
    match all_lack(reading, moves, pattern, court) {
        Some(true) => Shows::Other(forced.line, what, end),
        Some(false) => Shows::Perhaps,
        None => Shows::Unsettled,
    }
}

/// Whether no line of the mates within `moves`, whatever both sides play, ends in what could
/// be called so. `None` where there are too many to say.
fn all_lack(
    reading: &MateReading,
    moves: u32,
    pattern: MatingPattern,
    court: &mut Court<'_>,
) -> Option<bool> {
    let replies = |position: &Chess| {
        let moves = position.legal_moves().into_iter();
        moves.map(|m| played(position, m)).collect::<Vec<Chess>>()
    };
    // Positions with the attacker to move, and in how many moves it mates.
    let mut waiting: Vec<(Chess, u32)> = if reading.attacks {
        vec![(reading.position.clone(), moves)]
    } else {
        let after = replies(&reading.position).into_iter();
        after.map(|position| (position, moves)).collect()
    };
    let mut seen = 0;
    while let Some((position, moves)) = waiting.pop() {
        seen += 1;
        if seen > MOST {
            return None;
        }
        for after in replies(&position) {
            if after.is_checkmate() {
                if lacks(pattern, &after).is_none() {
                    return Some(false);
                }
            } else if moves > 1 && !after.legal_moves().is_empty() {
                match court.is_mated_within(&after, moves - 1, NODES).verdict {
                    Verdict::Holds => {
                        waiting.extend(replies(&after).into_iter().map(|next| (next, moves - 1)));
                    }
                    Verdict::Unsettled => return None,
                    Verdict::Fails => {}
                }
            }
        }
    }
    Some(true)
}
