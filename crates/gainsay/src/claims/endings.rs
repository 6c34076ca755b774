//! Verdicts on endings that a table tells exactly.

use gainsay_commentary::{Quality, Standing};
use gainsay_proof::{Verdict, endings::Wdl};
use shakmaty::{Chess, Color, Move, Position};

use super::answer::{Answer, Court};
use crate::{
    outcome::{Line, MoveWhy, Side},
    question::Question,
    resolve::played,
};

/// What a line may cost where the tables give none.
const LINE: u64 = 30_000;

/// Judges an ending for `side`; `None` when no table tells, or what it tells does not
/// decide: a side can well stand better in a drawn ending.
pub(super) fn judge_ending(
    position: &Chess,
    side: Color,
    standing: Standing,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let (ending, line) = court.ending(position, LINE)?;
    let outcome = if position.turn() == side {
        ending.outcome
    } else {
        ending.outcome.reversed()
    };
    let verdict = decide(standing, outcome)?;
    let shown = Line::new(position, &line);
    if verdict == Verdict::Holds {
        return Some(Answer::new(verdict).on(position).shown_by(shown));
    }
    let winner = match outcome {
        Wdl::Draw => None,
        Wdl::Win => Some(Side(side)),
        Wdl::Loss => Some(Side(!side)),
    };
    let line = shown.clone();
    Some(Answer::refuted(
        MoveWhy::EndingIs { winner, line },
        position,
        shown,
    ))
}

/// Praise or blame of a move in an ending that is known exactly, where the outcome
/// decides it; `None` where it does not.
pub(super) fn judge_move_of_ending(
    question: &Question,
    quality: Quality,
    position: &Chess,
    m: Move,
    court: &mut Court<'_>,
) -> Option<Option<Answer>> {
    let (before, line) = court.ending(position, LINE)?;
    let after = played(position, m);
    let (reply, _) = court.ending(&after, LINE)?;
    let own = reply.outcome.reversed();
    let spoiled = own != before.outcome;
    match quality {
        Quality::Wins if own == Wdl::Win || question.line().is_some() => {
            let side = position.turn();
            Some(judge_ending(&after, side, Standing::Winning, court))
        }
        Quality::Wins => Some(None),
        Quality::Mistake | Quality::Blunder | Quality::Missed => Some(spoiled.then(|| {
            Answer::new(Verdict::Holds)
                .on(position)
                .shown_by(Line::new(position, &line))
        })),
        Quality::Best | Quality::Better | Quality::Good if spoiled => Some(None),
        Quality::Best | Quality::Better | Quality::Good => None,
    }
}

/// Whether no other move than `m` keeps what an ending is worth, by the tables, and with it
/// the best play; `None` where they do not tell, where all is lost, or `m` loses it.
pub(super) fn keeps_alone(
    position: &Chess,
    m: Move,
    court: &mut Court<'_>,
) -> Option<(bool, Vec<Move>)> {
    let (here, line) = court.ending(position, LINE)?;
    if here.outcome == Wdl::Loss {
        return None;
    }
    let mut keeping = Vec::new();
    for other in position.legal_moves() {
        let after = played(position, other);
        if court.outcome(&after)?.reversed() == here.outcome {
            keeping.push(other);
        }
    }
    keeping.contains(&m).then_some((keeping.len() == 1, line))
}

/// Whether a side stands as is said, if the outcome for it decides that.
const fn decide(standing: Standing, outcome: Wdl) -> Option<Verdict> {
    use Standing::{Better, Drawn, Equal, Lost, MuchBetter, MuchWorse, Unclear, Winning, Worse};
    use Wdl::{Draw, Loss, Win};
    match (standing, outcome) {
        (Winning | MuchBetter | Better, Win)
        | (Equal | Drawn, Draw)
        | (Lost | MuchWorse | Worse, Loss) => Some(Verdict::Holds),
        (Winning, Draw | Loss)
        | (MuchBetter | Better, Loss)
        | (Equal | Drawn, Win | Loss)
        | (Lost, Draw | Win)
        | (MuchWorse | Worse, Win) => Some(Verdict::Fails),
        (MuchBetter | Better | MuchWorse | Worse, Draw) | (Unclear, _) => None,
    }
}
