//! Move search, for judgements that cannot be proved.
//!
//! Principal variation search (Marsland and Campbell, "Parallel search of strongly
//! ordered game trees", 1982) with quiescence, a transposition table, null move
//! (Donninger, "Null move and deep search", 1993), late move reductions and several
//! best lines. `searcher` takes the questions, `root` finds the best lines of a position,
//! `tree` and `quiet` value what is below. One thread, and deterministic: the answer follows from the position and
//! the budget in nodes alone, where one node is one move played on a board.

mod engine;
mod evaluate;
mod judge;
mod order;
mod perpetual;
mod quiet;
mod root;
mod searcher;
mod table;
mod tree;
mod value;

pub use evaluate::evaluate;
pub use judge::{Judgement, Settings};
pub use perpetual::{Perpetual, perpetual_check};
pub use searcher::{Question, Searcher, Stage, Variation};
pub use value::Value;

#[cfg(test)]
mod tests;
