//! The mate prover.
//!
//! Short mates are searched for depth first, exactly; longer ones with proof-number
//! search, first of any length, then shorter and shorter. See the modules for the
//! methods and their sources.

mod checks;
mod dag;
mod defence;
mod dfpn;
mod exact;
mod forest;
mod goal;
mod hash;
mod join;
mod key;
mod leaf;
mod numbers;
mod order;
mod path;
#[cfg(test)]
mod perft;
mod prover;
mod solve;
mod solver;
mod table;
mod tree;
mod write;

pub use prover::{MateAnswer, MateProver, MatingMove};
