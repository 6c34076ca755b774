//! Verdicts on their way, and the budget they may cost.

use gainsay_proof::{
    MateAnswer, MatingMove, Others, Proof, Verdict,
    endings::{Ending, Outcome},
    search::{Line, Value},
};
use shakmaty::{Chess, Move, Position};

use crate::{Finding, Solver, show};

/// What was found out about a claim.
#[derive(Debug)]
pub(super) struct Answer {
    pub(super) verdict: Verdict,
    /// The position of the reading that decided.
    pub(super) position: Option<Chess>,
    pub(super) evidence: Vec<String>,
    /// For mates: whether the number was proved to be the least.
    pub(super) exact: Option<bool>,
    pub(super) findings: Vec<Finding>,
    /// For mates: how the other defences compare.
    pub(super) others: Option<Others>,
    /// How many positions were searched, where that belongs to the evidence.
    pub(super) searched: Option<u64>,
    /// For mates: the proof.
    pub(super) proof: Option<Box<Proof>>,
}

impl Answer {
    pub(super) const fn new(verdict: Verdict) -> Self {
        Self {
            verdict,
            position: None,
            evidence: Vec::new(),
            exact: None,
            findings: Vec::new(),
            others: None,
            searched: None,
            proof: None,
        }
    }

    pub(super) const fn unsettled() -> Self {
        Self::new(Verdict::Unsettled)
    }

    /// Says of which position it speaks.
    pub(super) fn on(mut self, position: &Chess) -> Self {
        self.position = Some(position.clone());
        self
    }

    /// That it is mate in `position` is its own proof.
    pub(super) fn mated(position: &Chess) -> Self {
        let mut answer = Self::new(Verdict::Holds).on(position);
        answer.proof = Proof::mated(position).map(Box::new);
        answer
    }

    /// Adds a line of evidence, unless it is empty.
    pub(super) fn shown_by(mut self, line: String) -> Self {
        if !line.is_empty() {
            self.evidence.push(line);
        }
        self
    }

    /// Says that searching so many positions belongs to the evidence.
    pub(super) const fn by_search(mut self, nodes: u64) -> Self {
        self.searched = Some(nodes);
        self
    }

    /// Adds a finding, to be shown if the claim may fail.
    pub(super) fn found(mut self, finding: Finding) -> Self {
        self.findings.push(finding);
        self
    }
}

/// The provers with what is left of one claim's budget.
pub(super) struct Court<'a> {
    solver: &'a mut Solver,
    left: u64,
    spent: u64,
    /// Whether the budget did not suffice for some question.
    short: bool,
    judged: Option<String>,
}

/// The answer to a question about a forced mate.
#[derive(Clone, Debug)]
pub(super) struct Forced {
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
    pub(super) const fn new(solver: &'a mut Solver, nodes: u64) -> Self {
        Self {
            solver,
            left: nodes,
            spent: 0,
            short: false,
            judged: None,
        }
    }

    /// The words that say so, where someone else's search had a part in the verdict.
    pub(super) fn judged(&self) -> Option<String> {
        self.judged.clone()
    }

    /// Nodes spent so far.
    pub(super) const fn spent(&self) -> u64 {
        self.spent
    }

    /// Whether some question was left open for want of nodes.
    pub(super) const fn is_short(&self) -> bool {
        self.short
    }

    /// Whether the work was told to stop.
    pub(super) fn is_stopped(&self) -> bool {
        self.solver.is_stopped()
    }

    /// Asks something that leaves a quarter of the budget for what comes then.
    pub(super) fn leaving_a_quarter<T>(&mut self, ask: impl FnOnce(&mut Self) -> T) -> T {
        let kept = self.left / 4;
        self.left -= kept;
        let answer = ask(self);
        self.left += kept;
        answer
    }

    /// Does the side to move mate within `moves`?
    pub(super) fn mates(&mut self, position: &Chess, moves: u32) -> Forced {
        self.mates_within(position, moves, self.left)
    }

    /// The same at the cost of `nodes` at most.
    pub(super) fn mates_within(&mut self, position: &Chess, moves: u32, nodes: u64) -> Forced {
        let answer = self
            .solver
            .mate(position, Some(moves), nodes.min(self.left));
        self.booked(answer)
    }

    /// Does the side to move mate at all? Only a complete answer *fails*.
    pub(super) fn mates_ever(&mut self, position: &Chess, nodes: u64) -> Forced {
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
    pub(super) fn mating_moves(
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
    pub(super) fn perpetual(&mut self, position: &Chess, nodes: u64) -> (Verdict, Vec<Move>) {
        let Some(found) = self.solver.perpetual(position, nodes.min(self.left)) else {
            return (Verdict::Unsettled, Vec::new());
        };
        self.left = self.left.saturating_sub(found.nodes);
        self.spent += found.nodes;
        self.short |= found.verdict == Verdict::Unsettled;
        (found.verdict, found.line)
    }

    /// The best lines of a position, at the cost of `nodes` at most.
    pub(super) fn best(&mut self, position: &Chess, lines: usize, nodes: u64) -> Vec<Line> {
        let (found, spent) = self.solver.best(position, lines, nodes.min(self.left));
        self.judged = self.solver.judge().map(|name| format!("judged by {name}"));
        self.left = self.left.saturating_sub(spent);
        self.spent += spent;
        found
    }

    /// How an ending ends, if a table tells.
    pub(super) fn outcome(&self, position: &Chess) -> Option<Outcome> {
        Some(self.solver.ending(position)?.outcome)
    }

    /// How an ending ends, if a table tells, and the best play of both sides.
    pub(super) fn ending(&mut self, position: &Chess, nodes: u64) -> Option<(Ending, Vec<Move>)> {
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
    pub(super) fn value(
        &mut self,
        position: &Chess,
        nodes: u64,
    ) -> Option<(Value, Vec<Move>, bool)> {
        self.value_unless(position, nodes, &|_| false)
    }

    /// The same, but the first search decides where its value is `clear`.
    pub(super) fn value_unless(
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
    pub(super) fn is_mated(&mut self, position: &Chess, moves: u32) -> Forced {
        self.is_mated_within(position, moves, self.left)
    }

    /// The same at the cost of `nodes` a reply at most.
    pub(super) fn is_mated_within(&mut self, position: &Chess, moves: u32, nodes: u64) -> Forced {
        let replies = position.legal_moves().len() as u64;
        let nodes = nodes.saturating_mul(replies.max(1)).min(self.left);
        let answer = self.solver.mated(position, Some(moves), nodes);
        self.booked(answer)
    }
}

/// A line of evidence.
pub(super) fn evidence(start: &Chess, line: &[Move]) -> String {
    show::line(start, line)
}
