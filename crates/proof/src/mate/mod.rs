//! The mate prover.

mod checks;
mod exact;
mod key;
mod table;

use shakmaty::{Chess, Move, Position};

use self::{
    checks::OutOfBudget,
    exact::{Exact, Place},
    table::FactTable,
};
use crate::{Budget, Verdict};

/// The answer to a question about mate.
#[derive(Clone, Debug)]
pub struct MateAnswer {
    /// Whether the side to move mates as asked.
    pub verdict: Verdict,
    /// When it holds: the moves of the side to move in the proof's longest line.
    /// It may be fewer than asked for: then a shorter mate exists.
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
    table: FactTable,
}

/// The longest mate that can be asked for; longer questions are cut to it.
const LONGEST: u32 = 200;

impl MateProver {
    /// A prover that uses about `memory` bytes for its table.
    #[must_use]
    pub const fn new(memory: usize) -> Self {
        Self {
            table: FactTable::new(memory),
        }
    }

    /// Does the side to move force mate within `moves` of its own moves?
    pub fn mate_within(
        &mut self,
        position: &Chess,
        moves: u32,
        budget: &mut Budget<'_>,
    ) -> MateAnswer {
        let spent = budget.spent();
        self.table.clear();
        let place = Place::new(position);
        let mut search = Exact::new(&mut self.table);
        let (verdict, found, line) = match search.shortest(&place, moves.min(LONGEST), budget) {
            Ok(Some(left)) => {
                let line = main_line(&mut search, &place, left, budget).unwrap_or_default();
                (Verdict::Holds, Some(left), line)
            }
            Ok(None) => {
                let line = attempt(&mut search, &place, moves, budget).unwrap_or_default();
                (Verdict::Fails, None, line)
            }
            Err(OutOfBudget) => (Verdict::Unsettled, None, Vec::new()),
        };
        MateAnswer {
            verdict,
            moves: found,
            exact: found.is_some(),
            line,
            nodes: budget.spent() - spent,
        }
    }
}

/// The longest line of a shortest mate in `left` moves.
fn main_line(
    search: &mut Exact<'_>,
    place: &Place,
    mut left: u32,
    budget: &mut Budget<'_>,
) -> Result<Vec<Move>, OutOfBudget> {
    let mut place = place.clone();
    let mut line = Vec::new();
    while left > 0 {
        let mut next = None;
        for m in place.position.legal_moves() {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let after = place.after(m);
            if search.defend(&after, left - 1, budget)? {
                next = Some((m, after));
                break;
            }
        }
        let Some((m, after)) = next else { break };
        line.push(m);
        left -= 1;
        place = after;
        for reply in place.position.legal_moves() {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let after = place.after(reply);
            if left <= 1 || !search.attack(&after, left - 1, budget)? {
                line.push(reply);
                place = after;
                break;
            }
        }
    }
    Ok(line)
}

/// The attempt that leaves the defender the fewest ways out, and one of them.
fn attempt(
    search: &mut Exact<'_>,
    place: &Place,
    left: u32,
    budget: &mut Budget<'_>,
) -> Result<Vec<Move>, OutOfBudget> {
    let mut best: Option<(usize, Vec<Move>)> = None;
    for m in place.position.legal_moves() {
        if !budget.spend() {
            return Err(OutOfBudget);
        }
        let after = place.after(m);
        let replies = after.position.legal_moves();
        let most = best.as_ref().map_or(usize::MAX, |(count, _)| *count);
        let mut outs = Vec::new();
        for &reply in &replies {
            if outs.len() >= most {
                break;
            }
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let next = after.after(reply);
            if left <= 1 || next.is_clock_out() || !search.attack(&next, left - 1, budget)? {
                outs.push(reply);
            }
        }
        if outs.len() < most {
            let mut line = vec![m];
            line.extend(outs.first());
            best = Some((outs.len(), line));
        }
    }
    Ok(best.map(|(_, line)| line).unwrap_or_default())
}
