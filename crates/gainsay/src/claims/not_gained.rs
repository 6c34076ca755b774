//! What is said to be won or given and is not: "wins the exchange", "sacrifices the
//! exchange".

use gainsay_commentary::{At, Extent, Goods, Nuance, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Color, Move, Position, Role};

use super::{
    Pending,
    answer::{Answer, Court, evidence, nothing},
    judge::JUDGEMENT,
    scene::Step,
};
use crate::{
    outcome::{Line, MaterialWhy, Side},
    pass, played,
};

/// A side that has so little more than before, in centipawns, has won nothing: a pawn is
/// twice as much, the exchange four times.
const NOTHING: i32 = 50;

impl Pending {
    /// The finding that `winner` does not win what is said: by two searches it has no more
    /// than before the line, and nothing of the kind is taken for anything.
    ///
    /// What a side will win without a line that shows it is told of the exchange alone:
    /// authors see further.
    pub(super) fn not_gained(
        &self,
        what: Goods,
        winner: Color,
        court: &mut Court<'_>,
    ) -> Option<Answer> {
        let leans = matches!(self.claim.at, At::End(_) | At::Subject(_) | At::Shown(_))
            && self.line().is_some();
        let told = match what {
            Goods::Exchange(1) => true,
            Goods::Pieces(1) | Goods::Role(_, 1) => leans,
            // "Wins a pawn, but Black gets it back" is the author's to say.
            Goods::Pawns(1) | Goods::Pawn(_) => leans && self.claim.extent <= Extent::End,
            _ => false,
        };
        if !told
            || self.claim.wording.has(Nuance::Back)
            || !self.claim.closed
            || self.claim.tense == Tense::Future
            || self.comment_cites_loosely()
            || self.line_is_lost()
        {
            return None;
        }
        let scene = &self.comment.scene;
        let mut shown: Option<(Chess, Line)> = None;
        if leans {
            let line = self.line().filter(|line| !line.shaky)?;
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
            if self.within_reach().any(|position| gain(&position)) {
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
    pub(super) fn settle_exchange_given(&self) -> Answer {
        let scene = &self.comment.scene;
        let mover = |step: &Step| step.before.turn();
        let line = self.line().into_iter().flat_map(|line| &line.readings);
        let giver = match self.claim.subject {
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
        if let Some(position) = self.exchange_passes(&givers) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let Some(giver) = giver else {
            return Answer::unsettled();
        };
        if let Some(answer) = self.never_gained(Goods::Exchange(1), !giver) {
            return answer;
        }
        if !self.claim.closed
            || self.claim.tense == Tense::Future
            || self.comment_cites_loosely()
            || self.line_is_lost()
            || self.within_reach().any(|at| may_take_rook(at, giver))
        {
            return Answer::unsettled();
        }
        let Some(at) = self.nearest().next() else {
            return Answer::unsettled();
        };
        let rooks = at.board().by_piece(giver.rook());
        let side = Side(giver);
        let why = if rooks.is_empty() {
            MaterialWhy::NoRookToGive { side }
        } else {
            MaterialWhy::NoRookTaken { side }
        };
        Answer::refuted(why, at, nothing(at))
    }
}

impl Pending {
    /// Where one of `givers` has parted with a rook for a minor piece: in the line the claim
    /// leans on, or else around the comment, or after one more capture.
    pub(super) fn exchange_passes(&self, givers: &[Color]) -> Option<&Chess> {
        let scene = &self.comment.scene;
        let passes = |first: &Chess, later: &Chess| {
            givers
                .iter()
                .any(|&giver| gives_exchange(first, later, giver))
        };
        if !matches!(self.claim.at, At::Here)
            && let Some(line) = self.line()
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
    nothing.then(|| evidence(start, &moves))
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
