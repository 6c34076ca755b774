//! Only moves: the only legal one, the only sensible one, the only square of a piece.

use gainsay_commentary::{At, ClaimKind, Noun, Nuance, OnlyMove, Subject, Tense};
use gainsay_proof::{Verdict, facts, search::Value};
use shakmaty::{Bitboard, Chess, Move, Position, Role, Square};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    endings::keeps_alone,
    facts::squares,
    judge::{BLUNDER, JUDGEMENT},
    scene::Step,
    threats::THREAT,
};
use crate::{Finding, played, rules, show};

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
        let moves: Vec<String> = position
            .legal_moves()
            .iter()
            .take(3)
            .map(|&m| show::san(position, m))
            .collect();
        let count = position.legal_moves().len();
        let finding = Finding::new(
            &rules::not_the_only_move::RULE,
            self.place(),
            format!(
                "{} has {count} legal moves, {} among them.",
                show::side(position.turn()),
                show::list(&moves, "and")
            ),
        )
        .on(position);
        let mut answer = Answer::new(Verdict::Fails).on(position).found(finding);
        answer.evidence = moves
            .iter()
            .map(|san| format!("{} {san}", show::number(position)))
            .collect();
        answer
    }

    fn settle_no_move(&self) -> Answer {
        let scene = &self.comment.scene;
        let stuck = |position: &&Chess| position.legal_moves().is_empty();
        match scene.around().chain(&scene.beside).find(stuck) {
            Some(position) if !self.denied() => Answer::new(Verdict::Holds).on(position),
            _ => Answer::unsettled(),
        }
    }

    /// "The only square" of a piece: the only one it can go to, or the only one where it
    /// is not lost. Which piece is meant is told by the noun, or by the move.
    fn settle_only_square(&self, told: Option<Square>) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        if let Some(told) = told {
            return self.settle_square_is(told);
        }
        let named = match &self.claim.subject {
            Subject::Piece(noun) => Some(noun),
            _ => None,
        };
        let alone = |position: &Chess, from| {
            let board = position.board();
            facts::legal_targets(board, from).count() == 1
                || facts::safe_squares(board, from).count() == 1
        };
        for (position, m) in self.moves_meant() {
            let fits = |noun: &Noun| {
                m.from()
                    .is_some_and(|from| squares(position.board(), noun).contains(from))
            };
            if named.is_none_or(fits) && m.from().is_some_and(|from| alone(&position, from)) {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(evidence(&position, &[m]));
            }
        }
        let Some(noun) = named else {
            return Answer::unsettled();
        };
        let choices = self.choices();
        let pieces = |position: &Chess| squares(position.board(), noun);
        if let Some(position) = choices
            .iter()
            .find(|position| pieces(position).into_iter().any(|at| alone(position, at)))
        {
            return Answer::new(Verdict::Holds).on(position);
        }
        // Only what is meant to the letter can be told to be wrong.
        let many = |position: &Chess| {
            let found = pieces(position);
            found.any()
                && found
                    .into_iter()
                    .all(|at| facts::safe_squares(position.board(), at).count() >= 2)
        };
        let about: Vec<&Chess> = choices.iter().filter(|p| pieces(p).any()).collect();
        let (Some(position), true) = (
            about.first(),
            self.claim.wording.has(Nuance::Literal)
                && about.iter().all(|position| many(position))
                && !self.comment_cites_loosely(),
        ) else {
            return Answer::unsettled();
        };
        let at = pieces(position).into_iter().next();
        let free: Vec<String> = at
            .map(|at| facts::safe_squares(position.board(), at))
            .into_iter()
            .flatten()
            .take(3)
            .map(|square| square.to_string())
            .collect();
        let finding = Finding::new(
            &rules::not_the_only_move::RULE,
            self.place(),
            format!("It can go to {} as well.", show::list(&free, "and")),
        )
        .on(position);
        Answer::new(Verdict::Fails).on(position).found(finding)
    }

    /// "The only square for the king is f7".
    fn settle_square_is(&self, told: Square) -> Answer {
        let Subject::Piece(noun) = &self.claim.subject else {
            return Answer::unsettled();
        };
        let choices = self.choices();
        let targets = choices.iter().flat_map(|position| {
            let board = position.board();
            let pieces = squares(board, noun).into_iter();
            pieces.map(move |at| (position, at, facts::legal_targets(board, at)))
        });
        let targets: Vec<_> = targets.collect();
        let alone = |(position, at, legal): &(&Chess, Square, Bitboard)| {
            let safe = facts::safe_squares(position.board(), *at);
            [*legal, safe]
                .iter()
                .any(|found| found.single_square() == Some(told))
        };
        if let Some((position, ..)) = targets.iter().find(|&target| alone(target)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        // A king knows no square but the legal ones.
        let goes = |(.., legal): &(&Chess, Square, Bitboard)| legal.contains(told);
        let king = noun.role == Some(Role::King);
        let Some((position, at, legal)) = targets.first().filter(|(_, _, legal)| {
            king && legal.any() && !self.comment_cites_loosely() && !targets.iter().any(goes)
        }) else {
            return Answer::unsettled();
        };
        self.not_there(position, *at, told, *legal)
    }

    /// The finding that a king cannot go to a square, with those where it can go.
    fn not_there(&self, position: &Chess, at: Square, told: Square, legal: Bitboard) -> Answer {
        let free: Vec<String> = legal.into_iter().map(|square| square.to_string()).collect();
        let message = if free.is_empty() {
            format!("The king on {at} cannot go to {told}; it has no square.")
        } else {
            format!(
                "The king on {at} cannot go to {told}, only to {}.",
                show::list(&free, "and")
            )
        };
        let moves = position.legal_moves().into_iter();
        let mut there = moves.filter(|m| m.from() == Some(at)).take(1);
        let shown = there
            .next()
            .map_or_else(String::new, |m| evidence(position, &[m]));
        self.refuted(&rules::not_the_only_move::RULE, position, message, shown)
    }

    /// "The king must go to f7", of a king in check: it is the only legal move, or at least
    /// legal.
    fn settle_goes(&self, told: Square) -> Answer {
        let ends = match self.claim.at {
            At::End(_) => self.line().map(|line| line.readings.as_slice()),
            _ => None,
        };
        let here = match ends {
            Some([steps]) => steps.last().map(|step| &step.after),
            Some(_) => None,
            None => (self.claim.at == At::Here).then_some(&self.comment.scene.here),
        };
        let (Some(here), Subject::Piece(noun)) = (here, &self.claim.subject) else {
            return Answer::unsettled();
        };
        let at = squares(here.board(), noun).single_square();
        // "The king" is the one in check.
        let own = here.board().king_of(here.turn());
        let at = at.or(own.filter(|&own| squares(here.board(), noun).contains(own)));
        let Some(at) = at.filter(|_| {
            noun.role == Some(Role::King) && self.claim.tense == Tense::Present && !self.denied()
        }) else {
            return Answer::unsettled();
        };
        if here.board().color_at(at) != Some(here.turn()) {
            return Answer::unsettled();
        }
        let moves = here.legal_moves();
        if let [only] = moves.as_slice()
            && only.from() == Some(at)
            && only.to() == told
        {
            return Answer::new(Verdict::Holds)
                .on(here)
                .shown_by(evidence(here, &[*only]));
        }
        let legal = facts::legal_targets(here.board(), at);
        if !here.is_check() || legal.contains(told) || legal.is_empty() {
            return Answer::unsettled();
        }
        self.not_there(here, at, told, legal)
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
        self.refuted(
            &rules::other_moves_hold::RULE,
            &position,
            format!(
                "{} is not the only move: {} is as good.",
                show::numbered(&position, m),
                show::numbered(&position, as_good)
            ),
            evidence(&position, &moves),
        )
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
        let shown = evidence(&position, &[other]);
        Some(self.refuted(
            &rules::other_moves_hold::RULE,
            &position,
            format!(
                "{} is not the only move: {} stops the mate as well.",
                show::numbered(&position, m),
                show::numbered(&position, other)
            ),
            shown,
        ))
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

/// A line that begins with another move than `m` and is as good as the best, in both of two
/// searches, in a position where neither side is winning.
fn equals(
    late: &[gainsay_proof::search::Line],
    early: &[gainsay_proof::search::Line],
    m: Move,
) -> Option<Vec<Move>> {
    const SAME: i32 = 20;
    const BALANCED: i32 = 60;
    let other = |lines: &[gainsay_proof::search::Line]| {
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
