//! Verdicts on positions, by search and with a margin.

use super::{
    answer::{Answer, Court},
    denied::settle_denied,
    endings::judge_ending,
    margins::{CLEARLY, JUDGEMENT, LARGER, LEVEL_NODES, WON},
};
use gainsay_commentary::{At, Nuance, Standing, Subject, Tense};
use gainsay_proof::{
    Verdict, facts,
    search::{Settings as Margin, Value},
};
use shakmaty::{Chess, Color, Move, Position, Rank, Square};

use crate::{
    outcome::{Line, Man, MoveWhy, Side, Why},
    question::{GLYPH, Question},
    rule::{Severity, rule},
};

rule! {
    /// A verdict on the position that the position contradicts.
    ///
    /// Found by search, and told only where the side that is called better, or the equal
    /// position, is clearly lost: two pawns and more. Nothing that authors argue about.
    ///
    /// A side that is called winning in words has nothing, besides, where both have the same
    /// pieces and pawns and more than a rook and a minor piece each, nothing can be taken with
    /// profit, and searches of three sizes give it less than half a pawn.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {White is winning.} *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Qh5 Nc6 3. Qxf7+ Kxf7 {Black is winning.} *
    /// ```
    FALSE_VERDICT = "false-verdict", Severity::Warning
}

/// Settles "White is better" and its like, by search and with a margin. It is said of
/// the end of the line it leans on, of the position of the comment, or, told of the
/// past, of the one before. It holds if it is true of one of them, and fails only if it
/// is false of all.
pub(super) fn settle_standing(
    question: &Question,
    standing: Standing,
    court: &mut Court<'_>,
) -> Answer {
    let scene = &question.comment.scene;
    // Before the first move a text speaks of the game to come.
    if scene.before().is_none() && scene.here.board() == Chess::default().board() {
        return Answer::unsettled();
    }
    let end = question
        .line()
        .and_then(|line| line.readings.first())
        .and_then(|steps| steps.last())
        .map(|step| &step.after);
    let mut positions: Vec<&Chess> = match question.claim.at {
        At::End(_) | At::Subject(_) => end.into_iter().collect(),
        At::Here => vec![&scene.here],
        At::Shown(_) | At::Near(_) => std::iter::once(&scene.here).chain(end).collect(),
    };
    if let Some(places) = question.told_of() {
        positions = places.into_iter().take(3).collect();
    }
    if positions.is_empty() && question.claim.at != At::Here && question.line().is_none() {
        positions.push(&scene.here);
    }
    if question.claim.tense == Tense::Past && question.claim.at == At::Here {
        positions.extend(scene.before());
    }
    if question.denied() {
        return settle_denied(question, &positions, standing, court);
    }
    let named = match (question.claim.subject, standing) {
        (Subject::Side(color), _) => Some(color),
        (_, Standing::Equal | Standing::Drawn) => Some(Color::White),
        _ => None,
    };
    let answer = judged(question, &positions, named, standing, court);
    if question.is_glyph() {
        with_remedy(question, answer)
    } else {
        answer
    }
}

/// Judges the positions for the side that is named.
fn judged(
    question: &Question,
    positions: &[&Chess],
    named: Option<Color>,
    standing: Standing,
    court: &mut Court<'_>,
) -> Answer {
    let mut failed: Option<Answer> = None;
    let mut unsettled = false;
    for position in positions {
        let answer = match named {
            Some(side) => {
                let first = if question.is_glyph() {
                    GLYPH
                } else {
                    JUDGEMENT
                };
                judge_by(position, side, standing, first, court)
            }
            None => judge_either(position, standing, court),
        };
        match answer.verdict {
            Verdict::Holds => return answer,
            Verdict::Unsettled => unsettled = true,
            Verdict::Fails => failed = failed.or(Some(answer)),
        }
    }
    if failed.is_none()
        && let Some(side) = named
        && let Some(answer) = judge_level(question, positions, side, standing, court)
    {
        return answer;
    }
    failed
        .filter(|_| !unsettled)
        .unwrap_or_else(Answer::unsettled)
}

/// The finding that a side which is called winning has nothing: the wood is level, all
/// pieces but a few are on, and searches of three sizes see less than half a pawn.
/// Signs such as `+-` in prose are left to the author.
fn judge_level(
    question: &Question,
    positions: &[&Chess],
    side: Color,
    standing: Standing,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let winner = match standing {
        Standing::Winning => side,
        Standing::Lost => !side,
        _ => return None,
    };
    // Nor is what is won "strategically" told.
    let loosely = question.claim.wording.has(Nuance::Loosely);
    if question.claim.wording.has(Nuance::Sign) && !question.is_glyph()
        || loosely
        || !question.claim.closed
        || question.claim.tense != Tense::Present
        || question.line_is_lost()
    {
        return None;
    }
    let mut shown: Option<Answer> = None;
    for position in positions {
        let moves = level(position, winner, court)?;
        let line = Line::new(position, &moves);
        let shown_by = line.clone();
        let why = MoveWhy::AboutLevel { line };
        shown = shown.or_else(|| Some(Answer::refuted(why, position, shown_by)));
    }
    shown
}

/// Judges a position for a side that is not named ("I am lost"): it holds if it is
/// clearly true of one side, and never fails.
fn judge_either(position: &Chess, standing: Standing, court: &mut Court<'_>) -> Answer {
    let margin = Margin::default().margin;
    let least = match standing {
        Standing::Winning | Standing::Lost => WON,
        Standing::MuchBetter | Standing::MuchWorse => 2 * margin,
        Standing::Better | Standing::Worse => margin,
        Standing::Equal | Standing::Drawn | Standing::Unclear => return Answer::unsettled(),
    };
    if position.legal_moves().is_empty() {
        return Answer::unsettled();
    }
    for side in Color::ALL {
        if let Some(answer) = judge_ending(position, side, standing, court)
            && answer.verdict == Verdict::Holds
        {
            return answer;
        }
    }
    match court.value(position, JUDGEMENT) {
        Some((value, moves, true)) if value.centipawns().abs() >= least => {
            Answer::new(Verdict::Holds)
                .on(position)
                .shown_by(Line::new(position, &moves))
        }
        _ => Answer::unsettled(),
    }
}

/// Judges a position for `side`.
pub(super) fn judge(
    position: &Chess,
    side: Color,
    standing: Standing,
    court: &mut Court<'_>,
) -> Answer {
    judge_by(position, side, standing, JUDGEMENT, court)
}

/// The same by a first search of so many nodes.
fn judge_by(
    position: &Chess,
    side: Color,
    standing: Standing,
    nodes: u64,
    court: &mut Court<'_>,
) -> Answer {
    if position.legal_moves().is_empty() {
        let won = position.is_checkmate().then(|| !position.turn());
        let holds = match standing {
            Standing::Winning => won == Some(side),
            Standing::Lost => won == Some(!side),
            Standing::Drawn => won.is_none(),
            _ => false,
        };
        return if holds {
            Answer::new(Verdict::Holds).on(position)
        } else {
            Answer::unsettled()
        };
    }
    if let Some(answer) = judge_ending(position, side, standing, court) {
        return answer;
    }
    let dead = Color::ALL.map(|side| facts::can_never_mate(position, side));
    if standing == Standing::Drawn && dead == [true; 2] {
        return Answer::new(Verdict::Holds).on(position);
    }
    let winner = match standing {
        Standing::Winning => Some(side),
        Standing::Lost => Some(!side),
        _ => None,
    };
    if let Some(winner) = winner.filter(|&winner| facts::can_never_mate(position, winner)) {
        let own = position.board().by_color(winner);
        let why = MoveWhy::CannotWin {
            side: Side(winner),
            only: Man::all(position.board(), own),
        };
        return Answer::refuted(why, position, Line::new(position, &[]));
    }
    let for_side = |value: Value| {
        if position.turn() == side {
            value.centipawns()
        } else {
            -value.centipawns()
        }
    };
    // A first search that is clear decides, unless the claim would fail.
    let clear = |value| {
        let (holds, fails) = decide(standing, for_side(value), CLEARLY);
        let (may_hold, may_fail) = decide(standing, for_side(value), -2 * CLEARLY);
        let drawish = matches!(standing, Standing::Equal | Standing::Drawn);
        holds || !drawish && !may_hold && !may_fail && !fails
    };
    let Some((value, moves, sure)) = court.value_unless(position, nodes, &clear) else {
        return Answer::unsettled();
    };
    let value = for_side(value);
    let (holds, fails) = decide(standing, value, 0);
    let shown = Line::new(position, &moves);
    if holds && sure {
        return Answer::new(Verdict::Holds).on(position).shown_by(shown);
    }
    if !fails || !sure {
        return Answer::unsettled();
    }
    let Some((value, shown)) = confirmed(position, standing, value, &for_side, nodes, court) else {
        return Answer::unsettled();
    };
    let winner = if value > 0 { side } else { !side };
    let why = MoveWhy::MuchBetter {
        side: Side(winner),
        line: shown.clone(),
    };
    Answer::refuted(why, position, shown)
}

/// What a larger search makes of a verdict that a first one calls false: the value and the best
/// line, if it says so too, by as much more as the two searches differ.
fn confirmed(
    position: &Chess,
    standing: Standing,
    first: i32,
    for_side: &dyn Fn(Value) -> i32,
    nodes: u64,
    court: &mut Court<'_>,
) -> Option<(i32, Line)> {
    let nodes = LARGER * nodes;
    if court.left() < nodes {
        return None;
    }
    let later = court.best(position, 1, nodes).into_iter().next()?;
    let value = for_side(later.value);
    // Beyond a queen's worth no difference matters.
    let differ = (value.clamp(-900, 900) - first.clamp(-900, 900)).abs();
    let (_, fails) = decide(standing, value, differ);
    fails.then(|| (value, Line::new(position, &later.moves)))
}

/// Offers the glyph that fits in the place of one that does not, written like it.
fn with_remedy(question: &Question, mut answer: Answer) -> Answer {
    let Some(fault) = answer.faults.pop() else {
        return answer;
    };
    let winner = match &fault.why {
        Why::Move(MoveWhy::MuchBetter { side, .. }) => Some(Some(side.0)),
        Why::Move(MoveWhy::EndingIs { winner, .. }) => Some(winner.as_ref().map(|side| side.0)),
        Why::Move(MoveWhy::AboutLevel { .. }) => Some(None),
        _ => None,
    };
    let fits = winner.map(|winner| match winner {
        Some(Color::White) => ("$18", "+-"),
        Some(Color::Black) => ("$19", "-+"),
        None => ("$10", "="),
    });
    let end = u32::try_from(question.text.len()).unwrap_or(u32::MAX);
    answer.faults.push(match fits {
        Some((number, _)) if question.text.starts_with('$') => fault.or(0..end, number),
        Some((_, symbol)) => fault.or(0..end, symbol),
        None => fault,
    });
    answer
}

/// The best line of a level position: neither side has more wood, each has at least rook and
/// minor piece besides its pawns, nothing can be taken with profit, `winner` has no passed pawn
/// far up, and less than half a pawn by searches of three sizes. In endings and where wood was
/// given for an attack nothing is called level.
fn level(position: &Chess, winner: Color, court: &mut Court<'_>) -> Option<Vec<Move>> {
    const LEVEL: i32 = 40;
    const PIECES: i32 = 8;
    let board = position.board();
    let full = |color: Color| {
        let own = board.by_color(color) & !board.pawns() & !board.kings();
        let worth = own.into_iter().filter_map(|square| board.role_at(square));
        worth.map(facts::role_value).sum::<i32>() >= PIECES * 100
    };
    let difference = facts::difference(board, winner);
    let far = |pawn: Square| winner.relative_rank(pawn.rank()) >= Rank::Sixth;
    let tense = (board.occupied() & !board.kings())
        .into_iter()
        .any(|square| facts::hanging(board, square));
    if !difference.is_level()
        || !difference.pieces_level()
        || position.is_check()
        || tense
        || facts::passed_pawns(board, winner).into_iter().any(far)
        || !Color::ALL.into_iter().all(full)
    {
        return None;
    }
    if court.left() < LEVEL_NODES {
        return None;
    }
    let mut found = None;
    for nodes in [JUDGEMENT / 4, JUDGEMENT, 3 * JUDGEMENT] {
        let line = court.best(position, 1, nodes).into_iter().next()?;
        let value = if position.turn() == winner {
            line.value
        } else {
            line.value.reversed()
        };
        if value.centipawns() > LEVEL {
            return None;
        }
        found = Some(line.moves);
    }
    found
}

/// Whether a verdict on a side holds and fails at `value` for it, in centipawns, each by
/// `beyond` more than is asked: it holds within what authors call so, and fails only where
/// the other side has clearly more.
fn decide(standing: Standing, value: i32, beyond: i32) -> (bool, bool) {
    let margin = Margin::default().margin;
    let least = |bound: i32| value >= bound + beyond;
    let most = |bound: i32| value <= bound - beyond;
    match standing {
        Standing::Winning => (least(WON), most(-WON)),
        Standing::MuchBetter => (least(2 * margin), most(-WON)),
        Standing::Better => (least(1), most(-WON)),
        // That a position is drawn takes more than a value.
        Standing::Equal | Standing::Drawn => (
            standing == Standing::Equal && value.abs() <= margin - beyond,
            value.abs() >= 3 * WON + beyond,
        ),
        Standing::Worse => (most(-1), least(WON)),
        Standing::MuchWorse => (most(-2 * margin), least(WON)),
        Standing::Lost => (most(-WON), least(WON)),
        Standing::Unclear => (false, false),
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn a_side_that_is_far_ahead_is_winning() {
        use Verdict::{Fails, Holds};
        all(
            "4k3/8/8/8/8/8/4P3/Q3K3 w - - 0 1 | 1. Qa5 Kf7",
            &[
                ("White [is winning].", Holds),
                ("Black [is winning].", Fails),
            ],
        );
    }
}
