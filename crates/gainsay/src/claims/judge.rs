//! Only moves, refutations, verdicts, draws, named mates and pointers: what needs the
//! rules of the game or a search.

use gainsay_commentary::{
    At, Draw, Goods, OnlyMove, Quality, Reference, Refutation, Standing, Stipulation, Subject,
};
use gainsay_notation::Span;
use gainsay_proof::{
    Verdict, facts,
    search::{Settings as Margin, Value},
};
use shakmaty::{Chess, Color, Move, Position, Role};

use super::{
    Pending,
    answer::{Answer, Court, evidence},
    scene::Step,
};
use crate::{Finding, rules, show};

/// A judgement costs at most so many nodes: more seldom changes it.
const JUDGEMENT: u64 = 120_000;

/// From here on a side is winning, in centipawns; the margin comes on top.
const WON: i32 = 200;

/// A move that costs so much more than the best is a blunder.
const BLUNDER: i32 = 150;

impl Pending {
    // ---- only moves -----------------------------------------------------------------

    /// Settles "the only move".
    pub(super) fn settle_only(&self, only: OnlyMove, court: &mut Court<'_>) -> Answer {
        match only {
            OnlyMove::Legal => self.settle_only_legal(),
            OnlyMove::NoMove => self.settle_no_move(),
            OnlyMove::Square => Answer::unsettled(),
            OnlyMove::Sensible | OnlyMove::Forced | OnlyMove::Defence | OnlyMove::Win => {
                self.settle_only_sensible(court)
            }
        }
    }

    /// The positions in which the move that is spoken of is made: before the move of the
    /// comment, at the comment, and along the line the claim leans on.
    fn choices(&self) -> Vec<Chess> {
        let scene = &self.comment.scene;
        let mut found: Vec<Chess> = Vec::new();
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
        found
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

    /// "The only move" means the only sensible one: it holds where every other move is
    /// clearly worse, and is never called false.
    fn settle_only_sensible(&self, court: &mut Court<'_>) -> Answer {
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
        for (position, m) in self.moves_meant().into_iter().take(2) {
            let lines = court.best(&position, 2, JUDGEMENT);
            if let [best, second, ..] = lines.as_slice()
                && best.moves.first() == Some(&m)
                && best.value.centipawns() - second.value.centipawns() >= BLUNDER
            {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(evidence(&position, &best.moves))
                    .shown_by(evidence(&position, &second.moves));
            }
        }
        Answer::unsettled()
    }

    /// The moves that a judgement of a move can mean, the likeliest first: the line's
    /// first move, the move the comment stands behind, the move in front of it.
    fn moves_meant(&self) -> Vec<(Chess, Move)> {
        let scene = &self.comment.scene;
        let first = self
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| steps.first());
        first
            .into_iter()
            .chain(&scene.played)
            .chain(scene.steps.first())
            .filter_map(|step| Some((step.before.clone(), step.mv?)))
            .collect()
    }

    // ---- refutations ----------------------------------------------------------------

    /// Settles "fails to", "because of": the refutation must keep its promise against the
    /// best defence.
    pub(super) fn settle_refutation(
        &self,
        refutation: Refutation,
        court: &mut Court<'_>,
    ) -> Answer {
        let Refutation::By { .. } = refutation else {
            return self.settle_loses(court);
        };
        let Some(steps) = self.line().and_then(|line| line.readings.first()) else {
            return Answer::unsettled();
        };
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            return Answer::unsettled();
        };
        if self.denied() {
            return Answer::unsettled();
        }
        let refuter = first.before.turn();
        if last.after.is_checkmate() && last.after.turn() != refuter && steps.len() == 1 {
            return Answer::new(Verdict::Holds).on(&last.after);
        }
        // Behind the refutation's first move the other side chooses its best defence.
        let judged = court.value(&first.after, JUDGEMENT);
        let Some((value, moves, sure)) = judged else {
            return Answer::unsettled();
        };
        let defender = value.centipawns();
        let mut shown: Vec<Move> = first.mv.into_iter().collect();
        shown.extend(moves);
        let shown = evidence(&first.before, &shown);
        if defender <= -50 {
            return Answer::new(Verdict::Holds)
                .on(&first.before)
                .shown_by(shown);
        }
        if defender < WON || !sure {
            return Answer::unsettled();
        }
        let finding = Finding::new(
            &rules::line_does_not_refute::RULE,
            self.place(),
            format!(
                "This refutes nothing: after {shown} {} is winning.",
                show::side(!refuter)
            ),
        )
        .on(&first.before)
        .shown_by(shown.clone());
        Answer::new(Verdict::Fails)
            .on(&first.before)
            .shown_by(shown)
            .found(finding)
    }

    /// "24.Qh5 loses": the other side wins.
    fn settle_loses(&self, court: &mut Court<'_>) -> Answer {
        let Some(last) = self
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| steps.last())
        else {
            return Answer::unsettled();
        };
        let loser = !last.after.turn();
        self.judge(&last.after, loser, Standing::Lost, court)
    }

    // ---- verdicts -------------------------------------------------------------------

    /// Settles "White is better" and its like, by search and with a margin.
    pub(super) fn settle_standing(&self, standing: Standing, court: &mut Court<'_>) -> Answer {
        let scene = &self.comment.scene;
        let end = self
            .line()
            .and_then(|line| line.readings.first())
            .and_then(|steps| steps.last())
            .map(|step| &step.after);
        let position = match self.claim.at {
            At::End(_) if end.is_some() => end.unwrap_or(&scene.here),
            At::Here => &scene.here,
            _ => return Answer::unsettled(),
        };
        let side = match (self.claim.subject, standing) {
            (Subject::Side(color), _) => color,
            (_, Standing::Equal | Standing::Drawn) => Color::White,
            // Whose advantage it is, is not said.
            _ => return Answer::unsettled(),
        };
        if self.denied() {
            return Answer::unsettled();
        }
        self.judge(position, side, standing, court)
    }

    /// Judges a position for `side`.
    fn judge(
        &self,
        position: &Chess,
        side: Color,
        standing: Standing,
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
        if let Some(answer) = self.judge_ending(position, side, standing, court) {
            return answer;
        }
        let Some((value, moves, sure)) = court.value(position, JUDGEMENT) else {
            return Answer::unsettled();
        };
        let value = if position.turn() == side {
            value.centipawns()
        } else {
            -value.centipawns()
        };
        let margin = Margin::default().margin;
        // A verdict holds within what authors call so, and fails only where the other side
        // has clearly more.
        let (holds, fails) = match standing {
            Standing::Winning => (value >= WON, value <= -WON),
            Standing::MuchBetter => (value >= 2 * margin, value <= -WON),
            Standing::Better => (value > 0, value <= -WON),
            Standing::Equal | Standing::Drawn => (value.abs() <= margin, value.abs() >= 3 * WON),
            Standing::Worse => (value < 0, value >= WON),
            Standing::MuchWorse => (value <= -2 * margin, value >= WON),
            Standing::Lost => (value <= -WON, value >= WON),
            Standing::Unclear => (false, false),
        };
        let shown = evidence(position, &moves);
        if holds && sure {
            return Answer::new(Verdict::Holds).on(position).shown_by(shown);
        }
        if !fails || !sure {
            return Answer::unsettled();
        }
        let better = if value > 0 { side } else { !side };
        let finding = Finding::new(
            &rules::false_verdict::RULE,
            self.place(),
            format!("{} is much better here: {shown}.", show::side(better)),
        )
        .on(position)
        .shown_by(shown.clone());
        Answer::new(Verdict::Fails)
            .on(position)
            .shown_by(shown)
            .found(finding)
    }

    /// Settles praise and blame of a move. They are confirmed where the search agrees, and
    /// never called false: authors may differ.
    pub(super) fn settle_quality(&self, quality: Quality, court: &mut Court<'_>) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        let Some((position, m)) = self.moves_meant().into_iter().next() else {
            return Answer::unsettled();
        };
        let lines = court.best(&position, 1, JUDGEMENT);
        let Some(best) = lines.first() else {
            return Answer::unsettled();
        };
        let mut after = position.clone();
        after.play_unchecked(m);
        let own = match court.value(&after, JUDGEMENT) {
            Some((value, ..)) => value.reversed().centipawns(),
            None if after.is_checkmate() => Value::Mates(1).centipawns(),
            None => 0,
        };
        let lost = best.value.centipawns() - own;
        let holds = match quality {
            Quality::Best => best.moves.first() == Some(&m) || lost <= 0,
            Quality::Better | Quality::Good => lost <= Margin::default().margin / 2,
            Quality::Wins => own >= WON,
            Quality::Mistake => lost >= BLUNDER / 2,
            Quality::Blunder => lost >= BLUNDER,
            Quality::Missed => false,
        };
        if holds {
            Answer::new(Verdict::Holds)
                .on(&position)
                .shown_by(evidence(&position, &best.moves))
        } else {
            Answer::unsettled()
        }
    }

    /// Settles "wins the queen": the line, or the game, shows it or is about to.
    pub(super) fn settle_gain(&self, what: Goods, lost: bool) -> Answer {
        if self.denied() {
            return Answer::unsettled();
        }
        let scene = &self.comment.scene;
        let cited: Vec<&Step> = self
            .comment
            .lines
            .iter()
            .flat_map(|line| line.readings.iter().flatten())
            .collect();
        let steps = cited
            .into_iter()
            .chain(&scene.played)
            .chain(&scene.steps)
            .collect::<Vec<_>>();
        let winners: Vec<Color> = match (self.claim.subject, lost) {
            (Subject::Side(color), false) => vec![color],
            (Subject::Side(color), true) => vec![!color],
            _ => Color::ALL.to_vec(),
        };
        let shows = |step: &&&Step| {
            winners.contains(&step.before.turn())
                && step
                    .mv
                    .and_then(Move::capture)
                    .is_some_and(|role| is_goods(role, what))
        };
        if let Some(step) = steps.iter().find(shows) {
            return Answer::new(Verdict::Holds)
                .on(&step.before)
                .shown_by(evidence(
                    &step.before,
                    &step.mv.into_iter().collect::<Vec<_>>(),
                ));
        }
        // About to be taken with profit.
        let ends = steps.iter().map(|step| &step.after).chain([&scene.here]);
        for position in ends {
            for m in position.capture_moves() {
                if winners.contains(&position.turn())
                    && m.capture().is_some_and(|role| is_goods(role, what))
                    && facts::exchange_of(position, m) > 0
                {
                    return Answer::new(Verdict::Holds)
                        .on(position)
                        .shown_by(evidence(position, &[m]));
                }
            }
        }
        Answer::unsettled()
    }

    // ---- draws ----------------------------------------------------------------------

    /// Settles claims of a draw by the rules of the game.
    pub(super) fn settle_draw(&self, draw: Draw) -> Answer {
        let holds = |position: &Chess| match draw {
            Draw::Stalemate => position.is_stalemate(),
            Draw::Dead => facts::dead_position(position) == Verdict::Holds,
            Draw::Insufficient => facts::insufficient_material(position),
            Draw::FiftyMoves => position.halfmoves() >= 100,
            Draw::Repetition => {
                let same = |other: &&Chess| {
                    other.board() == position.board() && other.turn() == position.turn()
                };
                self.comment.scene.tree.all().filter(same).count() >= 2
            }
            Draw::Perpetual => false,
        };
        if self.denied() {
            return match self.nearest().next() {
                Some(position) if !holds(position) && draw == Draw::Stalemate => {
                    Answer::new(Verdict::Holds).on(position)
                }
                _ => Answer::unsettled(),
            };
        }
        if let Some(position) = self.within_reach().find(|position| holds(position)) {
            return Answer::new(Verdict::Holds).on(position);
        }
        let end = match self.claim.at {
            At::End(_) => self
                .line()
                .filter(|line| line.readings.len() == 1)
                .and_then(|line| line.readings.first())
                .and_then(|steps| steps.last()),
            _ => None,
        };
        let (Some(end), Draw::Stalemate) = (end, draw) else {
            return Answer::unsettled();
        };
        if soon(&end.after, &holds) {
            return Answer::unsettled();
        }
        let Some(&m) = end.after.legal_moves().first() else {
            return Answer::unsettled();
        };
        let shown = evidence(&end.after, &[m]);
        let finding = Finding::new(
            &rules::false_draw::RULE,
            self.place(),
            format!("This is no stalemate: {shown} is legal."),
        )
        .on(&end.after)
        .shown_by(shown.clone());
        Answer::new(Verdict::Fails)
            .on(&end.after)
            .shown_by(shown)
            .found(finding)
    }

    // ---- named mates ----------------------------------------------------------------

    /// Settles the name of a mate by the picture of the final position.
    pub(super) fn settle_pattern(&self, name: Span, court: &mut Court<'_>) -> Answer {
        let name = self.words(name);
        let Some(pattern) = facts::MatingPattern::from_name(&name) else {
            return Answer::unsettled();
        };
        let shows = |position: &&Chess| pattern.matches(position);
        if let Some(position) = self
            .within_reach()
            .chain(self.comment.scene.tree.all())
            .find(shows)
        {
            return if self.denied() {
                Answer::unsettled()
            } else {
                Answer::new(Verdict::Holds).on(position)
            };
        }
        // The mate that can be proved from here, or was threatened.
        for start in [
            Some(self.comment.scene.here.clone()),
            self.comment.scene.passed(),
        ]
        .into_iter()
        .flatten()
        {
            let forced = court.mates_within(&start, 3, JUDGEMENT);
            let mut position = start.clone();
            for &m in &forced.line {
                position.play_unchecked(m);
            }
            if forced.verdict == Verdict::Holds && pattern.matches(&position) && !self.denied() {
                return Answer::new(Verdict::Holds)
                    .on(&position)
                    .shown_by(evidence(&start, &forced.line));
            }
        }
        Answer::unsettled()
    }

    // ---- exercises and pointers ------------------------------------------------------

    /// Settles what an exercise asks for.
    pub(super) fn settle_stipulation(
        &self,
        stipulation: Stipulation,
        court: &mut Court<'_>,
    ) -> Answer {
        let here = &self.comment.scene.here;
        let side = match self.claim.subject {
            Subject::Side(color) => color,
            _ => here.turn(),
        };
        if side != here.turn() {
            return Answer::unsettled();
        }
        match stipulation {
            Stipulation::ToPlay => Answer::new(Verdict::Holds).on(here),
            Stipulation::Win => self.judge(here, side, Standing::Winning, court),
            Stipulation::Draw => self.judge(here, side, Standing::Drawn, court),
            Stipulation::Mate(moves) => self.settle_mate(
                gainsay_commentary::Mate::In {
                    moves,
                    at_most: false,
                },
                court,
            ),
            Stipulation::BestMove => Answer::unsettled(),
        }
    }

    /// Settles a pointer: the place exists.
    pub(super) fn settle_reference(&self, reference: Reference) -> Answer {
        let exists = match reference {
            Reference::Move(number) => self
                .comment
                .scene
                .tree
                .all()
                .any(|position| position.fullmoves().get() == number),
            Reference::Ago(moves) => {
                let number = self.comment.scene.here.fullmoves().get();
                number > moves
            }
            Reference::Game(_) | Reference::Diagram(_) => false,
        };
        if exists {
            Answer::new(Verdict::Holds)
        } else {
            Answer::unsettled()
        }
    }
}

/// Whether a piece is what is said to be won.
fn is_goods(role: Role, what: Goods) -> bool {
    match what {
        Goods::Pawns(_) | Goods::Pawn(_) => role == Role::Pawn,
        Goods::Pieces(_) => !matches!(role, Role::Pawn | Role::King),
        Goods::Role(wanted, _) => role == wanted,
        Goods::Exchange(_) => role == Role::Rook,
        Goods::Material => role != Role::King,
        Goods::Game => false,
    }
}

/// Whether something is true after one or two moves from a position.
fn soon(position: &Chess, holds: &dyn Fn(&Chess) -> bool) -> bool {
    position.legal_moves().iter().any(|&m| {
        let mut after = position.clone();
        after.play_unchecked(m);
        holds(&after)
            || after.legal_moves().iter().any(|&m| {
                let mut later = after.clone();
                later.play_unchecked(m);
                holds(&later)
            })
    })
}
