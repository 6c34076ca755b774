//! Only moves: the only legal one, the only sensible one, the only square of a piece.

use gainsay_commentary::{At, ClaimKind, Nuance, OnlyMove, Subject, Tense};
use gainsay_proof::{Verdict, search::Value};
use shakmaty::{Chess, Move, Position};

use super::{
    Pending,
    answer::{Answer, Court, evidence, single},
    endings::keeps_alone,
    judge::{BLUNDER, JUDGEMENT},
    scene::Step,
    threats::THREAT,
};
use crate::{
    outcome::{Fault, Line, MoveWhy, Side},
    played,
};

impl Pending {
    /// Settles "the only move".
    pub(super) fn settle_only(&self, only: OnlyMove, court: &mut Court<'_>) -> Answer {
        if let Some(line) = self.line().filter(|line| line.readings.is_empty()) {
            // That the move is not possible at all is told at the line.
            let impossible = line.broken.as_ref().is_some_and(|broken| broken.at == 0);
            let is_named = matches!(self.claim.at, At::Shown(_));
            return if is_named && impossible && !self.denied() {
                Answer::new(Verdict::Fails)
            } else {
                Answer::unsettled()
            };
        }
        match only {
            OnlyMove::Legal => self.settle_only_legal(),
            OnlyMove::NoMove => self.settle_no_move(),
            OnlyMove::Square => self.settle_only_square(None),
            OnlyMove::SquareIs(square) => self.settle_only_square(Some(square)),
            OnlyMove::Goes(square) => self.settle_goes(square),
            OnlyMove::Sensible => self.settle_only_sensible(true, court),
            OnlyMove::Count(moves) => self.settle_legal_moves(moves),
            OnlyMove::TakeWith => self.settle_take_with(),
            OnlyMove::Taken => self.settle_must_be_taken(court),
            OnlyMove::Mate => self.settle_only_mate(court),
            OnlyMove::Win => self.settle_only_win(court),
            OnlyMove::Forced => self.settle_only_sensible(false, court),
            OnlyMove::Defence => match self.another_stops_mate(court) {
                Some(answer) => answer,
                None => self.settle_only_sensible(false, court),
            },
        }
    }

    /// The positions in which the move that is spoken of is made: before the move of the
    /// comment, at the comment, and along the line the claim leans on.
    pub(super) fn choices(&self) -> Vec<Chess> {
        let scene = &self.comment.scene;
        let mut found: Vec<Chess> = Vec::new();
        if let Some(line) = self.line().filter(|_| self.names_its_move()) {
            let named = |steps: &&Vec<Step>| self.named_step(steps).is_some();
            let readings = line.readings.iter().filter(named);
            let steps = readings.flat_map(|steps| {
                // Of a line in front it may be the first move that is called so.
                let first = steps.first().filter(|_| self.follows_its_line());
                self.named_step(steps).into_iter().chain(first)
            });
            return steps.map(|step| step.before.clone()).collect();
        }
        // "Black has only one legal move", where Black is to move.
        if self.is_said_of_the_mover() {
            return vec![scene.here.clone()];
        }
        if let Some(line) = self.line() {
            for steps in &line.readings {
                found.extend(steps.iter().map(|step| step.before.clone()));
                found.extend(steps.last().map(|step| step.after.clone()));
            }
        }
        found.extend(scene.before().cloned());
        found.push(scene.here.clone());
        found.extend(scene.back.get(1).cloned());
        found.extend(scene.ahead.iter().take(2).cloned());
        found.extend(scene.beside.iter().take(2).cloned());
        if let Subject::Side(side) = self.claim.subject {
            found.retain(|position| position.turn() == side);
        }
        found
    }

    /// Whether the claim speaks of the first move of its line: "the only reply is
    /// 24...Kg8", "24...Kg8 was the only move".
    fn names_its_move(&self) -> bool {
        match self.claim.at {
            At::Shown(_) => true,
            At::End(_) | At::Subject(_) => self.claim.subject == Subject::Line,
            _ => false,
        }
    }

    /// The move of the line that is said to be the only one: the first, or the last of
    /// "24.Nh6+ Kh8 is forced" and "24.Nh6+ Kh8 is the only legal move".
    fn named_step<'s>(&self, steps: &'s [Step]) -> Option<&'s Step> {
        let forced = matches!(self.claim.kind, ClaimKind::OnlyMove(OnlyMove::Forced));
        match self.claim.at {
            At::End(_) if forced && self.claim.subject == Subject::Line => steps.last(),
            _ if self.follows_its_line() => steps.last(),
            _ => steps.first(),
        }
    }

    /// Whether the words of the claim begin with a line of more than one move.
    fn follows_its_line(&self) -> bool {
        let index = self.claim.at.line().map(|index| index as usize);
        let line = index.and_then(|index| self.comment.prose.lines.get(index));
        line.is_some_and(|line| line.moves.len() > 1 && line.span.start <= self.claim.span.start)
    }

    /// Whether it is said now and without a line of the side that is to move at the comment.
    fn is_said_of_the_mover(&self) -> bool {
        self.claim.at == At::Here
            && self.claim.tense == Tense::Present
            && self.claim.subject == Subject::Side(self.comment.scene.here.turn())
            && matches!(
                self.claim.kind,
                ClaimKind::OnlyMove(OnlyMove::Legal | OnlyMove::Count(_))
            )
    }

    /// "The only legal move" is meant to the letter.
    fn settle_only_legal(&self) -> Answer {
        let choices = self.choices();
        if self.denied() {
            return Answer::unsettled();
        }
        if let Some(position) = choices
            .iter()
            .find(|position| position.legal_moves().len() == 1)
        {
            let shown = evidence(position, &position.legal_moves());
            return Answer::new(Verdict::Holds).on(position).shown_by(shown);
        }
        let Some(position) = choices
            .first()
            .filter(|position| !position.legal_moves().is_empty())
        else {
            return Answer::unsettled();
        };
        if self.comment_cites_loosely() {
            return Answer::unsettled();
        }
        let why = MoveWhy::NotOnlyLegal {
            side: Side(position.turn()),
            count: u32::try_from(position.legal_moves().len()).unwrap_or(u32::MAX),
            moves: some_moves(position),
        };
        shown_by_moves(Answer::new(Verdict::Fails).on(position), position).found(Fault::of(why))
    }

    fn settle_no_move(&self) -> Answer {
        let scene = &self.comment.scene;
        let stuck = |position: &&Chess| position.legal_moves().is_empty();
        match scene.around().chain(&scene.beside).find(stuck) {
            Some(position) if !self.denied() => Answer::new(Verdict::Holds).on(position),
            _ => Answer::unsettled(),
        }
    }

    /// "The only move" means the only sensible one: it holds where every other move is
    /// clearly worse. Where it is said without more ("the only way to stop", "the only
    /// winning move" say more), it fails if in every reading another move is just as good by
    /// two searches, and the position is neither won nor lost. In an ending that tables know
    /// it holds where no other move keeps the win, or the draw.
    pub(super) fn settle_only_sensible(&self, plain: bool, court: &mut Court<'_>) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        let choices = self.choices();
        if let Some(position) = choices
            .iter()
            .take(4)
            .find(|position| position.legal_moves().len() == 1)
        {
            return Answer::new(Verdict::Holds)
                .on(position)
                .shown_by(evidence(position, &position.legal_moves()));
        }
        let mut other: Option<(Chess, Move, Vec<Move>)> = None;
        let mut all_fail = plain && !self.comment_cites_loosely();
        let mut read = 0;
        let named = self.line().is_some() && self.names_its_move();
        let readings = if named { 1 } else { 3 };
        let meant = self.moves_meant().into_iter().take(readings);
        for (rank, (position, m)) in meant.enumerate() {
            if let Subject::Side(side) = self.claim.subject
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
                    .shown_by(evidence(&position, &line));
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
                    .shown_by(evidence(&position, &best.moves))
                    .shown_by(evidence(&position, &second.moves));
            }
            let early = court.best(&position, 2, JUDGEMENT / 8);
            match equals(&late, &early, m) {
                Some(moves) => {
                    other.get_or_insert((position, m, moves));
                }
                None => all_fail = false,
            }
        }
        all_fail &= !self.follows_its_line();
        let (Some((position, m, moves)), true, true) = (other, all_fail, read > 0) else {
            return Answer::unsettled();
        };
        let as_good = moves.first().map_or(m, |&other| other);
        let why = MoveWhy::AsGood {
            cited: single(&position, m),
            other: single(&position, as_good),
        };
        Answer::refuted(why, &position, evidence(&position, &moves))
    }

    /// "Only 24...g6 stops mate", where another move stops it as well: there is no mate then
    /// that takes two moves more, or fewer.
    fn another_stops_mate(&self, court: &mut Court<'_>) -> Option<Answer> {
        const NODES: u64 = 20_000;
        const LONGER: u32 = 2;
        let said = self.claim.wording.has(Nuance::Mate);
        if !said || self.denied() || self.line_is_lost() || !self.names_its_move() {
            return None;
        }
        let (position, m) = self.moves_meant().into_iter().next()?;
        let threat = court.mates_within(&crate::pass(&position)?, THREAT, JUDGEMENT);
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
        let other = single(&position, other);
        let shown = other.clone();
        let cited = single(&position, m);
        let why = MoveWhy::StopsMateToo { cited, other };
        Some(Answer::refuted(why, &position, shown))
    }

    /// The moves that a judgement of a move can mean, the likeliest first: the line's
    /// first move, the move the comment stands behind, the move in front of it.
    pub(super) fn moves_meant(&self) -> Vec<(Chess, Move)> {
        let scene = &self.comment.scene;
        if let Some(told_of) = self.moves_told_of() {
            let steps = told_of.into_iter();
            return steps
                .filter_map(|step| Some((step.before, step.mv?)))
                .collect();
        }
        let first = self
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| self.named_step(steps));
        first
            .into_iter()
            .chain(&scene.played)
            .chain(scene.steps.first())
            .filter_map(|step| Some((step.before.clone(), step.mv?)))
            .collect()
    }
}

/// A few legal moves of a position.
pub(super) fn some_moves(position: &Chess) -> Vec<Line> {
    const SOME: usize = 3;
    let moves = position.legal_moves().into_iter().take(SOME);
    moves.map(|m| single(position, m)).collect()
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
