//! The provers that claims are settled with.

mod answers;
mod mates;

use std::sync::{Arc, atomic::AtomicBool};

use gainsay_notation::Game;
use gainsay_proof::{
    Budget, MateProver,
    endings::{Ending, SyzygyTables, Tables, Wdl},
    search::{Perpetual, Searcher, Variation, perpetual_check},
};
use shakmaty::{Chess, Move, Position};

pub use self::answers::Answers;
use self::answers::{Asked, Asking, Reply};
use crate::{judge::Judge, memory::Memory, replay::Replay};

/// The provers of one thread. Making one costs memory; answers never depend on what
/// was asked before.
///
/// ```
/// use gainsay::{Solver, Verdict, read_fen, show};
/// let position = read_fen("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", false).0.unwrap();
/// let answer = Solver::new(1 << 20).mate(&position, Some(1), 1000);
/// assert_eq!(answer.verdict, Verdict::Holds);
/// assert_eq!(show::line(&position, &answer.line), "1. Ra8#");
/// ```
#[derive(Debug)]
pub struct Solver {
    /// The mate prover.
    pub mates: MateProver,
    /// The move search, for judgements.
    pub searcher: Searcher,
    stop: Arc<AtomicBool>,
    tables: Option<Arc<Tables>>,
    syzygy: Option<Arc<SyzygyTables>>,
    judge: Option<Box<dyn Judge>>,
    memory: Option<Arc<dyn Memory>>,
    answers: Answers,
    searched: u64,
    judged: bool,
    proofs: bool,
    /// The last game's lists, kept for their allocations only.
    scratch: Option<Box<(Game, Replay)>>,
}

impl Solver {
    /// Lists for reading and playing through games, with what they hold.
    pub(crate) fn take_scratch(&mut self) -> Box<(Game, Replay)> {
        self.scratch.take().unwrap_or_default()
    }

    /// Keeps the lists for the next games, unless a monstrous game has blown them up.
    pub(crate) fn keep_scratch(&mut self, scratch: Box<(Game, Replay)>) {
        const MOST: usize = 10_000;
        if scratch.0.elements.capacity() <= MOST && scratch.1.plies.capacity() <= MOST {
            self.scratch = Some(scratch);
        }
    }

    /// A solver that uses about `memory` bytes.
    #[must_use]
    pub fn new(memory: usize) -> Self {
        Self {
            mates: MateProver::new(memory - memory / 4),
            searcher: Searcher::new(memory / 4),
            stop: Arc::new(AtomicBool::new(false)),
            tables: None,
            syzygy: None,
            judge: None,
            memory: None,
            answers: Answers::default(),
            searched: 0,
            judged: false,
            proofs: false,
            scratch: None,
        }
    }

    /// The same, whose judgements are made by `judge`.
    #[must_use]
    pub fn with_judge(mut self, judge: Box<dyn Judge>) -> Self {
        self.judge = Some(judge);
        self.judged = true;
        self
    }

    /// The same, which asks `memory` first what a question came to. With a [`Judge`] only a
    /// memory is asked that holds judgements.
    #[must_use]
    pub fn with_memory(mut self, memory: Arc<dyn Memory>) -> Self {
        self.memory = Some(memory);
        self
    }

    /// The same, which shares its answers with others of the same memory, tables and judge.
    #[must_use]
    pub fn sharing(mut self, answers: Answers) -> Self {
        self.answers = answers;
        self
    }

    /// The nodes that were really spent so far; what was answered before cost nothing again.
    #[must_use]
    pub const fn searched(&self) -> u64 {
        self.searched
    }

    /// The answer to a question: that of before, or by `search`, which is then kept unless the
    /// work was stopped.
    fn answered(
        &mut self,
        asked: Asked,
        position: &Chess,
        nodes: u64,
        search: impl FnOnce(&mut Self) -> Reply,
    ) -> Arc<Reply> {
        let question = Asking::new(asked, position, nodes);
        if let Some(reply) = self.answers.get(&question) {
            return reply;
        }
        let reply = Arc::new(search(self));
        self.searched = self.searched.saturating_add(reply.nodes());
        if !self.is_stopped() {
            self.answers.keep(question, Arc::clone(&reply));
        }
        reply
    }

    /// The same, whose claims of mate come with their proofs written down. Settlements
    /// are not remembered then, for proofs are large.
    #[must_use]
    pub const fn with_proofs(mut self) -> Self {
        self.proofs = true;
        self
    }

    /// Whether proofs are wanted.
    pub(crate) const fn proofs(&self) -> bool {
        self.proofs
    }

    /// What remembers outcomes, where they may be remembered.
    pub(crate) fn memory(&self) -> Option<Arc<dyn Memory>> {
        let memory = self.memory.clone().filter(|_| !self.proofs);
        memory.filter(|memory| !self.judged || memory.holds_judgements())
    }

    /// Whether endings are known exactly.
    pub(crate) const fn has_tables(&self) -> bool {
        self.tables.is_some()
    }

    /// Who makes the judgements; `None` when it is our own search.
    #[must_use]
    pub fn judge(&self) -> Option<&str> {
        self.judge.as_ref().map(|judge| judge.name())
    }

    /// The best `lines` lines of a position for a judgement, and the nodes they cost:
    /// those of the judge, or of our own search where there is none or it failed.
    pub fn best(&mut self, position: &Chess, lines: usize, nodes: u64) -> (Vec<Variation>, u64) {
        if let Some(judge) = &mut self.judge {
            match judge.best(position, lines, nodes, &self.stop) {
                Some(found) => return (found, nodes),
                None => self.judge = None,
            }
        }
        self.own_best(position, lines, nodes)
    }

    /// The same by our own search, whoever judges.
    pub(crate) fn own_best(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
    ) -> (Vec<Variation>, u64) {
        let reply = self.answered(Asked::Best(lines), position, nodes, |solver| {
            let (searcher, mut budget) = solver.search(nodes);
            let found = searcher.best(position, lines, &mut budget);
            Reply::Best(found, budget.spent())
        });
        match reply.as_ref() {
            Reply::Best(found, spent) => (found.clone(), *spent),
            _ => (Vec::new(), 0),
        }
    }

    /// Whether the side to move can give check for ever, with `nodes` at most.
    pub(crate) fn perpetual(&mut self, position: &Chess, nodes: u64) -> Option<Perpetual> {
        let reply = self.answered(Asked::Perpetual, position, nodes, |solver| {
            let (_, mut budget) = solver.search(nodes);
            Reply::Perpetual(perpetual_check(position, &mut budget))
        });
        match reply.as_ref() {
            Reply::Perpetual(found) => Some(found.clone()),
            _ => None,
        }
    }

    /// The same, which knows the endings of up to four men. A table that is not there is
    /// made first, however long that takes, so that no verdict depends on what was asked
    /// before.
    #[must_use]
    pub fn with_tables(mut self, tables: Arc<Tables>) -> Self {
        self.tables = Some(tables);
        self
    }

    /// The same, which knows who wins the endings of these tables too.
    #[must_use]
    pub fn with_syzygy(mut self, tables: Arc<SyzygyTables>) -> Self {
        self.syzygy = Some(tables);
        self
    }

    /// How the position ends when both sides play best, if a table tells. With the
    /// fifty-move rule: a win that comes too late for it is a draw, and one of which the
    /// tables do not tell whether it comes in time is not known.
    #[must_use]
    pub fn ending(&self, position: &Chess) -> Option<Ending> {
        if let Some(tables) = &self.tables
            && let Some(ending) = tables.settle(position, &self.stop)
        {
            let decisive = ending.outcome != Wdl::Draw;
            let in_time = ending.beats_fifty(position.halfmoves()) == Some(true);
            return (!decisive || in_time).then_some(ending);
        }
        let told = self.syzygy.as_ref()?.probe(position)?;
        Some(Ending {
            outcome: match (told.outcome, told.under_fifty?) {
                (outcome, true) => outcome,
                (_, false) => Wdl::Draw,
            },
            dtm_plies: None,
        })
    }

    /// The first `plies` plies of best play by the tables of up to four men; `None` where
    /// they do not tell.
    #[must_use]
    pub fn best_play(&self, position: &Chess, plies: u32) -> Option<Vec<Move>> {
        let tables = self.tables.as_ref()?;
        tables.best_play(position, plies, &self.stop)
    }

    /// The flag that ends the work under way; its verdicts are then to be thrown away.
    #[must_use]
    pub fn stop_flag(&self) -> Arc<AtomicBool> {
        Arc::clone(&self.stop)
    }

    /// Whether the flag is raised.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.stop.load(std::sync::atomic::Ordering::Relaxed)
    }

    /// Uses another flag.
    pub fn stop_on(&mut self, flag: Arc<AtomicBool>) {
        self.stop = flag;
    }

    /// The mate prover and a budget that the stop flag ends.
    pub fn mates(&mut self, nodes: u64) -> (&mut MateProver, Budget<'_>) {
        (&mut self.mates, Budget::nodes(nodes).stoppable(&self.stop))
    }

    /// The move search and a budget that the stop flag ends.
    pub fn search(&mut self, nodes: u64) -> (&mut Searcher, Budget<'_>) {
        (
            &mut self.searcher,
            Budget::nodes(nodes).stoppable(&self.stop),
        )
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use super::*;

    pub(super) fn solver() -> Solver {
        Solver::new(1 << 20).with_tables(Arc::new(Tables::new(16 << 20)))
    }

    pub(super) fn position(fen: &str) -> Chess {
        crate::read_fen(fen, false).0.expect("a legal position")
    }

    #[test]
    fn drawn_endings_have_no_mate() {
        let mut solver = solver();
        // The king can only stalemate or lose the pawn.
        let p = position("4k3/4P3/3K4/8/8/8/8/8 w - - 0 1");
        assert_eq!(solver.ending(&p).map(|e| e.outcome), Some(Wdl::Draw));
        let answer = solver.mate(&p, None, 10);
        assert_eq!((answer.verdict, answer.exact), (Verdict::Fails, false));
        // With the king ahead of it, it does.
        let p = position("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1");
        assert_eq!(solver.ending(&p).map(|e| e.outcome), Some(Wdl::Win));
        assert_eq!(Solver::new(1 << 20).ending(&p), None);
    }
}
