//! Questions about mate: who answers them, prover or tables.

use crate::resolve::played;
use gainsay_proof::{
    MateAnswer, MatingMove, Others, Verdict,
    endings::{Ending, Tables, Wdl},
};
use shakmaty::{Chess, Move, Position};

use super::{Asked, Reply, Solver};

/// Nodes that the prover may spend on a question before a table is asked, which takes seconds
/// if it must be built first. By measure so many settle nearly all mates in up to four moves
/// of four men, in some hundredths of a second.
const SOON: u64 = 20_000;

impl Solver {
    /// Does the side to move force mate, within `moves` of its moves or in any number? With
    /// `nodes` at most. Where the prover does not soon tell for certain, a table answers if
    /// one can, with a written proof only where proofs are wanted.
    pub fn mate(&mut self, position: &Chess, moves: Option<u32>, nodes: u64) -> MateAnswer {
        self.settle_mate(position, moves, Wdl::Win, nodes)
    }

    /// Is the side to move mated, within `moves` moves of the other or in any number,
    /// whatever it plays? Answered as [`Solver::mate`].
    pub fn mated(&mut self, position: &Chess, moves: Option<u32>, nodes: u64) -> MateAnswer {
        self.settle_mate(position, moves, Wdl::Loss, nodes)
    }

    /// Whether the side to move mates, or is mated, as `wanted` says. The prover comes first
    /// whether the table is at hand or not: the answer is the same then, and nobody waits for
    /// a table to be built that is not needed.
    fn settle_mate(
        &mut self,
        position: &Chess,
        moves: Option<u32>,
        wanted: Wdl,
        nodes: u64,
    ) -> MateAnswer {
        let mated = wanted == Wdl::Loss;
        let asked = Asked::Mate { moves, mated };
        let reply = self.answered(asked, position, nodes, |solver| {
            Reply::Mate(solver.find_mate(position, moves, wanted, nodes))
        });
        match reply.as_ref() {
            Reply::Mate(answer) => answer.clone(),
            _ => MateAnswer::unsettled(),
        }
    }

    fn find_mate(
        &mut self,
        position: &Chess,
        moves: Option<u32>,
        wanted: Wdl,
        nodes: u64,
    ) -> MateAnswer {
        let mut spent = 0;
        if self.tables.is_some() && may_need_table(position, wanted) {
            let early = self.search_mate(position, moves, wanted, nodes.min(SOON));
            if early.exact || early.verdict == Verdict::Fails {
                return early;
            }
            spent = early.nodes;
        }
        let mut answer = self
            .mate_by_tables(position, moves, wanted)
            .unwrap_or_else(|| self.search_mate(position, moves, wanted, nodes - spent));
        answer.nodes += spent;
        answer
    }

    /// What the prover says.
    fn search_mate(
        &mut self,
        position: &Chess,
        moves: Option<u32>,
        wanted: Wdl,
        nodes: u64,
    ) -> MateAnswer {
        let (prover, mut budget) = self.mates(nodes);
        match (wanted, moves) {
            (Wdl::Loss, _) => prover.mated(position, moves, &mut budget),
            (_, Some(moves)) => prover.mate_within(position, moves, &mut budget),
            (_, None) => prover.mate(position, &mut budget),
        }
    }

    /// What the tables say of the position, or of a capture that they know to escape.
    fn mate_by_tables(
        &self,
        position: &Chess,
        moves: Option<u32>,
        wanted: Wdl,
    ) -> Option<MateAnswer> {
        if let Some(answer) = self.mate_by_table(position, moves, wanted) {
            return Some(answer);
        }
        if wanted != Wdl::Loss || !is_nearly_small(position) {
            return None;
        }
        position.legal_moves().into_iter().find_map(|reply| {
            let mut escape = self.mate_by_table(&played(position, reply), moves, Wdl::Win)?;
            escape.line.insert(0, reply);
            (escape.verdict == Verdict::Fails).then_some(escape)
        })
    }

    /// Whether the position ends with `wanted` for the side to move, by mate within
    /// `limit` moves.
    fn mate_by_table(
        &self,
        position: &Chess,
        limit: Option<u32>,
        wanted: Wdl,
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
                    .saturating_add(u32::from(wanted == Wdl::Loss)),
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
    /// in any number? In their order, with the nodes it cost, `nodes` at most. Answered as
    /// [`Solver::mate`].
    pub fn mating_moves(
        &mut self,
        position: &Chess,
        firsts: &[Move],
        moves: Option<u32>,
        nodes: u64,
    ) -> (Vec<MatingMove>, u64) {
        let asked = Asked::Firsts {
            firsts: firsts.to_vec(),
            moves,
        };
        let reply = self.answered(asked, position, nodes, |solver| {
            let (told, spent) = solver.find_mating_moves(position, firsts, moves, nodes);
            Reply::Firsts(told, spent)
        });
        match reply.as_ref() {
            Reply::Firsts(told, spent) => (told.clone(), *spent),
            _ => (Vec::new(), 0),
        }
    }

    fn find_mating_moves(
        &mut self,
        position: &Chess,
        firsts: &[Move],
        moves: Option<u32>,
        nodes: u64,
    ) -> (Vec<MatingMove>, u64) {
        let mut told: Vec<MatingMove> =
            (firsts.iter().copied().map(MatingMove::unsettled)).collect();
        let small = |first: Move| {
            position.is_legal(first) && Tables::needs(&played(position, first)).is_some()
        };
        let mut spent = 0;
        if self.tables.is_some() && firsts.iter().copied().any(small) {
            spent = self.search_firsts(position, &mut told, moves, nodes.min(SOON));
        }
        for open in told.iter_mut().filter(|told| told.is_open()) {
            if let Some(known) = self.first_by_table(position, open.first, moves) {
                *open = known;
            }
        }
        spent += self.search_firsts(position, &mut told, moves, nodes - spent);
        (told, spent)
    }

    /// Lets the prover answer for the moves that are open; with the nodes it cost.
    fn search_firsts(
        &mut self,
        position: &Chess,
        told: &mut [MatingMove],
        moves: Option<u32>,
        nodes: u64,
    ) -> u64 {
        let open: Vec<Move> = (told.iter().filter(|told| told.is_open()))
            .map(|told| told.first)
            .collect();
        let (prover, mut budget) = self.mates(nodes);
        let found = prover.mating_among(position, &open, moves, &mut budget);
        for (told, found) in (told.iter_mut().filter(|told| told.is_open())).zip(found) {
            *told = found;
        }
        budget.spent()
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
        let behind = played(position, first);
        let ending = tables.settle(&behind, &self.stop)?;
        let left = limit.map_or(u32::MAX, |limit| limit.saturating_sub(1));
        let in_time = |ending: &Ending| ending.moves().is_some_and(|moves| moves <= left);
        let mut answer = MatingMove::unsettled(first);
        if limit != Some(0) && ending.outcome == Wdl::Loss && in_time(&ending) {
            // What the fifty-move rule may cut short is left to the prover.
            ending
                .beats_fifty(behind.halfmoves())
                .filter(|&beats| beats)?;
            answer.verdict = Verdict::Holds;
            answer.moves = ending.moves().map(|moves| moves + 1);
        } else {
            answer.verdict = Verdict::Fails;
            answer.escape = behind.legal_moves().into_iter().find(|&reply| {
                tables
                    .settle(&played(&behind, reply), &self.stop)
                    .is_some_and(|ending| ending.outcome != Wdl::Win || !in_time(&ending))
            });
        }
        Some(answer)
    }
}

/// Whether a capture may lead to what the tables know.
fn is_nearly_small(position: &Chess) -> bool {
    position.board().occupied().count() == Tables::MEN + 1
}

/// Whether a table may have to be built to tell how the position ends.
fn may_need_table(position: &Chess, wanted: Wdl) -> bool {
    Tables::needs(position).is_some()
        || wanted == Wdl::Loss
            && is_nearly_small(position)
            && (position.legal_moves().into_iter())
                .any(|reply| Tables::needs(&played(position, reply)).is_some())
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::super::tests::{position, solver};
    use super::*;

    #[test]
    fn tables_tell_mates_that_the_prover_does_not() {
        let mut solver = solver();
        // White to move mates with the queen in so many moves (the tables are checked
        // against other sources in crates/proof and tests/python/check_endings.py).
        let p = position("8/8/8/3k4/8/8/8/KQ6 w - - 0 1");
        let answer = solver.mate(&p, None, 10);
        let moves = answer.moves.expect("a mate");
        assert_eq!((answer.verdict, answer.exact), (Verdict::Holds, true));
        assert!(answer.nodes <= 10);
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
        assert!(told.len() == firsts.len() && cost <= 10);
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

    /// What is soon proved needs no table, and whether one is at hand changes nothing.
    #[test]
    fn short_mates_wait_for_no_table() {
        let (mut fresh, mut built) = (solver(), solver());
        let cases = [
            ("8/8/8/8/8/1K6/2Q5/k7 w - - 0 1", Some(1), false),
            ("8/8/8/8/8/2K5/7Q/1k6 w - - 0 1", Some(2), false),
            ("7k/8/6K1/8/8/8/8/Q7 b - - 0 1", Some(2), false),
            ("8/8/8/3k4/8/8/8/KQ6 w - - 0 1", None, true),
        ];
        let table = |solver: &Solver, p: &Chess| {
            let tables = solver.tables.as_ref().expect("tables");
            tables.get(Tables::needs(p).expect("a signature"))
        };
        for (fen, moves, waits) in cases {
            let p = position(fen);
            assert!(built.ending(&p).is_some() && table(&built, &p).is_some());
            let ask = |solver: &mut Solver| {
                let answer = if p.turn() == shakmaty::Color::White {
                    solver.mate(&p, moves, 1_000_000)
                } else {
                    solver.mated(&p, moves, 1_000_000)
                };
                (
                    answer.verdict,
                    answer.moves,
                    answer.exact,
                    answer.line,
                    answer.nodes,
                )
            };
            let told = ask(&mut fresh);
            assert_ne!(told.0, Verdict::Unsettled, "{fen}");
            assert_eq!(told, ask(&mut built), "{fen}");
            assert_eq!(table(&fresh, &p).is_some(), waits, "{fen}");
        }
    }
}
