//! The thread that searches and says what it finds.

use std::{
    io,
    sync::atomic::{AtomicBool, Ordering},
    thread,
};

use gainsay_proof::{
    Budget, MateAnswer, MateProver, Verdict,
    search::{Question, Searcher, Value, Variation},
};
use shakmaty::{CastlingMode, Chess, Move, Position};

use super::say::say;

/// What is to be found.
pub(super) struct Task {
    pub(super) position: Chess,
    /// The positions of the game before it.
    pub(super) past: Vec<Chess>,
    pub(super) mode: CastlingMode,
    pub(super) nodes: u64,
    pub(super) depth: u32,
    pub(super) lines: usize,
    /// Ask the mate prover for a mate in so many moves first.
    pub(super) mate: Option<u32>,
    /// The moves that are considered; all when empty.
    pub(super) only: Vec<Move>,
}

/// So many nodes name a move where a mate was asked for that was not found.
const NAMING: u64 = 30_000;

/// The solvers. Their memory is taken as it is needed.
pub(super) struct Provers {
    searcher: Searcher,
    mates: MateProver,
}

impl Provers {
    /// Provers that use about `memory` bytes.
    pub(super) fn new(memory: usize) -> Self {
        Self {
            searcher: Searcher::new(memory - memory / 4),
            mates: MateProver::new(memory / 4),
        }
    }

    /// Searches, tells what is found, and names the best move, not before `waits` is taken
    /// back or `stop` is raised.
    pub(super) fn work(
        &mut self,
        task: &Task,
        stop: &AtomicBool,
        waits: &AtomicBool,
    ) -> io::Result<()> {
        let mut spent = 0;
        let mut left = task.nodes;
        let mut best = None;
        if let Some(moves) = task.mate {
            let kept = NAMING.min(task.nodes / 2);
            let mut budget = Budget::nodes(task.nodes - kept).stoppable(stop);
            best = self.prove(task, moves, &mut budget)?;
            spent = budget.spent();
            left = kept;
        }
        let best = match best {
            Some(line) => line,
            None => self.search(task, spent, &mut Budget::nodes(left).stoppable(stop))?,
        };
        while waits.load(Ordering::Relaxed) && !stop.load(Ordering::Relaxed) {
            thread::park();
        }
        let name = |m: &Move| m.to_uci(task.mode).to_string();
        // Where the budget or the stop flag ended the work before a single move was
        // looked at, any legal move will do.
        let legal = task.position.legal_moves();
        let any = task.only.first().or_else(|| legal.first());
        match (best.first().or(any), best.get(1)) {
            (None, _) => say("bestmove 0000"),
            (Some(m), None) => say(&format!("bestmove {}", name(m))),
            (Some(m), Some(reply)) => say(&format!("bestmove {} ponder {}", name(m), name(reply))),
        }
    }

    /// The line to mate, if it is found; what is not is told.
    fn prove(
        &mut self,
        task: &Task,
        moves: u32,
        budget: &mut Budget<'_>,
    ) -> io::Result<Option<Vec<Move>>> {
        let answer = if task.only.is_empty() {
            self.mates.mate_within(&task.position, moves, budget)
        } else {
            self.among(task, moves, budget)
        };
        match (answer.verdict, answer.moves) {
            (Verdict::Holds, Some(moves)) => {
                let line = Variation {
                    value: Value::Mates(moves),
                    depth: u32::try_from(answer.line.len()).unwrap_or(u32::MAX),
                    moves: answer.line,
                };
                tell(task, answer.nodes, std::slice::from_ref(&line))?;
                Ok(Some(line.moves))
            }
            (Verdict::Fails, _) => {
                say(&format!("info string there is no mate in {moves}"))?;
                Ok(None)
            }
            _ => {
                say(&format!("info string no mate in {moves} was found"))?;
                Ok(None)
            }
        }
    }

    /// The shortest mate that one of the chosen moves begins; of its line the first move only.
    fn among(&mut self, task: &Task, moves: u32, budget: &mut Budget<'_>) -> MateAnswer {
        let firsts = (self.mates).mating_among(&task.position, &task.only, Some(moves), budget);
        let mating = firsts
            .iter()
            .filter(|first| first.verdict == Verdict::Holds);
        let best = mating.min_by_key(|first| first.moves);
        let verdict = match best {
            Some(_) => Verdict::Holds,
            None if firsts.iter().any(|first| first.is_open()) => Verdict::Unsettled,
            None => Verdict::Fails,
        };
        MateAnswer {
            verdict,
            moves: best.and_then(|best| best.moves),
            exact: false,
            line: best.map(|best| best.first).into_iter().collect(),
            others: None,
            proof: None,
            nodes: budget.spent(),
        }
    }

    /// The best line; `spent` nodes were spent before.
    fn search(
        &mut self,
        task: &Task,
        spent: u64,
        budget: &mut Budget<'_>,
    ) -> io::Result<Vec<Move>> {
        let but: Vec<Move> = if task.only.is_empty() {
            Vec::new()
        } else {
            let mut others = task.position.legal_moves();
            others.retain(|m| !task.only.contains(m));
            others.to_vec()
        };
        let question = Question {
            position: &task.position,
            past: &task.past,
            but: &but,
            lines: task.lines,
            depth: task.depth,
        };
        let mut best = Vec::new();
        let mut told = Ok(());
        self.searcher.watch(question, budget, &mut |stage| {
            if told.is_ok() {
                told = tell(task, spent + stage.nodes, &stage.lines);
            }
            if let Some(line) = stage.lines.into_iter().next() {
                best = line.moves;
            }
        });
        told.map(|()| best)
    }
}

/// Says what was found so far, a line of information for each line of moves.
fn tell(task: &Task, nodes: u64, lines: &[Variation]) -> io::Result<()> {
    let mut told = Vec::with_capacity(lines.len());
    for (at, line) in lines.iter().enumerate() {
        let moves: Vec<String> = line
            .moves
            .iter()
            .map(|m| m.to_uci(task.mode).to_string())
            .collect();
        told.push(format!(
            "info depth {} multipv {} score {} nodes {nodes} pv {}",
            line.depth,
            at + 1,
            score(line.value),
            moves.join(" ")
        ));
    }
    say(&told.join("\n"))
}

/// A value in the words of the protocol, seen by the side to move.
fn score(value: Value) -> String {
    match value {
        Value::Centipawns(value) => format!("cp {value}"),
        Value::Mates(moves) => format!("mate {moves}"),
        Value::Mated(moves) => format!("mate -{moves}"),
    }
}
