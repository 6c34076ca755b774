//! Verdicts on their way, and the budget they may cost.

use gainsay_proof::{
    MateAnswer, MatingMove, Others, Proof, Verdict,
    endings::{self, Ending},
    search::{self, Value},
};
use shakmaty::{Chess, Move, Position};

use crate::{
    outcome::{
        Evidence, Exercise, Fault, Grounds, Judged, Line, Open, Outcome, Placed, Refuted, Why,
    },
    solver::Solver,
    unfold,
};

/// What was found out about a claim.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) verdict: Verdict,
    /// The position of the reading that decided.
    pub(super) position: Option<Chess>,
    pub(super) evidence: Vec<Evidence>,
    /// For mates: whether the number was proved to be the least.
    pub(crate) exact: Option<bool>,
    /// What is wrong, in the claim or beside it.
    pub(crate) faults: Vec<Fault>,
    /// For mates: how the other defences compare.
    pub(crate) others: Option<Others>,
    /// How many positions were searched, where that belongs to the evidence.
    pub(super) searched: Option<u64>,
    /// For mates: the proof.
    pub(crate) proof: Option<Box<Proof>>,
    /// For the task of an exercise: what more is known of it.
    pub(crate) exercise: Option<Box<Exercise>>,
}

impl Answer {
    pub(crate) const fn new(verdict: Verdict) -> Self {
        Self {
            verdict,
            position: None,
            evidence: Vec::new(),
            exact: None,
            faults: Vec::new(),
            others: None,
            searched: None,
            proof: None,
            exercise: None,
        }
    }

    pub(crate) const fn unsettled() -> Self {
        Self::new(Verdict::Unsettled)
    }

    /// Says of which position it speaks.
    pub(crate) fn on(mut self, position: &Chess) -> Self {
        self.position = Some(position.clone());
        self
    }

    /// That it is mate in `position` is its own proof.
    pub(crate) fn mated(position: &Chess) -> Self {
        let mut answer = Self::new(Verdict::Holds).on(position);
        answer.proof = Proof::mated(position).map(Box::new);
        answer
    }

    /// Adds a line of evidence, unless it is empty.
    pub(crate) fn shown_by(self, line: Line) -> Self {
        if line.is_empty() {
            return self;
        }
        self.showing(Evidence::Line(line))
    }

    /// Adds something that shows the verdict.
    pub(crate) fn showing(mut self, evidence: Evidence) -> Self {
        self.evidence.push(evidence);
        self
    }

    /// Says that searching so many positions belongs to the evidence.
    pub(crate) const fn by_search(mut self, nodes: u64) -> Self {
        self.searched = Some(nodes);
        self
    }

    /// Adds what is wrong, to be told if the claim may fail.
    pub(crate) fn found(mut self, fault: Fault) -> Self {
        self.faults.push(fault);
        self
    }

    /// That the claim is false in `position`, and why.
    pub(crate) fn refuted(why: impl Into<Why>, position: &Chess, shown: Line) -> Self {
        Self::new(Verdict::Fails)
            .on(position)
            .shown_by(shown)
            .found(Fault::of(why))
    }

    /// The outcome with its cost, of a claim that stands in `here`. One that is not meant so
    /// plainly that it may fail is unsettled instead.
    pub(crate) fn judged(self, court: &Court<'_>, may_fail: bool, proofs: bool) -> Judged {
        let side_lines = self.proof.as_deref().and_then(unfold::to_insert);
        let proof = self.proof.filter(|_| proofs).map(|proof| proof.to_string());
        let mut verdict = self.verdict;
        if verdict == Verdict::Fails && !may_fail {
            verdict = Verdict::Unsettled;
        }
        let judged_by = court.judged_by().filter(|_| verdict != Verdict::Unsettled);
        let grounds = Grounds {
            position: self.position.map(Placed),
            evidence: self.evidence,
            exact: self.exact,
            defences: self.others.map(Into::into),
            searched: self.searched,
            judged_by,
        };
        let faults = if may_fail { self.faults } else { Vec::new() };
        let (outcome, remarks) = match verdict {
            Verdict::Holds => (Outcome::Holds(grounds), faults),
            Verdict::Fails => {
                let reasons = faults;
                (Outcome::Fails(Refuted { grounds, reasons }), Vec::new())
            }
            Verdict::Unsettled if court.is_short() => (Outcome::Unsettled(Open::Spent), faults),
            Verdict::Unsettled => (Outcome::Unsettled(Open::Undecided), faults),
        };
        Judged {
            outcome,
            remarks,
            side_lines,
            proof,
            exercise: self.exercise,
            stands_at: None,
            nodes: court.spent(),
        }
    }
}

/// The provers with what is left of one claim's budget.
pub(crate) struct Court<'a> {
    solver: &'a mut Solver,
    left: u64,
    spent: u64,
    /// Whether the budget did not suffice for some question.
    short: bool,
    judged_by: Option<String>,
}

/// The answer to a question about a forced mate.
#[derive(Clone, Debug)]
pub(crate) struct Forced {
    pub(super) verdict: Verdict,
    /// The moves that show it, from the position asked about.
    pub(super) line: Vec<Move>,
    pub(super) moves: Option<u32>,
    pub(super) exact: bool,
    /// How the defences beside the line compare with it.
    pub(super) others: Option<Others>,
    /// The proof, if there is one.
    pub(super) proof: Option<Box<Proof>>,
}

impl From<MateAnswer> for Forced {
    fn from(answer: MateAnswer) -> Self {
        Self {
            verdict: answer.verdict,
            line: answer.line,
            moves: answer.moves,
            exact: answer.exact,
            others: answer.others,
            proof: answer.proof.map(Box::new),
        }
    }
}

impl<'a> Court<'a> {
    pub(crate) const fn new(solver: &'a mut Solver, nodes: u64) -> Self {
        Self {
            solver,
            left: nodes,
            spent: 0,
            short: false,
            judged_by: None,
        }
    }

    /// Whose search had a part in the verdict, where it was not our own.
    pub(crate) fn judged_by(&self) -> Option<String> {
        self.judged_by.clone()
    }

    /// Nodes spent so far.
    pub(crate) const fn spent(&self) -> u64 {
        self.spent
    }

    /// Nodes left.
    pub(super) const fn left(&self) -> u64 {
        self.left
    }

    /// Whether some question was left open for want of nodes.
    pub(crate) const fn is_short(&self) -> bool {
        self.short
    }

    /// Whether the work was told to stop.
    pub(crate) fn is_stopped(&self) -> bool {
        self.solver.is_stopped()
    }

    /// Asks something that leaves a quarter of the budget for what comes then.
    pub(crate) fn leaving_a_quarter<T>(&mut self, ask: impl FnOnce(&mut Self) -> T) -> T {
        let kept = self.left / 4;
        self.left -= kept;
        let answer = ask(self);
        self.left += kept;
        answer
    }

    /// Does the side to move mate within `moves`?
    pub(crate) fn mates(&mut self, position: &Chess, moves: u32) -> Forced {
        self.mates_within(position, moves, self.left)
    }

    /// The same at the cost of `nodes` at most.
    pub(crate) fn mates_within(&mut self, position: &Chess, moves: u32, nodes: u64) -> Forced {
        let answer = self
            .solver
            .mate(position, Some(moves), nodes.min(self.left));
        self.booked(answer)
    }

    /// Does the side to move mate at all? Only a complete answer *fails*.
    pub(crate) fn mates_ever(&mut self, position: &Chess, nodes: u64) -> Forced {
        let answer = self.solver.mate(position, None, nodes.min(self.left));
        self.booked(answer)
    }

    /// The answer, once its cost is booked.
    fn booked(&mut self, answer: MateAnswer) -> Forced {
        self.left = self.left.saturating_sub(answer.nodes);
        self.spent += answer.nodes;
        self.short |= answer.verdict == Verdict::Unsettled;
        answer.into()
    }

    /// Which of these first moves mate within `moves` moves, themselves included, at the cost
    /// of `nodes` each at most?
    pub(crate) fn mating_moves(
        &mut self,
        position: &Chess,
        firsts: &[Move],
        moves: u32,
        nodes: u64,
    ) -> Vec<MatingMove> {
        let nodes = nodes.saturating_mul(firsts.len() as u64).min(self.left);
        let (told, spent) = self
            .solver
            .mating_moves(position, firsts, Some(moves), nodes);
        self.left = self.left.saturating_sub(spent);
        self.spent += spent;
        self.short |= told.iter().any(MatingMove::is_open);
        told
    }

    /// Can the side to move give check for ever? With the moves that show it.
    pub(crate) fn perpetual(&mut self, position: &Chess, nodes: u64) -> (Verdict, Vec<Move>) {
        let Some(found) = self.solver.perpetual(position, nodes.min(self.left)) else {
            return (Verdict::Unsettled, Vec::new());
        };
        self.left = self.left.saturating_sub(found.nodes);
        self.spent += found.nodes;
        self.short |= found.verdict == Verdict::Unsettled;
        (found.verdict, found.line)
    }

    /// The best lines of a position, at the cost of `nodes` at most.
    pub(crate) fn best(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
    ) -> Vec<search::Variation> {
        let (found, spent) = self.solver.best(position, lines, nodes.min(self.left));
        self.judged_by = self.solver.judge().map(ToOwned::to_owned);
        self.left = self.left.saturating_sub(spent);
        self.spent += spent;
        found
    }

    /// How an ending ends, if a table tells.
    pub(crate) fn outcome(&self, position: &Chess) -> Option<endings::Wdl> {
        Some(self.solver.ending(position)?.outcome)
    }

    /// How an ending ends, if a table tells, and the best play of both sides.
    pub(crate) fn ending(&mut self, position: &Chess, nodes: u64) -> Option<(Ending, Vec<Move>)> {
        /// No more plies are shown.
        const SHOWN: u32 = 24;
        let ending = self.solver.ending(position)?;
        let line = match ending.dtm_plies {
            Some(plies) => self.solver.best_play(position, u32::from(plies).min(SHOWN)),
            None => None,
        };
        let line = match line {
            Some(line) => line,
            None => self.sound_line(position, ending, nodes),
        };
        Some((ending, line))
    }

    /// Our own search's line, as far as the tables say that no side throws away what it
    /// has; where its first move does, any move that does not.
    fn sound_line(&mut self, position: &Chess, ending: Ending, nodes: u64) -> Vec<Move> {
        let nodes = nodes.min(self.left);
        let (lines, spent) = self.solver.own_best(position, 1, nodes);
        self.left = self.left.saturating_sub(spent);
        self.spent += spent;
        let mut sound = Vec::new();
        let mut outcome = ending.outcome;
        let mut at = position.clone();
        for m in lines
            .into_iter()
            .next()
            .map_or_else(Vec::new, |line| line.moves)
        {
            at.play_unchecked(m);
            outcome = outcome.reversed();
            if self.solver.ending(&at).map(|ending| ending.outcome) != Some(outcome) {
                break;
            }
            sound.push(m);
        }
        if sound.is_empty() {
            sound = self.solver.best_play(position, 2).unwrap_or_default();
        }
        sound
    }

    /// What a position is worth for the side to move, the best line, and whether a search
    /// of a quarter of the nodes comes to about the same.
    pub(crate) fn value(
        &mut self,
        position: &Chess,
        nodes: u64,
    ) -> Option<(Value, Vec<Move>, bool)> {
        self.value_unless(position, nodes, &|_| false)
    }

    /// The same, but the first search decides where its value is `clear`.
    pub(crate) fn value_unless(
        &mut self,
        position: &Chess,
        nodes: u64,
        clear: &dyn Fn(Value) -> bool,
    ) -> Option<(Value, Vec<Move>, bool)> {
        const ABOUT: i32 = 80;
        const CLEAR: i32 = 250;
        // Both searches must find their nodes.
        let nodes = nodes.min(self.left / 5 * 4);
        let early = self.best(position, 1, nodes / 4).into_iter().next()?;
        if clear(early.value) {
            return Some((early.value, early.moves, true));
        }
        let late = self.best(position, 1, nodes).into_iter().next()?;
        let (before, after) = (early.value.centipawns(), late.value.centipawns());
        let sure = (before - after).abs() <= ABOUT
            || before.min(after) >= CLEAR
            || before.max(after) <= -CLEAR;
        Some((late.value, late.moves, sure))
    }

    /// Is the side to move mated by the other within `moves` of its moves, whatever it
    /// plays?
    pub(crate) fn is_mated(&mut self, position: &Chess, moves: u32) -> Forced {
        self.is_mated_within(position, moves, self.left)
    }

    /// The same at the cost of `nodes` a reply at most.
    pub(crate) fn is_mated_within(&mut self, position: &Chess, moves: u32, nodes: u64) -> Forced {
        let replies = position.legal_moves().len() as u64;
        let nodes = nodes.saturating_mul(replies.max(1)).min(self.left);
        let answer = self.solver.mated(position, Some(moves), nodes);
        self.booked(answer)
    }
}
