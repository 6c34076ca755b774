//! The mate prover.

use shakmaty::{Chess, Move, Position};

use crate::{Budget, Verdict};

/// The answer to a question about mate.
#[derive(Clone, Debug)]
pub struct MateAnswer {
    /// Whether the side to move mates as asked.
    pub verdict: Verdict,
    /// When it holds: the moves of the side to move in the proof's longest line.
    pub moves: Option<u32>,
    /// Whether `moves` is known to be the least number.
    pub exact: bool,
    /// When it holds: the main line, best defence on every ply, ending in mate.
    /// When it fails: the likeliest attempt and the defence that breaks it, if the
    /// side to move has a legal move at all.
    pub line: Vec<Move>,
    /// Nodes spent on the question.
    pub nodes: u64,
}

/// Proves and disproves forced mates.
///
/// It keeps its table between questions to save allocations, but forgets the
/// contents, so that answers never depend on what was asked before.
#[derive(Debug)]
pub struct MateProver {
    memory: usize,
}

impl MateProver {
    /// A prover that uses about `memory` bytes for its table.
    #[must_use]
    pub const fn new(memory: usize) -> Self {
        Self { memory }
    }

    /// Does the side to move force mate within `moves` of its own moves?
    pub fn mate_within(
        &mut self,
        position: &Chess,
        moves: u32,
        budget: &mut Budget<'_>,
    ) -> MateAnswer {
        let _ = (self.memory, moves, position.turn(), budget.left());
        MateAnswer {
            verdict: Verdict::Unsettled,
            moves: None,
            exact: false,
            line: Vec::new(),
            nodes: 0,
        }
    }
}
