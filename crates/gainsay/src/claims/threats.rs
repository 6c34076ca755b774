//! Threats.

use gainsay_commentary::{At, Goods, Noun, Nuance, Passing, Relation, Target, Tense, Threat};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Move, Position, Square};

use super::{
    answer::{Answer, Court, Forced},
    cited::settle_line,
    gains::{gains_now, settle_gain},
    nouns::{aims, squares},
    readings::{MateReading, any_holds, ask, holds, is_begun_otherwise},
    relations::{relates, settle_relation},
};
use crate::{
    outcome::{Line, MateWhy, PieceWhy, Side},
    question::Question,
    resolve::{pass, played},
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// A threat of mate that the text claims is not there.
    ///
    /// A threat is what would happen if the other side passed: the side to move passes,
    /// and the mate is looked for. A defence against the threat does not make it false.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Bc4 Nc6 {Now White threatens mate in two.} 3. Nf3 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Bc4 Nc6 3. Qh5 {White threatens mate.} g6 *
    /// ```
    FALSE_THREAT = "false-threat", Severity::Error
}

/// "Threatens mate" without a number means a mate of few moves.
pub(super) const THREAT: u32 = 4;

/// In so many moves a threat of mate without a number is looked for before it is denied.
const LONG_THREAT: u32 = 8;

/// Settles a claim about a threat.
pub(super) fn settle_threat(question: &Question, threat: &Threat, court: &mut Court<'_>) -> Answer {
    match threat {
        Threat::Mate(moves) => settle_mate_threat(question, *moves, court),
        Threat::MateOn(square) => settle_mate_threat_on(question, *square, court),
        Threat::Line => settle_threat_of_line(question),
        Threat::Pieces(targets) => settle_relation(
            question,
            gainsay_commentary::Relation::Attacked,
            None,
            targets,
        ),
        Threat::Gain(goods) => settle_threat_of_gain(question, *goods, court),
        Threat::Relation(relation, targets) => settle_threat_of(question, *relation, targets),
        Threat::Any => Answer::unsettled(),
    }
}

/// A threat of mate: the side to move passes, and the other mates. Said of either
/// side, at the comment, just before it, just after it, and at the end of the line it
/// leans on; a defence that exists does not make it less of a threat.
fn settle_mate_threat(question: &Question, moves: Option<u32>, court: &mut Court<'_>) -> Answer {
    if moves.is_some_and(|moves| moves == 0 || moves > 200) {
        return Answer::unsettled();
    }
    let scene = &question.comment.scene;
    let within = moves.unwrap_or(THREAT);
    let mut readings: Vec<MateReading> = Vec::new();
    let mut add = |position: Option<Chess>, confirms: bool| {
        if let Some(position) = position
            && !readings.iter().any(|known| known.position == position)
        {
            readings.push(MateReading {
                made: 0,
                confirms,
                position,
                attacks: true,
                moves: within,
            });
        }
    };
    if let Some(line) = question.line() {
        for steps in &line.readings {
            if let (Some(first), Some(last)) = (steps.first(), steps.last()) {
                if matches!(question.claim.at, At::Shown(_)) {
                    add(Some(first.before.clone()), true);
                }
                add(pass(&last.after), true);
                add(Some(last.after.clone()), true);
                add(Some(first.before.clone()), true);
            }
        }
    }
    let of_its_line = question.goes_on_from_its_line();
    if !of_its_line {
        add(scene.passed(), true);
        add(Some(scene.here.clone()), true);
    }
    // What was threatened may have been stopped a few moves ago.
    let told = question.claim.wording.has(Nuance::Told);
    let was = told || question.claim.tense != Tense::Present;
    let back = if of_its_line {
        0
    } else if told || question.claim.tense == Tense::Past {
        6
    } else {
        2
    };
    let beside = if of_its_line { 0 } else { 2 };
    for position in scene
        .back
        .iter()
        .take(back)
        .chain(scene.ahead.iter().take(beside))
        .chain(scene.beside.iter().take(beside))
    {
        // In the present it is one only if it is one still.
        add(pass(position), was);
        add(Some(position.clone()), was);
    }
    if let Some(side) = question.winner() {
        readings.retain(|reading| reading.winner() == side);
    }
    if question.denied() || question.line_is_lost() || checks(question, &readings) {
        return any_holds(question, &readings, court).unwrap_or_else(Answer::unsettled);
    }
    let mut failed: Option<(usize, Forced)> = None;
    for (at, reading) in readings.iter().enumerate() {
        let forced = ask(court, reading);
        match forced.verdict {
            Verdict::Holds if is_begun_otherwise(question, reading, court) => {
                return Answer::unsettled();
            }
            Verdict::Holds if !reading.confirms => return Answer::unsettled(),
            Verdict::Holds => return holds(reading, &forced),
            Verdict::Unsettled => return Answer::unsettled(),
            Verdict::Fails => {
                if failed.is_none() {
                    failed = Some((at, forced));
                }
            }
        }
    }
    let Some((at, forced)) = failed else {
        return Answer::unsettled();
    };
    let Some(reading) = readings.get(at) else {
        return Answer::unsettled();
    };
    // Who gives no number may mean a mate that takes longer.
    let longer = |reading: &MateReading| MateReading {
        moves: LONG_THREAT,
        ..reading.clone()
    };
    if moves.is_none()
        && (readings.iter()).any(|reading| ask(court, &longer(reading)).verdict == Verdict::Holds)
    {
        return Answer::unsettled();
    }
    let shown = Line::new(&reading.position, &forced.line);
    let why = MateWhy::NoMateThreat {
        side: Side(reading.winner()),
        moves,
        within: THREAT,
        defence: shown.clone(),
    };
    Answer::refuted(why, &reading.position, shown).by_search(court.spent())
}

/// "Threatens mate on g7": a move to that square mates at once. Where another does, or the
/// mate takes longer, nobody knows what is meant.
fn settle_mate_threat_on(question: &Question, square: Square, court: &mut Court<'_>) -> Answer {
    if !question.denied() && !question.line_is_lost() {
        for position in passes(question) {
            let mates = |m: &Move| m.to() == square && played(&position, *m).is_checkmate();
            if let Some(m) = position.legal_moves().into_iter().find(mates) {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(Line::new(&position, &[m]));
            }
        }
    }
    let answer = settle_mate_threat(question, None, court);
    match answer.verdict {
        Verdict::Holds => Answer::unsettled(),
        _ => answer,
    }
}

/// Whether a pass is impossible at the comment, so that its threat cannot be told.
fn checks(question: &Question, readings: &[MateReading]) -> bool {
    readings.is_empty() || question.line().is_none() && question.comment.scene.here.is_check()
}

/// The positions in which a side could carry out its threat now: after a pass of the
/// other at the end of the line, at the comment, and just before it.
fn passes(question: &Question) -> Vec<Chess> {
    let scene = &question.comment.scene;
    let lines = question.line().into_iter().flat_map(|line| &line.readings);
    let ends = lines.filter_map(|steps| Some((steps.first()?, steps.last()?)));
    let mut found: Vec<Chess> = Vec::new();
    for (first, last) in ends {
        match question.claim.at {
            At::Shown(_) => found.push(first.before.clone()),
            _ => found.extend(pass(&last.after)),
        }
    }
    if found.is_empty() {
        let before = scene.before();
        found.extend(scene.passed());
        found.push(scene.here.clone());
        // "Was threatening mate" may tell of what the move just played has stopped.
        let was =
            question.claim.tense != Tense::Present || question.claim.wording.has(Nuance::Told);
        found.extend(before.and_then(pass).filter(|_| was));
    }
    if let Some(side) = question.winner() {
        found.retain(|position| position.turn() == side);
    }
    found
}

/// "Threatens to win the queen": the line or the game shows it, or best play after a pass
/// does.
fn settle_threat_of_gain(question: &Question, what: Goods, court: &mut Court<'_>) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    if !matches!(question.claim.at, At::Shown(_)) {
        for position in passes(question).into_iter().take(2) {
            let winner = position.turn();
            if let Some(answer) = gains_now(&position, what, winner, court) {
                return answer;
            }
        }
    }
    // What was won before the comment is threatened no more.
    match question.claim.at {
        At::Here => Answer::unsettled(),
        _ => settle_gain(question, what, Passing::Won, court),
    }
}

/// "Threatens to fork king and queen": a move of the threatening side does it, by the
/// piece that moves or one it makes way for, and is not simply answered by its capture. It
/// fails where no two moves of that side running do it.
fn settle_threat_of(question: &Question, relation: Relation, targets: &[Target]) -> Answer {
    let passes = passes(question);
    if question.denied() || question.line_is_lost() || passes.is_empty() {
        return Answer::unsettled();
    }
    let told = match question.claim.at {
        At::Shown(_) => question.line().map(|line| &line.readings),
        _ => None,
    };
    let mut possible = false;
    for position in &passes {
        for m in position.legal_moves() {
            let done = played(position, m);
            if !does(question, position, m, &done, relation, targets) {
                continue;
            }
            possible = true;
            // What is said to be done by another move is not done by this one.
            let named = told.is_none_or(|readings| {
                let mut firsts = readings.iter().filter_map(|steps| steps.first());
                firsts.any(|step| step.mv == Some(m))
            });
            if named && facts::exchange_of(position, m) >= 0 {
                return Answer::new(Verdict::Holds)
                    .on(position)
                    .shown_by(Line::new(position, &[m]));
            }
        }
    }
    let in_two = |position: &Chess| {
        position.legal_moves().into_iter().any(|first| {
            let Some(again) = pass(&played(position, first)) else {
                // Behind a check nobody knows where the king will stand.
                return true;
            };
            again.legal_moves().into_iter().any(|second| {
                does(
                    question,
                    &again,
                    second,
                    &played(&again, second),
                    relation,
                    targets,
                )
            })
        })
    };
    let placed = |target: &Target| matches!(target, Target::Piece(noun) if noun.role.is_some());
    let exact = matches!(relation, Relation::Forks | Relation::Pins)
        && targets
            .iter()
            .all(|target| placed(target) || matches!(target, Target::Square(_)));
    let Some(first) = passes.first() else {
        return Answer::unsettled();
    };
    // What is not on the board needs no move to be told.
    let absent = targets.iter().any(|target| {
        let enemies = |position: &Chess| {
            let board = position.board();
            (aims(board, target) & board.by_color(!position.turn())).any()
        };
        matches!(target, Target::Piece(noun) if noun.square.is_none())
            && !passes.iter().any(enemies)
    });
    if possible
        || !exact
        || told.is_some()
        || question.winner().is_none()
        || question.comment_cites_loosely()
        || !absent && passes.iter().any(in_two)
    {
        return Answer::unsettled();
    }
    let side = Side(first.turn());
    let shown = Line::new(first, first.legal_moves().get(..1).unwrap_or_default());
    Answer::refuted(PieceWhy::NoMoveDoes { side }, first, shown)
}

/// Whether a move brings a relation about that was not there before.
fn does(
    question: &Question,
    before: &Chess,
    m: Move,
    after: &Chess,
    relation: Relation,
    targets: &[Target],
) -> bool {
    let (first, rest) = match targets.split_last() {
        // "Fork king and queen on f6": the fork is there, or the queen.
        Some((Target::Square(square), rest)) if !rest.is_empty() => (*square == m.to(), rest),
        _ => (true, targets),
    };
    if relation == Relation::Forks {
        let board = after.board();
        let hit = facts::fork_targets(board, m.to());
        return match rest {
            [Target::Square(square)] => *square == m.to() && hit.count() >= 2,
            _ => {
                let hits = |square: Option<Square>| {
                    rest.iter().all(|target| {
                        let aims = match target {
                            Target::Piece(noun) if square.is_some() => squares(
                                board,
                                &Noun {
                                    square: None,
                                    ..*noun
                                },
                            ),
                            target => aims(board, target),
                        };
                        (facts::attacked_pieces(board, m.to()) & aims).any()
                    })
                };
                let place = rest.iter().rev().find_map(|target| match target {
                    Target::Piece(noun) => noun.square,
                    Target::Square(_) => None,
                });
                first && (hits(None) || place == Some(m.to()) && hits(place))
            }
        };
    }
    first
        && relates(question, after, relation, None, rest)
        && !relates(question, before, relation, None, rest)
}

/// A threat by a line is there where the line can be played and its signs are true.
/// What is wrong with the line is told once, at the line.
fn settle_threat_of_line(question: &Question) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    let mut answer = settle_line(question);
    answer.faults.clear();
    // What only loses wood on its square may be a move, but is hardly a threat.
    let loses = |step: &Step| {
        let (before, after) = (&step.before, &step.after);
        step.mv
            .is_some_and(|m| !after.is_check() && facts::exchange_of(before, m) < 0)
    };
    let readings = question.line().map_or(&[][..], |line| &line.readings);
    if !readings.is_empty()
        && (readings.iter()).all(|steps| matches!(&steps[..], [only] if loses(only)))
    {
        return Answer::unsettled();
    }
    answer
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn a_threat_of_mate_is_played_after_a_pass() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 e5 2. Qh5 Nc6 3. Bc4",
            &[
                ("White [threatens mate].", Holds),
                ("Black [threatens mate].", Fails),
            ],
        );
    }
    /// A queen mates a bare king within ten moves (tables of endings; from memory).
    #[test]
    fn a_threat_without_a_number_may_take_longer() {
        use Verdict::{Fails, Unsettled};
        all(
            "8/8/8/4k3/8/8/Q7/K7 w - - 0 30 | 30. Qe2+ Kd5",
            &[
                ("White [threatens mate].", Unsettled),
                ("White [threatens mate in two].", Fails),
            ],
        );
    }
}
