//! The prover: questions and answers.

use shakmaty::{Chess, Move, Position};

use super::{
    checks::OutOfBudget,
    exact::{KeyedPosition, Recall},
    forest::Forest,
    goal::{ANY, LONGEST},
    solve::{Mated, Solved},
    solver::Solver,
    table::FactTable,
    tree::Tree,
};
use crate::{
    budget::Budget,
    evidence::{Others, Proof},
    verdict::Verdict,
};

/// The answer to a question about mate.
#[derive(Clone, Debug)]
pub struct MateAnswer {
    /// Whether the side to move mates, or is mated, as asked.
    pub verdict: Verdict,
    /// When it holds: the moves of the mating side in the proof's longest line.
    /// It may be fewer than asked for: then a shorter mate exists.
    pub moves: Option<u32>,
    /// Whether `moves` is known to be the least number.
    pub exact: bool,
    /// When it holds: the main line, best defence on every ply, ending in mate.
    /// When it fails: the likeliest attempt and the defence that breaks it, if the
    /// side to move has a legal move at all; where it was asked whether the side to move
    /// is mated, the reply that escapes comes first.
    pub line: Vec<Move>,
    /// When it holds: how the defences beside the main line compare with it.
    pub others: Option<Others>,
    /// When it holds: the proof, every defence answered.
    pub proof: Option<Proof>,
    /// Nodes spent on the question.
    pub nodes: u64,
}

impl MateAnswer {
    /// Nothing is known.
    #[must_use]
    pub const fn unsettled() -> Self {
        Self {
            verdict: Verdict::Unsettled,
            moves: None,
            exact: false,
            line: Vec::new(),
            others: None,
            proof: None,
            nodes: 0,
        }
    }

    /// It holds as the proof shows, and there is no mate within `refuted` moves.
    pub(super) fn proved(proof: Proof, refuted: u32) -> Self {
        let exact = refuted.saturating_add(1) >= proof.moves();
        let others = match proof.others() {
            // Where the number of moves is not known to be the least, neither are those
            // of the main line, and so it may be no longer than another.
            Some(Others::Shorter) if !exact => Some(Others::NoLonger),
            others => others,
        };
        Self {
            verdict: Verdict::Holds,
            moves: Some(proof.moves()),
            exact,
            line: proof.main_line(),
            others,
            proof: Some(proof),
            nodes: 0,
        }
    }
}

/// Whether a first move mates.
#[derive(Clone, Debug)]
pub struct MatingMove {
    /// The first move.
    pub first: Move,
    /// Whether it mates as asked.
    pub verdict: Verdict,
    /// When it holds: moves of the proof's longest line, the first move included.
    /// Not always the least number.
    pub moves: Option<u32>,
    /// When it fails: a reply that escapes, unless there is no reply at all.
    pub escape: Option<Move>,
}

impl MatingMove {
    /// Nothing is known of it.
    #[must_use]
    pub const fn unsettled(first: Move) -> Self {
        Self {
            first,
            verdict: Verdict::Unsettled,
            moves: None,
            escape: None,
        }
    }

    /// Whether it is not settled.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.verdict == Verdict::Unsettled
    }
}

/// A proof may always list so many replies.
const LEAST_EDGES: usize = 1024;

/// Proves and disproves forced mates.
///
/// It keeps its tables between questions to save allocations, but forgets the
/// contents, so that answers never depend on what was asked before.
///
/// Mates are mates under the rules of the game: stalemate is no mate, and neither is
/// a mate that comes after a hundred half-moves without capture or pawn move, counted
/// from the position's own clock.
#[derive(Debug)]
pub struct MateProver {
    memory: usize,
    facts: FactTable,
    tree: Tree,
    forest: Forest,
}

impl MateProver {
    /// A prover that never uses more than `memory` bytes, or 1 MiB if that is more.
    ///
    /// A quarter each goes to the blocks of the proof-number search, to its table and to
    /// the facts. A proof that is written down takes about a hundred bytes a reply, and
    /// the replies are limited to a tenth of the memory; the path, limited in depth,
    /// takes less than 200 KiB.
    #[must_use]
    pub const fn new(memory: usize) -> Self {
        let memory = if memory < 1 << 20 { 1 << 20 } else { memory };
        Self {
            memory,
            facts: FactTable::new(memory / 4),
            tree: Tree::new(memory / 4),
            forest: Forest::new(memory / 4),
        }
    }

    /// A solver that knows nothing yet.
    pub(super) fn solver(&mut self) -> Solver<'_> {
        self.facts.clear();
        self.tree.clear();
        self.forest.clear();
        Solver {
            facts: &mut self.facts,
            tree: &mut self.tree,
            forest: &mut self.forest,
            recall: Recall::default(),
            most_edges: (self.memory / 1024).max(LEAST_EDGES),
        }
    }

    /// Does the side to move force mate, in any number of moves?
    ///
    /// When it does, the rest of the budget is spent on finding a shorter mate. It
    /// fails only when no mate exists at all, which is seldom provable.
    pub fn mate(&mut self, position: &Chess, budget: &mut Budget<'_>) -> MateAnswer {
        self.ask(position, ANY, budget)
    }

    /// Does the side to move force mate within `moves` of its own moves?
    ///
    /// When it does, shorter mates are looked for too: `moves` of the answer says in
    /// how many it mates, and `exact` whether fewer were refuted.
    pub fn mate_within(
        &mut self,
        position: &Chess,
        moves: u32,
        budget: &mut Budget<'_>,
    ) -> MateAnswer {
        self.ask(position, moves.min(LONGEST), budget)
    }

    fn ask(&mut self, position: &Chess, limit: u32, budget: &mut Budget<'_>) -> MateAnswer {
        let spent = budget.spent();
        let place = KeyedPosition::new(position);
        let mut solver = self.solver();
        let Solved { proof, refuted } = solver.solve(&place, limit, budget);
        let proof = proof.and_then(|dag| dag.publish(position, budget));
        let mut answer = proof.map_or_else(MateAnswer::unsettled, |proof| {
            MateAnswer::proved(proof, refuted)
        });
        if answer.verdict == Verdict::Unsettled && refuted >= limit {
            answer.verdict = Verdict::Fails;
            answer.line = solver.attempt(&place, limit, budget);
        }
        answer.nodes = budget.spent() - spent;
        answer
    }

    /// Which first moves force mate, within `moves` moves or in any number?
    ///
    /// One entry for every legal move, in the order of the rules library. The budget
    /// is shared evenly; what a move does not need is left to the others.
    pub fn mating_moves(
        &mut self,
        position: &Chess,
        moves: Option<u32>,
        budget: &mut Budget<'_>,
    ) -> Vec<MatingMove> {
        self.mating_among(position, &position.legal_moves(), moves, budget)
    }

    /// The same for some moves only, in their order. One that is not legal is unsettled.
    pub fn mating_among(
        &mut self,
        position: &Chess,
        firsts: &[Move],
        moves: Option<u32>,
        budget: &mut Budget<'_>,
    ) -> Vec<MatingMove> {
        let place = KeyedPosition::new(position);
        let mut solver = self.solver();
        let mut answers = Vec::with_capacity(firsts.len());
        for (index, &first) in firsts.iter().enumerate() {
            if !position.is_legal(first) {
                answers.push(MatingMove::unsettled(first));
                continue;
            }
            let mut share = budget.share(budget.left() / (firsts.len() - index) as u64);
            answers.push(solver.first_move(&place, first, moves, &mut share));
            budget.settle(&share);
        }
        answers
    }

    /// Does the move `first` force mate, within `moves` moves (itself included) or in
    /// any number, and if not, which reply escapes?
    ///
    /// Unsettled when `first` is not legal.
    pub fn first_move(
        &mut self,
        position: &Chess,
        first: Move,
        moves: Option<u32>,
        budget: &mut Budget<'_>,
    ) -> MatingMove {
        if !position.is_legal(first) {
            return MatingMove::unsettled(first);
        }
        let place = KeyedPosition::new(position);
        self.solver().first_move(&place, first, moves, budget)
    }

    /// A reply to `first` after which there is no mate within `moves` moves in all;
    /// `None` when there is none, or the budget did not suffice to find one.
    pub fn refute_move(
        &mut self,
        position: &Chess,
        first: Move,
        moves: u32,
        budget: &mut Budget<'_>,
    ) -> Option<Move> {
        self.first_move(position, first, Some(moves), budget).escape
    }
}

impl Solver<'_> {
    fn first_move(
        &mut self,
        place: &KeyedPosition,
        first: Move,
        moves: Option<u32>,
        budget: &mut Budget<'_>,
    ) -> MatingMove {
        let mut answer = MatingMove::unsettled(first);
        if !budget.spend() {
            return answer;
        }
        let after = place.after(first);
        let left = match moves {
            None => ANY,
            Some(0) => {
                answer.verdict = Verdict::Fails;
                return answer;
            }
            Some(moves) => moves.min(LONGEST) - 1,
        };
        match self.mated(&after, left, budget) {
            Ok(Mated::Within(length)) => {
                answer.verdict = Verdict::Holds;
                answer.moves = Some(length + 1);
            }
            Ok(Mated::Not) => {
                answer.verdict = Verdict::Fails;
                answer.escape = self.escape(&after, left, budget).unwrap_or_default();
            }
            Ok(Mated::Unknown) | Err(OutOfBudget) => {}
        }
        answer
    }
}
