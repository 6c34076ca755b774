//! What is said to be won or given and is not: "wins the exchange", "sacrifices the
//! exchange".

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
};
use crate::{
    outcome::{Kind, Line, Man, MaterialWhy, Side},
    question::Question,
    resolve::{pass, played},
    scene::Step,
};
use gainsay_commentary::{At, Extent, Goods, Nuance, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Color, Move, Position, Role};

/// A side that has so little more than before, in centipawns, has won nothing: a pawn is
/// twice as much, the exchange four times.
const NOTHING: i32 = 50;

/// The finding that `winner` does not win what is said: by two searches it has no more
/// than before the line, and nothing of the kind is taken for anything.
///
/// What a side will win without a line that shows it is told of the exchange alone:
/// authors see further.
pub(super) fn not_gained(
    question: &Question,
    what: Goods,
    winner: Color,
    court: &mut Court<'_>,
) -> Option<Answer> {
    let leans = matches!(
        question.claim.at,
        At::End(_) | At::Subject(_) | At::Shown(_)
    ) && question.line().is_some();
    let told = match what {
        Goods::Exchange(1) => true,
        Goods::Pieces(1) | Goods::Role(_, 1) => leans,
        // "Wins a pawn, but Black gets it back" is the author's to say.
        Goods::Pawns(1) | Goods::Pawn(_) => leans && question.claim.extent <= Extent::End,
        _ => false,
    };
    if !told
        || question.claim.wording.has(Nuance::Back)
        || !question.claim.closed
        || question.claim.tense == Tense::Future
        || question.comment_cites_loosely()
        || question.line_is_lost()
    {
        return None;
    }
    let scene = &question.comment.scene;
    let mut shown: Option<(Chess, Line)> = None;
    if leans {
        let line = question
            .line()
            .filter(|line| !line.shaky && !line.ambiguous)?;
        for steps in &line.readings {
            let (first, last) = (steps.first()?, steps.last()?);
            let moves = steps.iter().filter_map(|step| step.mv).collect();
            let line = nothing_won(&first.before, &last.after, moves, what, winner, court)?;
            shown.get_or_insert((last.after.clone(), line));
        }
    } else {
        // It may have been won already, or be won in the moves to come.
        let gain = |position: &&Chess| {
            let before = scene.back.last().unwrap_or(&scene.here);
            more(before, position, what, winner) > 0
        };
        if question.within_reach().any(|position| gain(&position)) {
            return None;
        }
        for start in std::iter::once(&scene.here).chain(scene.before()) {
            let line = nothing_won(start, start, Vec::new(), what, winner, court)?;
            shown.get_or_insert((start.clone(), line));
        }
    }
    let (position, shown) = shown?;
    let why = MaterialWhy::WonNothing {
        side: Side(winner),
        line: shown.clone(),
    };
    Some(Answer::refuted(why, &position, shown))
}

/// Settles "sacrifices the exchange": it holds if the giver parts with a rook for a minor
/// piece in the line or around the comment, or after one more capture, and fails if
/// nowhere near the comment a rook of the giver can be taken at all.
pub(super) fn settle_exchange_given(question: &Question) -> Answer {
    let scene = &question.comment.scene;
    let mover = |step: &Step| step.before.turn();
    let line = question.line().into_iter().flat_map(|line| &line.readings);
    let giver = match question.claim.subject {
        Subject::Side(color) => Some(color),
        Subject::ThisMove => scene.played.as_ref().map(mover),
        Subject::Line => line
            .clone()
            .next()
            .and_then(|steps| steps.last())
            .map(mover),
        _ => None,
    };
    let givers = giver.map_or_else(|| Color::ALL.to_vec(), |giver| vec![giver]);
    if let Some(position) = exchange_passes(question, &givers) {
        return Answer::new(Verdict::Holds).on(position);
    }
    let Some(giver) = giver else {
        return Answer::unsettled();
    };
    if let Some(answer) = never_gained(question, Goods::Exchange(1), !giver) {
        return answer;
    }
    if !question.claim.closed
        || question.claim.tense == Tense::Future
        || question.comment_cites_loosely()
        || question.line_is_lost()
        || question.within_reach().any(|at| may_take_rook(at, giver))
    {
        return Answer::unsettled();
    }
    let Some(at) = question.nearest().next() else {
        return Answer::unsettled();
    };
    let rooks = at.board().by_piece(giver.rook());
    let side = Side(giver);
    let why = if rooks.is_empty() {
        MaterialWhy::NoRookToGive { side }
    } else {
        MaterialWhy::NoRookTaken { side }
    };
    Answer::refuted(why, at, Line::new(at, &[]))
}

/// Where one of `givers` has parted with a rook for a minor piece: in the line the claim
/// leans on, or else around the comment, or after one more capture.
pub(super) fn exchange_passes<'q>(question: &'q Question, givers: &[Color]) -> Option<&'q Chess> {
    let scene = &question.comment.scene;
    let passes = |first: &Chess, later: &Chess| {
        givers
            .iter()
            .any(|&giver| gives_exchange(first, later, giver))
    };
    if !matches!(question.claim.at, At::Here)
        && let Some(line) = question.line()
    {
        return line.readings.iter().find_map(|steps| {
            let first = &steps.first()?.before;
            let mut ends = steps.iter().map(|step| &step.after);
            ends.find(|end| passes(first, end))
        });
    }
    // In the middle of an exchange nothing is counted.
    let men = |position: &Chess| position.board().occupied().count();
    let quiet = |(at, before): &(&Chess, &Chess)| men(at) == men(before);
    let line = std::iter::once(&scene.here).chain(&scene.back);
    let earlier: Vec<&Chess> = (line.zip(&scene.back).filter(quiet))
        .map(|(at, _)| at)
        .collect();
    std::iter::once(&scene.here)
        .chain(&scene.ahead)
        .find(|later| earlier.iter().any(|first| passes(first, later)))
}

/// The finding that nothing of the kind can be won: the loser has none, wherever the
/// comment can look, or has all that it began with though it is said to have lost one.
/// That something will not be won by force is never told: authors see further.
pub(super) fn never_gained(question: &Question, what: Goods, winner: Color) -> Option<Answer> {
    let scene = &question.comment.scene;
    let here = &scene.here;
    if question.comment_cites_loosely() || question.line_is_lost() {
        return None;
    }
    let role = match what {
        Goods::Role(role, 1) => role,
        Goods::Exchange(1) => Role::Rook,
        _ => return None,
    };
    let has = |position: &Chess| {
        let board = position.board();
        let minors = (board.knights() | board.bishops()) & board.by_color(winner);
        board.by_piece(role.of(!winner)).any()
            && (!matches!(what, Goods::Exchange(_)) || minors.any())
    };
    let why = if !question.within_reach().any(has) {
        if here.board().by_piece(role.of(!winner)).any() {
            MaterialWhy::NothingToWinWith { side: Side(winner) }
        } else {
            MaterialWhy::HasNone {
                side: Side(!winner),
                kind: Kind(role),
            }
        }
    } else if question.claim.wording.begins(Nuance::Lost)
        || question.claim.wording.has(Nuance::Lost) && question.claim.tense == Tense::Past
    {
        let count = |position: &Chess| position.board().by_piece(role.of(!winner)).count();
        let began = scene.tree.all().next().map(count)?;
        let always = question.within_reach().chain(scene.tree.all());
        let full = always.into_iter().all(|position| count(position) >= began);
        // "White lost a piece" may tell of the line that was avoided.
        let plain = full && question.claim.at == At::Here && question.comment.lines.is_empty();
        if !plain {
            return None;
        }
        MaterialWhy::HasLostNone {
            side: Side(!winner),
            kind: Kind(role),
            men: Man::all(here.board(), here.board().by_piece(role.of(!winner))),
        }
    } else {
        return None;
    };
    Some(Answer::refuted(why, here, Line::new(here, &[])))
}

/// Whether `giver` has a rook less and a minor piece more at `later`, or after one capture
/// there by the other side.
fn gives_exchange(first: &Chess, later: &Chess, giver: Color) -> bool {
    let before = facts::difference(first.board(), giver);
    let passed = |position: &Chess| {
        let after = facts::difference(position.board(), giver);
        after.rooks - before.rooks == -1
            && after.minors - before.minors == 1
            && after.queens == before.queens
    };
    passed(later)
        || later.turn() != giver
            && later.capture_moves().into_iter().any(|m| {
                let after = played(later, m);
                passed(&after)
            })
}

/// Whether the other side could take a rook of `giver`, were it to move.
fn may_take_rook(position: &Chess, giver: Color) -> bool {
    let takes = |position: &Chess| {
        let moves = position.capture_moves();
        position.turn() != giver && moves.iter().any(|m| m.capture() == Some(Role::Rook))
    };
    takes(position) || pass(position).as_ref().is_none_or(takes)
}

/// Best play from `end` if by two searches it leaves `winner` no more than it had at
/// `start`, in wood or otherwise; with the moves from `start` on.
fn nothing_won(
    start: &Chess,
    end: &Chess,
    mut moves: Vec<Move>,
    what: Goods,
    winner: Color,
    court: &mut Court<'_>,
) -> Option<Line> {
    if end.legal_moves().is_empty() {
        return None;
    }
    let (value, line, sure) = court.value(end, JUDGEMENT)?;
    let value = if end.turn() == winner {
        value
    } else {
        value.reversed()
    };
    let had = facts::balance(start.board(), winner);
    let mut last = end.clone();
    for &m in &line {
        last.play_unchecked(m);
    }
    let nothing = sure
        && value.centipawns() <= 100 * had + NOTHING
        && facts::balance(last.board(), winner) <= had
        && more(start, &last, what, winner) <= 0;
    moves.extend(line);
    nothing.then(|| Line::new(start, &moves))
}

/// How many of what is said to be won `winner` has more than before.
pub(super) fn more(before: &Chess, after: &Chess, what: Goods, winner: Color) -> i32 {
    let of = |position: &Chess| {
        let count = |role: Role| {
            let of = |color: Color| position.board().by_piece(role.of(color)).count();
            i32::try_from(of(winner)).unwrap_or(0) - i32::try_from(of(!winner)).unwrap_or(0)
        };
        match what {
            Goods::Exchange(_) => count(Role::Rook),
            Goods::Role(role, _) => count(role),
            _ => [Role::Knight, Role::Bishop, Role::Rook, Role::Queen]
                .into_iter()
                .map(count)
                .sum(),
        }
    };
    of(after) - of(before)
}
