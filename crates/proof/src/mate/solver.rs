//! The searches with their tables.

use super::{
    checks::OutOfBudget,
    dfpn::Prove,
    exact::{Exact, KeyedPosition, Recall},
    forest::Forest,
    goal::Goal,
    table::FactTable,
    tree::{State, Tree},
};
use crate::budget::Budget;

/// The searches and their tables, for one question.
pub(crate) struct Solver<'t> {
    pub(crate) tree: &'t mut Tree,
    pub(crate) forest: &'t mut Forest,
    pub(crate) facts: &'t mut FactTable,
    pub(crate) recall: Recall,
    /// Replies that a proof may list.
    pub(crate) most_edges: usize,
}

impl Solver<'_> {
    /// The depth-first search.
    pub(crate) const fn exact(&mut self) -> Exact<'_> {
        Exact::new(self.facts, &mut self.recall)
    }

    /// Runs the proof-number search.
    pub(crate) fn prove(
        &mut self,
        place: &KeyedPosition,
        goal: Goal,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        Prove::new(self.tree, self.forest, self.facts).run(place, goal, budget)
    }
}
