//! The thread that searches and says what it finds.

use std::{
    io,
    sync::atomic::{AtomicBool, Ordering},
    thread,
};

use gainsay_proof::{
    Budget, MateProver, Verdict,
    search::{Line, Question, Searcher, Value},
};
use shakmaty::{CastlingMode, Chess, Move, Position};

use super::say;

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
    /// Whether the move may not be named before the stop flag is raised.
    pub(super) waits: bool,
}

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

    /// Searches, tells what is found, and names the best move.
    pub(super) fn work(&mut self, task: &Task, stop: &AtomicBool) -> io::Result<()> {
        let mut budget = Budget::nodes(task.nodes / 2).stoppable(stop);
        let best = match self.prove(task, &mut budget)? {
            Some(line) => line,
            None => {
                let left = task.nodes - budget.spent();
                let mut rest = Budget::nodes(left).stoppable(stop);
                self.search(task, budget.spent(), &mut rest)?
            }
        };
        while task.waits && !stop.load(Ordering::Relaxed) {
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

    /// The line to mate, if one is asked for and found. Half of the nodes are kept for
    /// naming a move where there is no mate.
    fn prove(&mut self, task: &Task, budget: &mut Budget<'_>) -> io::Result<Option<Vec<Move>>> {
        let Some(moves) = task.mate.filter(|&moves| moves > 0 && task.only.is_empty()) else {
            return Ok(None);
        };
        let answer = self.mates.mate_within(&task.position, moves, budget);
        match (answer.verdict, answer.moves) {
            (Verdict::Holds, Some(moves)) => {
                let line = Line {
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
fn tell(task: &Task, nodes: u64, lines: &[Line]) -> io::Result<()> {
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
