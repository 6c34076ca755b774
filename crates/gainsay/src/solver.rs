//! The provers that claims are settled with.

use std::sync::{Arc, atomic::AtomicBool};

use gainsay_notation::Game;
use gainsay_proof::{
    Budget, MateAnswer, MateProver, MatingMove, Others, Verdict,
    endings::{Ending, Outcome, SyzygyTables, Tables},
    search::{Line, Searcher},
};
use shakmaty::{Chess, Move, Position};

use crate::{Judge, Key, Memory, Replay, Settings, Settlement};

/// The provers of one thread. Making one costs memory; answers never depend on what
/// was asked before.
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

    /// The same, which asks `memory` first what a game's claims came to. With a
    /// [`Judge`] it is not asked, since nobody knows whether that one still judges alike.
    #[must_use]
    pub fn with_memory(mut self, memory: Arc<dyn Memory>) -> Self {
        self.memory = Some(memory);
        self
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

    /// Whether settlements are remembered at all.
    pub(crate) fn remembers(&self) -> bool {
        self.memory.is_some() && !self.judged && !self.proofs
    }

    /// What game `number` of a section came to: from memory, or by `settle`, whose answer
    /// is then remembered unless the work was stopped or there is no claim.
    pub(crate) fn settled(
        &mut self,
        kind: &str,
        section: &[u8],
        number: u32,
        settings: &Settings,
        settle: impl FnOnce(&mut Self) -> Settlement,
    ) -> Settlement {
        let Some(memory) = self.memory.clone().filter(|_| self.remembers()) else {
            return settle(self);
        };
        let key = Key::of(kind, section, number, settings, self.tables.is_some());
        memory.recall(&key).unwrap_or_else(|| {
            let settlement = settle(self);
            if !self.is_stopped() && !settlement.claims.is_empty() {
                memory.keep(&key, &settlement);
            }
            settlement
        })
    }

    /// Who makes the judgements; `None` when it is our own search.
    #[must_use]
    pub fn judge(&self) -> Option<&str> {
        self.judge.as_ref().map(|judge| judge.name())
    }

    /// The best `lines` lines of a position for a judgement, and the nodes they cost:
    /// those of the judge, or of our own search where there is none or it failed.
    pub fn best(&mut self, position: &Chess, lines: usize, nodes: u64) -> (Vec<Line>, u64) {
        if let Some(judge) = &mut self.judge {
            match judge.best(position, lines, nodes, &self.stop) {
                Some(found) => return (found, nodes),
                None => self.judge = None,
            }
        }
        let (searcher, mut budget) = self.search(nodes);
        let found = searcher.best(position, lines, &mut budget);
        (found, budget.spent())
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
            let decisive = ending.outcome != Outcome::Draw;
            let in_time = ending.beats_fifty(position.halfmoves()) == Some(true);
            return (!decisive || in_time).then_some(ending);
        }
        let told = self.syzygy.as_ref()?.probe(position)?;
        Some(Ending {
            outcome: match (told.outcome, told.under_fifty?) {
                (outcome, true) => outcome,
                (_, false) => Outcome::Draw,
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

    /// Does the side to move force mate, within `moves` of its moves or in any number? A
    /// table answers at no cost, with a written proof only where proofs are wanted; else
    /// the prover answers, with `nodes` at most.
    pub fn mate(&mut self, position: &Chess, moves: Option<u32>, nodes: u64) -> MateAnswer {
        if let Some(answer) = self.mate_by_table(position, moves, Outcome::Win) {
            return answer;
        }
        let (prover, mut budget) = self.mates(nodes);
        match moves {
            Some(moves) => prover.mate_within(position, moves, &mut budget),
            None => prover.mate(position, &mut budget),
        }
    }

    /// Is the side to move mated, within `moves` moves of the other or in any number,
    /// whatever it plays? Answered as [`Solver::mate`].
    pub fn mated(&mut self, position: &Chess, moves: Option<u32>, nodes: u64) -> MateAnswer {
        if let Some(answer) = self.mate_by_table(position, moves, Outcome::Loss) {
            return answer;
        }
        // A capture may lead to what the tables know.
        for reply in position.legal_moves() {
            let mut after = position.clone();
            after.play_unchecked(reply);
            if let Some(mut escape) = self.mate_by_table(&after, moves, Outcome::Win)
                && escape.verdict == Verdict::Fails
            {
                escape.line.insert(0, reply);
                return escape;
            }
        }
        let (prover, mut budget) = self.mates(nodes);
        prover.mated(position, moves, &mut budget)
    }

    /// Whether the position ends with `wanted` for the side to move, by mate within
    /// `limit` moves.
    fn mate_by_table(
        &self,
        position: &Chess,
        limit: Option<u32>,
        wanted: Outcome,
    ) -> Option<MateAnswer> {
        /// More replies are not written down in a proof; it would take too much memory.
        const MOST: usize = 200_000;
        let tables = self.tables.as_ref()?;
        let ending = tables.settle(position, &self.stop)?;
        let answer = |verdict, moves: Option<u32>, plies: u32| {
            let line = self.best_play(position, plies)?;
            let others = (moves.is_some() && line.len() > 1).then_some(Others::NoLonger);
            Some(MateAnswer {
                verdict,
                moves,
                exact: moves.is_some(),
                line,
                others,
                proof: None,
                nodes: 0,
            })
        };
        if ending.outcome != wanted {
            return answer(Verdict::Fails, None, 2);
        }
        let (moves, plies) = ending.moves().zip(ending.dtm_plies)?;
        match limit {
            Some(limit) if limit < moves => answer(
                Verdict::Fails,
                None,
                limit
                    .saturating_mul(2)
                    .saturating_add(u32::from(wanted == Outcome::Loss)),
            ),
            // What the fifty-move rule may cut short is left to the prover.
            _ if ending.beats_fifty(position.halfmoves()) != Some(true) => None,
            _ => {
                let mut answer = answer(Verdict::Holds, Some(moves), u32::from(plies))?;
                // The rest of the answer is the same whether a proof is wanted or not.
                if self.proofs {
                    answer.proof = tables.prove(position, MOST, &self.stop);
                }
                Some(answer)
            }
        }
    }

    /// Which of the moves `firsts` force mate, within `moves` moves, themselves included, or
    /// in any number? In their order, with the nodes it cost, `nodes` at most; what a table
    /// answers costs nothing.
    pub fn mating_moves(
        &mut self,
        position: &Chess,
        firsts: &[Move],
        moves: Option<u32>,
        nodes: u64,
    ) -> (Vec<MatingMove>, u64) {
        let known: Vec<Option<MatingMove>> = firsts
            .iter()
            .map(|&first| self.first_by_table(position, first, moves))
            .collect();
        let open: Vec<Move> = (firsts.iter().zip(&known))
            .filter_map(|(&first, known)| known.is_none().then_some(first))
            .collect();
        let (prover, mut budget) = self.mates(nodes);
        let mut searched = prover
            .mating_among(position, &open, moves, &mut budget)
            .into_iter();
        let answers = (firsts.iter().zip(known))
            .map(|(&first, known)| {
                known
                    .or_else(|| searched.next())
                    .unwrap_or(MatingMove::unsettled(first))
            })
            .collect();
        (answers, budget.spent())
    }

    /// Whether a legal move mates within `limit` moves, if a table tells of the position
    /// after it.
    fn first_by_table(
        &self,
        position: &Chess,
        first: Move,
        limit: Option<u32>,
    ) -> Option<MatingMove> {
        let tables = self.tables.as_ref()?;
        if !position.is_legal(first) {
            return None;
        }
        let play = |position: &Chess, m| {
            let mut after = position.clone();
            after.play_unchecked(m);
            after
        };
        let after = play(position, first);
        let ending = tables.settle(&after, &self.stop)?;
        let left = limit.map_or(u32::MAX, |limit| limit.saturating_sub(1));
        let in_time = |ending: &Ending| ending.moves().is_some_and(|moves| moves <= left);
        let mut answer = MatingMove::unsettled(first);
        if limit != Some(0) && ending.outcome == Outcome::Loss && in_time(&ending) {
            // What the fifty-move rule may cut short is left to the prover.
            ending
                .beats_fifty(after.halfmoves())
                .filter(|&beats| beats)?;
            answer.verdict = Verdict::Holds;
            answer.moves = ending.moves().map(|moves| moves + 1);
        } else {
            answer.verdict = Verdict::Fails;
            answer.escape = after.legal_moves().into_iter().find(|&reply| {
                tables
                    .settle(&play(&after, reply), &self.stop)
                    .is_some_and(|ending| ending.outcome != Outcome::Win || !in_time(&ending))
            });
        }
        Some(answer)
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
    use super::*;

    fn solver() -> Solver {
        Solver::new(1 << 20).with_tables(Arc::new(Tables::new(16 << 20)))
    }

    fn position(fen: &str) -> Chess {
        crate::read_fen(fen, false).0.expect("a legal position")
    }

    #[test]
    fn tables_tell_mates_at_no_cost() {
        let mut solver = solver();
        // White to move mates with the queen in so many moves (the tables are checked
        // against other sources in crates/proof and tests/python/check_endings.py).
        let p = position("8/8/8/3k4/8/8/8/KQ6 w - - 0 1");
        let answer = solver.mate(&p, None, 10);
        let moves = answer.moves.expect("a mate");
        assert_eq!((answer.verdict, answer.exact), (Verdict::Holds, true));
        assert_eq!(answer.nodes, 0);
        assert_eq!(answer.line.len() as u32, 2 * moves - 1);
        let mut end = p.clone();
        for &m in &answer.line {
            end = end.play(m).expect("legal");
        }
        assert!(end.is_checkmate());

        let fails = solver.mate(&p, Some(moves - 1), 10);
        assert_eq!((fails.verdict, fails.moves), (Verdict::Fails, None));
        assert_eq!(fails.line.len() as u32, 2 * (moves - 1));
        assert_eq!(solver.mate(&p, Some(moves + 3), 10).moves, Some(moves));

        // Behind the first move the other side is mated in one move less.
        let first = answer.line.first().copied().expect("a move");
        let after = p.clone().play(first).expect("legal");
        let mated = solver.mated(&after, None, 10);
        assert_eq!(
            (mated.verdict, mated.moves),
            (Verdict::Holds, Some(moves - 1))
        );
        assert_eq!(mated.line[..], answer.line[1..]);
        let fails = solver.mated(&after, Some(moves - 2), 10);
        assert_eq!(fails.verdict, Verdict::Fails);
        assert_eq!(fails.line.len() as u32, 2 * (moves - 2) + 1);
        assert_eq!(solver.mated(&p, None, 10).verdict, Verdict::Fails);

        // A proof is written down where one is wanted.
        assert!(answer.proof.is_none());
        let mut writing = Solver::new(1 << 20)
            .with_tables(Arc::new(Tables::new(16 << 20)))
            .with_proofs();
        for (at, proved) in [
            (&p, writing.mate(&p, None, 10)),
            (&after, writing.mated(&after, None, 10)),
        ] {
            let text = proved.proof.expect("a proof").to_string();
            let verified = gainsay_proof::verify(&text).expect("sound");
            assert_eq!(Some(verified.moves), proved.moves);
            assert_eq!(&verified.position, at);
            assert_eq!(
                proved.line.len(),
                usize::from(at == &p) + 2 * moves as usize - 2
            );
        }

        let firsts = p.legal_moves();
        let (told, cost) = solver.mating_moves(&p, &firsts, Some(moves), 10);
        assert_eq!((told.len(), cost), (firsts.len(), 0));
        for told in &told {
            let after = p.clone().play(told.first).expect("legal");
            match told.verdict {
                Verdict::Holds => {
                    assert_eq!(told.moves, Some(moves));
                    assert_eq!(solver.mated(&after, None, 10).moves, Some(moves - 1));
                }
                _ => {
                    assert_eq!(told.verdict, Verdict::Fails);
                    let Some(escape) = told.escape else {
                        assert!(after.is_stalemate());
                        continue;
                    };
                    let next = after.play(escape).expect("legal");
                    let left = solver.mate(&next, Some(moves - 1), 10);
                    assert_eq!(left.verdict, Verdict::Fails);
                }
            }
        }
        assert!(
            told.iter()
                .any(|told| told.first == first && told.verdict == Verdict::Holds)
        );
        let (sooner, _) = solver.mating_moves(&p, &firsts, Some(moves - 1), 10);
        assert!(sooner.iter().all(|told| told.verdict == Verdict::Fails));

        // With the clock nearly run out the rules of the game have a say.
        let late = position("8/8/8/3k4/8/8/8/KQ6 w - - 96 90");
        assert_ne!(solver.mate(&late, None, 10).verdict, Verdict::Holds);
        assert_eq!(solver.ending(&late), None);
    }

    #[test]
    fn drawn_endings_have_no_mate() {
        let mut solver = solver();
        // The king can only stalemate or lose the pawn.
        let p = position("4k3/4P3/3K4/8/8/8/8/8 w - - 0 1");
        assert_eq!(solver.ending(&p).map(|e| e.outcome), Some(Outcome::Draw));
        let answer = solver.mate(&p, None, 10);
        assert_eq!((answer.verdict, answer.exact), (Verdict::Fails, false));
        // With the king ahead of it, it does.
        let p = position("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1");
        assert_eq!(solver.ending(&p).map(|e| e.outcome), Some(Outcome::Win));
        assert_eq!(Solver::new(1 << 20).ending(&p), None);
    }
}
