//! Answers questions about a chess position, with the moves that show the answer.
//!
//! Nothing here knows text: positions and moves go in, verdicts and moves come
//! out. Every answer depends on its question and its budget alone, never on a
//! clock, a thread or an earlier question.

mod budget;
pub mod endings;
pub mod evidence;
pub mod facts;
mod mate;
pub mod search;
mod verdict;

pub use budget::Budget;
pub use evidence::{Others, Proof, verify::verify};
pub use mate::{MateAnswer, MateProver, MatingMove};
pub use verdict::Verdict;
