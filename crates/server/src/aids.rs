//! What the solvers are given beyond their own search. Files and programs are the
//! command's business, so it brings them along.

use std::{path::PathBuf, sync::Arc};

use gainsay::{Memory, Solver};

use crate::words::files as words;

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
    /// Nothing is remembered from one session to the next.
    pub forgetful: bool,
}

/// How memory is shared out among solvers, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share {
    /// What one solver takes; it depends on the settings alone, so that no verdict depends
    /// on how many there are.
    pub each: usize,
    /// What all take together at most. There is room for two at least.
    pub all: usize,
}

/// Makes solvers.
pub trait Aids: Send + Sync + 'static {
    /// How the memory that is wanted is shared out among solvers for claims with a budget
    /// of `nodes`.
    fn share(&self, wanted: &Wanted, nodes: u64) -> Share;

    /// A solver for claims with a budget of `nodes`, which takes what [`Aids::share`] says.
    /// What is wanted and cannot be had is left out.
    fn solver(&self, wanted: &Wanted, nodes: u64) -> Solver;

    /// What files came to, remembered from one session to the next.
    fn memory(&self, wanted: &Wanted, nodes: u64) -> Option<Arc<dyn Memory>>;

    /// What is wanted and cannot be had, a sentence each.
    fn troubles(&self, wanted: &Wanted) -> Vec<String>;
}

/// Solvers with nothing but their own search.
#[derive(Clone, Copy, Debug, Default)]
pub struct OwnSearch;

impl Aids for OwnSearch {
    fn share(&self, _: &Wanted, _: u64) -> Share {
        const EACH: usize = 16 << 20;
        Share {
            each: EACH,
            all: 8 * EACH,
        }
    }

    fn solver(&self, wanted: &Wanted, nodes: u64) -> Solver {
        Solver::new(self.share(wanted, nodes).each)
    }

    fn memory(&self, _: &Wanted, _: u64) -> Option<Arc<dyn Memory>> {
        None
    }

    fn troubles(&self, wanted: &Wanted) -> Vec<String> {
        let mut troubles = Vec::new();
        if wanted.syzygy.is_some() {
            troubles.push(words::NO_TABLES.to_owned());
        }
        if wanted.engine.is_some() {
            troubles.push(words::NO_ENGINE.to_owned());
        }
        troubles
    }
}
