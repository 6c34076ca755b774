//! Questions to the search and their answers, deepening by deepening.

use shakmaty::{Chess, Move, Position};

use super::engine::{Search, hash_of};
use super::order::Learned;
use super::table::TranspositionTable;
use super::value::{DEEPEST, Value};
use crate::budget::Budget;

/// One best line of a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Variation {
    /// What it is worth for the side to move.
    pub value: Value,
    /// The moves, the best reply each time as far as the search saw; at least one.
    pub moves: Vec<Move>,
    /// How many plies were looked ahead in full.
    pub depth: u32,
}

/// The best lines after one completed deepening, and the nodes spent until then.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Nodes spent since the beginning of the search.
    pub nodes: u64,
    /// The best lines, best first; at least one.
    pub lines: Vec<Variation>,
}

/// What to search for; [`Question::new`] asks for the best line of a position.
#[derive(Clone, Copy, Debug)]
pub struct Question<'q> {
    /// The position.
    pub position: &'q Chess,
    /// The positions of the game before it, oldest first, for repetitions. They do not
    /// matter beyond the last capture or pawn move.
    pub past: &'q [Chess],
    /// Moves that are not considered.
    pub but: &'q [Move],
    /// How many lines.
    pub lines: usize,
    /// The deepening to end with, in plies.
    pub depth: u32,
}

impl<'q> Question<'q> {
    /// Asks for the best line of `position`, of any depth.
    #[must_use]
    pub const fn new(position: &'q Chess) -> Self {
        Self {
            position,
            past: &[],
            but: &[],
            lines: 1,
            depth: u32::MAX,
        }
    }
}

/// Finds the best moves of a position.
///
/// It keeps its memory between questions to save allocations, but forgets the contents,
/// so that an answer never depends on what was asked before.
#[derive(Debug)]
pub struct Searcher {
    memory: usize,
    table: TranspositionTable,
    learned: Learned,
}

impl Searcher {
    /// A searcher whose table uses at most about `memory` bytes; a further megabyte
    /// is for what it learns of move ordering.
    #[must_use]
    pub fn new(memory: usize) -> Self {
        Self {
            memory,
            table: TranspositionTable::new(),
            learned: Learned::new(),
        }
    }

    /// The best `lines` lines, best first, found with at most `budget`. Fewer when there
    /// are fewer legal moves; none when there is none, or when the budget or the stop
    /// flag ended the work before a single move was searched.
    pub fn best(
        &mut self,
        position: &Chess,
        lines: usize,
        budget: &mut Budget<'_>,
    ) -> Vec<Variation> {
        self.best_without(position, &[], lines, budget)
    }

    /// As [`Searcher::best`], the moves `but` not considered: what else there is.
    pub fn best_without(
        &mut self,
        position: &Chess,
        but: &[Move],
        lines: usize,
        budget: &mut Budget<'_>,
    ) -> Vec<Variation> {
        let question = Question {
            but,
            lines,
            ..Question::new(position)
        };
        let mut last = Vec::new();
        self.watch(question, budget, &mut |stage| last = stage.lines);
        last
    }

    /// Answers a question, and hands the best lines to `each` after every deepening: the
    /// last ones are the answer. `each` is not called at all where [`Searcher::best`]
    /// would give no line.
    pub fn watch(
        &mut self,
        question: Question<'_>,
        budget: &mut Budget<'_>,
        each: &mut dyn FnMut(Stage),
    ) {
        self.deepenings(question, u64::MAX, budget, each);
    }

    /// The best lines after each completed deepening, the moves `but` not considered; at
    /// most `limit` nodes of the budget are spent.
    pub(super) fn stages(
        &mut self,
        position: &Chess,
        but: &[Move],
        lines: usize,
        limit: u64,
        budget: &mut Budget<'_>,
    ) -> Vec<Stage> {
        let question = Question {
            but,
            lines,
            ..Question::new(position)
        };
        let mut stages = Vec::new();
        self.deepenings(question, limit, budget, &mut |stage| stages.push(stage));
        stages
    }

    fn deepenings(
        &mut self,
        question: Question<'_>,
        limit: u64,
        budget: &mut Budget<'_>,
        each: &mut dyn FnMut(Stage),
    ) {
        let position = question.position;
        let limit = limit.min(budget.left());
        self.table.reset(limit, self.memory, || budget.is_stopped());
        self.learned.reset();
        let mut moves = position.legal_moves();
        moves.retain(|m| !question.but.contains(m));
        let wanted = question.lines.min(moves.len());
        if wanted == 0 {
            return;
        }
        let before = budget.spent();
        let hash = hash_of(position);
        let back = position.halfmoves() as usize;
        let older = question.past.len().saturating_sub(back);
        let past = question.past.get(older..).unwrap_or_default();
        let mut path: Vec<u64> = past.iter().map(hash_of).collect();
        path.push(hash);
        let mut search = Search::new(&mut self.table, &mut self.learned, budget, limit, path);
        let mut last: Option<Vec<Variation>> = None;
        let deepest = i32::try_from(question.depth.min(DEEPEST as u32 / 2 - 1)).unwrap_or(1);
        for depth in 1..=deepest {
            let found = search.deepen(position, hash, &moves, wanted, depth, last.as_deref());
            let complete = !search.stopped;
            // An interrupted deepening counts when it looked at the best move again, or
            // when there is nothing older; several lines must be of one depth.
            let counts = complete || (wanted == 1 && !found.is_empty()) || last.is_none();
            if counts && !found.is_empty() {
                each(Stage {
                    nodes: search.spent() - before,
                    lines: found.clone(),
                });
                last = Some(found);
            }
            let settled = last.as_ref().is_some_and(|lines| {
                lines.iter().all(|line| match line.value {
                    Value::Mates(n) => 2 * n.cast_signed() <= depth + 1,
                    Value::Mated(n) => 2 * n.cast_signed() < depth,
                    Value::Centipawns(_) => false,
                })
            });
            if !complete || settled {
                break;
            }
        }
    }
}
