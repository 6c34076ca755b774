//! What the solvers are given beyond their own search. Files and programs are the
//! command's business, so it brings them along.

use std::path::PathBuf;

use gainsay::Solver;

/// What an author's settings want the solvers to have.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Wanted {
    /// A folder of Syzygy tables.
    pub syzygy: Option<PathBuf>,
    /// A UCI engine for judgements, with its arguments. It is never taken from a file of
    /// the workspace: a folder that came from somebody else cannot start a program by
    /// being opened.
    pub engine: Option<Vec<String>>,
    /// Megabytes that the process takes at most; `None` for the usual amount.
    pub memory: Option<usize>,
}

/// Makes solvers.
pub trait Aids: Send + Sync + 'static {
    /// A solver that uses about `memory` bytes of its own, for claims with a budget of
    /// `nodes`. What is wanted and cannot be had is left out.
    fn solver(&self, wanted: &Wanted, nodes: u64, memory: usize) -> Solver;

    /// What is wanted and cannot be had, a sentence each.
    fn troubles(&self, wanted: &Wanted) -> Vec<String>;
}

/// Solvers with nothing but their own search.
#[derive(Clone, Copy, Debug, Default)]
pub struct OwnSearch;

impl Aids for OwnSearch {
    fn solver(&self, _: &Wanted, _: u64, memory: usize) -> Solver {
        Solver::new(memory)
    }

    fn troubles(&self, wanted: &Wanted) -> Vec<String> {
        let mut troubles = Vec::new();
        if wanted.syzygy.is_some() {
            troubles.push("This server reads no Syzygy tables.".to_owned());
        }
        if wanted.engine.is_some() {
            troubles.push("This server starts no engine.".to_owned());
        }
        troubles
    }
}
