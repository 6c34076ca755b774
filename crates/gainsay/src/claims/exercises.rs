//! Exercises: whether one is sound, and whether its printed solution is.
//!
//! What makes an exercise sound is said in the terms of the Codex for Chess Composition of the WFCC:
//! the author's solution is to be the only one (article 8); another first move that fulfils the task is
//! a second solution, a cook (article 9); a second way later in the solution is a dual (article 10).

use std::borrow::Cow;

use gainsay_commentary::{ClaimKind, Mate, Stipulation};
use gainsay_proof::{MatingMove, Verdict, endings::Wdl};
use shakmaty::{Chess, Move, Position};

use super::answer::{Answer, Court};
use crate::{
    outcome::{Exercise, ExerciseWhy, Fault, Judged, Line, MateWhy, Side},
    question::{Given, GivenMove, Question},
    resolve::played,
    rule::{Severity, rule},
};

rule! {
    /// An exercise has a second solution.
    ///
    /// A position that is set up, with the task to mate in so many moves, promises one first move that
    /// does it (Codex for Chess Composition of the WFCC, articles 8 and 9: with another one the
    /// problem is cooked). A solver who finds the other one is marked wrong. The
    /// evidence is the other first moves with what they lead to.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R2QK3 w - - 0 1"]
    ///
    /// {White to move and mate in one.} 1. Ra8# 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White to move and mate in one.} 1. Ra8# 1-0
    /// ```
    SECOND_SOLUTION = "second-solution", Severity::Warning
}

rule! {
    /// The first move of a printed solution does not solve the exercise.
    ///
    /// The task can be solved, but not by the move that is printed. The evidence is the defence that
    /// holds out, and the moves that do solve it are named.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White to move and mate in one.} 1. Ra7 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White to move and mate in one.} 1. Ra8# 1-0
    /// ```
    FALSE_KEY = "false-key", Severity::Error
}

rule! {
    /// A printed solution leaves a defence unanswered.
    ///
    /// Where a solution gives answers to several replies, a reader takes the others to be met by one of
    /// the moves that are printed. This one is not: none of them mates behind it.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "3N3k/5p1p/R7/1Q6/8/7P/8/6K1 w - - 0 1"]
    ///
    /// {White to move and mate in two.} 1. Qg5 f6 (1... f5 2. Nf7#) 2. Nf7# 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "3N3k/5p1p/R7/1Q6/8/7P/8/6K1 w - - 0 1"]
    ///
    /// {White to move and mate in two.} 1. Qg5 f6 (1... f5 2. Nf7#) (1... h6 2. Rxh6#)
    /// (1... h5 2. Rh6#) 2. Nf7# 1-0
    /// ```
    MISSING_DEFENCE = "missing-defence", Severity::Information
}

rule! {
    /// A printed solution is not as long as the task says.
    ///
    /// It ends before the mate, or mates in another number of moves: either a move is missing, or the
    /// defence that is shown is not the longest.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/8/8/8/8/6R1 w - - 0 1"]
    ///
    /// {White to move and mate in two.} 1. Kf7 Kh7 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "7k/8/5K2/8/8/8/8/6R1 w - - 0 1"]
    ///
    /// {White to move and mate in two.} 1. Kf7 Kh7 2. Rh1# 1-0
    /// ```
    SOLUTION_LENGTH = "solution-length", Severity::Information
}

/// No more first moves are named.
const NAMED: usize = 4;

/// The task to mate in so many moves, with the printed solution.
struct Problem<'e> {
    position: &'e Chess,
    moves: u32,
    given: &'e Given,
    /// The main line of the solution.
    line: Vec<&'e GivenMove>,
    /// How many solutions the text says that there are; 0 for several.
    solutions: Option<u32>,
}

/// The first moves that solve a problem.
struct Keys {
    moves: Vec<Move>,
    /// Whether all first moves were settled.
    complete: bool,
}

/// Which first moves mate in so many moves?
fn keys(position: &Chess, moves: u32, court: &mut Court<'_>) -> Keys {
    let firsts = position.legal_moves();
    let nodes = court.left() / (firsts.len() as u64).max(1);
    let told = court.mating_moves(position, &firsts, moves, nodes);
    let holds = told.iter().filter(|told| told.verdict == Verdict::Holds);
    Keys {
        moves: holds.map(|told| told.first).collect(),
        complete: !told.iter().any(MatingMove::is_open),
    }
}

/// Whether a claim says what is to be done in the position of an exercise.
pub(super) const fn asks(question: &Question) -> bool {
    matches!(
        question.claim.kind,
        ClaimKind::Stipulation(_) | ClaimKind::Mate(Mate::In { .. })
    )
}

/// The task of an exercise that is not judged, which stands in the table nevertheless.
pub(super) fn left_open(question: &Question, mut judged: Judged) -> Judged {
    if let Some((_, _, given)) = posed(question) {
        let number = given.number;
        judged.exercise = Some(Box::new(Exercise {
            number,
            ..Exercise::default()
        }));
    }
    judged
}

/// What is wrong with the exercise that a claim poses, beside the answer to the claim itself, and what
/// else is known of it.
pub(super) fn examine(question: &Question, answer: &mut Answer, court: &mut Court<'_>) {
    let Some((position, task, given)) = posed(question) else {
        return;
    };
    let mut exercise = Exercise {
        number: given.number,
        ..Exercise::default()
    };
    let line = given.main_line(&position);
    let own = line.iter().step_by(2);
    let quiet = own.filter(|given| !given.mv.is_capture() && !given.after.is_check());
    exercise.quiet = u32::try_from(quiet.count()).unwrap_or(u32::MAX);
    exercise.printed = (!line.is_empty()).then(|| shown(&position, &line));
    match task {
        Task::Mate(moves) => {
            let problem = Problem {
                position: &position,
                moves,
                given: &given,
                line,
                solutions: question.comment.solutions,
            };
            mate(question, answer, &problem, &mut exercise, court);
        }
        Task::Win | Task::Draw => {
            let wanted = if task == Task::Win {
                Wdl::Win
            } else {
                Wdl::Draw
            };
            let told: Option<Vec<(Move, bool)>> = (position.legal_moves().into_iter())
                // A win is a win, whatever the count of moves.
                .map(|m| {
                    Some((
                        m,
                        court.outcome(&played(&position, m))?.reversed() == wanted,
                    ))
                })
                .collect();
            exercise.complete = told.is_some();
            let keys = told.into_iter().flatten().filter(|(_, fits)| *fits);
            exercise.keys = keys.map(|(m, _)| Line::new(&position, &[m])).collect();
        }
    }
    answer.exercise = Some(Box::new(exercise));
}

/// The task to mate in so many moves.
fn mate(
    question: &Question,
    answer: &mut Answer,
    problem: &Problem<'_>,
    exercise: &mut Exercise,
    court: &mut Court<'_>,
) {
    let &Problem {
        position, moves, ..
    } = problem;
    exercise.moves = Some(moves);
    // "Mate in three" over an exercise is said of the side to move.
    if answer.verdict == Verdict::Unsettled && question.comment.given.is_some() {
        let found = court.mates(position, moves);
        let sooner = found.moves.filter(|&least| found.exact && least < moves);
        if let Some(least) = sooner.filter(|_| found.verdict == Verdict::Holds) {
            let line = Line::new(position, &found.line);
            let why = MateWhy::MateSooner {
                side: Side(position.turn()),
                moves: least,
                line: line.clone(),
            };
            *answer = Answer::refuted(why, position, line);
        }
    }
    if answer.verdict != Verdict::Holds {
        return;
    }
    let keys = keys(position, moves, court);
    exercise.complete = keys.complete;
    let first = |&key: &Move| Line::new(position, &[key]);
    exercise.keys = keys.moves.iter().map(first).collect();
    answer.faults.extend(faults(problem, &keys, court));
    exercise.duals = duals(problem, court);
    if moves == 2 && keys.complete {
        exercise.tries = tries(position, &keys.moves, court);
    }
}

/// A printed line as it is shown.
fn shown(position: &Chess, line: &[&GivenMove]) -> Line {
    let moves: Vec<Move> = line.iter().map(|given| given.mv).collect();
    Line::new(position, &moves)
}

/// What an exercise asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Task {
    Mate(u32),
    Win,
    Draw,
}

/// The exercise that a claim poses: its position, the task, and the solution.
fn posed(question: &Question) -> Option<(Chess, Task, Cow<'_, Given>)> {
    let comment = &question.comment;
    let task = match question.claim.kind {
        _ if question.denied() => return None,
        ClaimKind::Stipulation(Stipulation::Mate(moves)) => Task::Mate(moves),
        ClaimKind::Stipulation(Stipulation::Win) => Task::Win,
        ClaimKind::Stipulation(Stipulation::Draw) => Task::Draw,
        ClaimKind::Mate(Mate::In {
            moves,
            at_most: false,
            ..
        }) if comment.given.is_some() => Task::Mate(moves),
        _ => return None,
    };
    let scene = &comment.scene;
    // Only of a position that is set up is it plain that nothing led to it.
    let set_up = scene.before().is_none()
        && scene.played.is_none()
        && scene.here.board() != Chess::default().board();
    if !set_up || !comment.lines.is_empty() && comment.given.is_none() {
        return None;
    }
    let given = match comment.given.as_deref() {
        Some(given) => Cow::Borrowed(given),
        None => Cow::Owned(Given::of_game(scene)),
    };
    // A game that goes on from there is no solution.
    let plies = given.main_line(&scene.here).len();
    let given = match task {
        Task::Mate(moves) if plies > 2 * moves as usize + 1 => Cow::Owned(Given::default()),
        _ => given,
    };
    Some((scene.here.clone(), task, given))
}

/// Where the printed solution has another move that mates as soon as the printed one.
fn duals(problem: &Problem<'_>, court: &mut Court<'_>) -> Vec<Line> {
    let mut found = Vec::new();
    let mut left = problem.moves;
    for own in problem.line.iter().step_by(2).skip(1) {
        left = left.saturating_sub(1);
        let legal = own.before.legal_moves().into_iter();
        let others: Vec<Move> = legal.filter(|&m| m != own.mv).collect();
        let told = court.mating_moves(&own.before, &others, left, court.left() / 64);
        let dual = told.iter().find(|told| told.verdict == Verdict::Holds);
        found.extend(dual.map(|told| Line::new(&own.before, &[told.first])));
    }
    found
}

/// The first moves of a mate in two that one reply alone meets, with that reply.
fn tries(position: &Chess, keys: &[Move], court: &Court<'_>) -> Vec<Line> {
    /// More are not named.
    const MOST: usize = 8;
    let mut found = Vec::new();
    for first in position.legal_moves() {
        if keys.contains(&first) || court.is_stopped() {
            continue;
        }
        let after = played(position, first);
        let meets = |reply: &Move| {
            let here = played(&after, *reply);
            let mut answers = here.legal_moves().into_iter();
            !answers.any(|m| played(&here, m).is_checkmate())
        };
        let replies = after.legal_moves();
        let meeting: Vec<Move> = replies.into_iter().filter(meets).take(2).collect();
        if let [only] = meeting[..] {
            found.push(Line::new(position, &[first, only]));
        }
        if found.len() == MOST {
            break;
        }
    }
    found
}

/// What is wrong with a problem and its solution.
fn faults(problem: &Problem<'_>, keys: &Keys, court: &mut Court<'_>) -> Vec<Fault> {
    let &Problem {
        position, moves, ..
    } = problem;
    let one = |mv: &Move| Line::new(position, &[*mv]);
    let key = problem.line.first().map(|given| given.mv);
    let solves = key.is_none_or(|key| keys.moves.contains(&key));
    if let Some(key) = key.filter(|_| !solves && keys.complete && !keys.moves.is_empty()) {
        let told = court.mating_moves(position, &[key], moves, court.left());
        let escape = told.first().and_then(|told| told.escape);
        let shown: Vec<Move> = std::iter::once(key).chain(escape).collect();
        let shown = Line::new(position, &shown);
        let why = ExerciseWhy::FalseKey {
            moves,
            key: shown.clone(),
            keys: keys.moves.iter().take(NAMED).map(one).collect(),
        };
        return vec![Fault::of(why).shown(position, Some(shown))];
    }
    let mut faults = Vec::new();
    let others = keys.moves.iter().filter(|&&other| Some(other) != key);
    let others: Vec<Move> = others.copied().collect();
    // Without a printed one, the first of several is as good as any.
    let several = problem.solutions.is_some();
    let cooks = others.len() > usize::from(key.is_none()) && !several;
    if let Some(&other) = others.first().filter(|_| cooks) {
        let why = ExerciseWhy::SecondSolution {
            moves,
            key: key.as_ref().map(one),
            others: others.iter().take(NAMED).map(one).collect(),
        };
        let shown = goes_on(position, other, moves, court);
        faults.push(Fault::of(why).shown(position, Some(shown)));
    }
    if solves && !problem.given.lost {
        faults.extend(length(problem));
        faults.extend(missing(problem, court));
    }
    faults
}

/// A first move with the longest line behind it, if that is found.
fn goes_on(position: &Chess, first: Move, moves: u32, court: &mut Court<'_>) -> Line {
    let mut line = vec![first];
    let here = played(position, first);
    if !here.is_checkmate() && moves > 1 {
        line.extend(court.is_mated(&here, moves - 1).line);
    }
    Line::new(position, &line)
}

/// Whether the main line has the length that the task says.
fn length(problem: &Problem<'_>) -> Option<Fault> {
    let &Problem {
        position, moves, ..
    } = problem;
    let last = problem.line.last()?;
    let plies = u32::try_from(problem.line.len()).ok()?;
    let printed = plies.div_ceil(2);
    let line = shown(position, &problem.line);
    let why = if !last.after.is_checkmate() {
        // A key alone is a short solution, and nothing is wrong with it.
        let side = Side(position.turn());
        (plies > 1).then_some(ExerciseWhy::EndsEarly { side, line })?
    } else if printed == moves
        || (problem.given).mates_after(position, (2 * moves as usize).saturating_sub(1))
    {
        // The line that is printed first need not be the longest.
        return None;
    } else {
        ExerciseWhy::OtherLength {
            moves,
            printed,
            line,
        }
    };
    Some(Fault::of(why))
}

/// A reply to the key that no printed move meets, where the solution answers several.
fn missing(problem: &Problem<'_>, court: &mut Court<'_>) -> Option<Fault> {
    let &Problem {
        position,
        moves,
        given,
        ..
    } = problem;
    let key = problem.line.first()?;
    let answered: Vec<Move> = given.at(&key.after).map(|given| given.mv).collect();
    if answered.len() < 2 || moves < 2 {
        return None;
    }
    // What the solver plays behind some reply, be it to another one.
    let printed: Vec<Move> = (given.moves.iter())
        .filter(|given| given.before.turn() == position.turn() && given.before != *position)
        .map(|given| given.mv)
        .collect();
    for reply in key.after.legal_moves() {
        if answered.contains(&reply) {
            continue;
        }
        let here = played(&key.after, reply);
        let legal = here.legal_moves().into_iter();
        let (met, unmet): (Vec<Move>, Vec<Move>) = legal.partition(|mv| printed.contains(mv));
        let met = court.mating_moves(&here, &met, moves - 1, court.left() / 8);
        if met.iter().any(|told| told.verdict != Verdict::Fails) {
            continue;
        }
        let told = court.mating_moves(&here, &unmet, moves - 1, court.left() / 8);
        let answers: Vec<Line> = (told.iter())
            .filter(|told| told.verdict == Verdict::Holds)
            .map(|told| Line::new(&here, &[told.first]))
            .take(NAMED)
            .collect();
        // Where nothing is found nothing is told.
        if let Some(answer) = told.iter().find(|told| told.verdict == Verdict::Holds) {
            let shown = Line::new(position, &[key.mv, reply, answer.first]);
            let why = ExerciseWhy::MissingDefence {
                line: Line::new(position, &[key.mv, reply]),
                answers,
            };
            return Some(Fault::of(why).shown(position, Some(shown)));
        }
    }
    None
}
