//! How the memory of the process is shared out.

use gainsay_files::LEAST_MEMORY;
use gainsay_proof::endings::Tables;

/// Megabytes that the whole process takes at most, unless the settings say otherwise.
const DEFAULT: usize = 256;

/// What the program, its texts, the results and the stacks of its threads take.
const REST: usize = 32 << 20;

/// What building tables of endings takes. Half as much again as the tables themselves:
/// the allocator cannot use every gap that a table leaves for the next.
const TABLES: usize = Tables::BUILDING / 2 * 3;

/// What a solver gets for a budget of a million nodes: the most that helps it.
const SOLVER: usize = 16 << 20;

/// The memory that the process may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct MemoryLimit {
    bytes: usize,
}

impl Default for MemoryLimit {
    fn default() -> Self {
        Self {
            bytes: DEFAULT << 20,
        }
    }
}

/// Less memory was given than the work needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} MB of memory are too few; give {LEAST_MEMORY} at least")]
pub(crate) struct TooLittle(usize);

impl MemoryLimit {
    /// So many megabytes, or the usual amount.
    pub(crate) fn megabytes(wanted: Option<usize>) -> Result<Self, TooLittle> {
        let wanted = wanted.unwrap_or(DEFAULT);
        if wanted < LEAST_MEMORY {
            return Err(TooLittle(wanted));
        }
        Ok(Self {
            bytes: wanted.saturating_mul(1 << 20),
        })
    }

    /// The memory of the tables of endings; `None` when there is not enough to build
    /// them.
    pub(crate) fn tables(self) -> Option<usize> {
        (self.bytes >= TABLES + REST + 2 * SOLVER).then_some(Tables::BUILDING)
    }

    /// So many bytes of text are in work at once, and of one game no more are checked: a game
    /// takes up to two hundred times its bytes while it is (measured, with a claim on every
    /// move), and the program itself has to fit in too.
    pub(crate) const fn texts(self) -> usize {
        self.bytes / 640
    }

    /// The memory of all solvers.
    pub(crate) fn solvers(self) -> usize {
        self.bytes - REST - self.tables().map_or(0, |_| TABLES)
    }

    /// The memory of one solver for claims with a budget of `nodes`. The number of
    /// threads is no part of it, so that no verdict depends on that number; two find room
    /// always.
    pub(crate) fn solver(self, nodes: u64) -> usize {
        let millions = usize::try_from(nodes.div_ceil(1_000_000)).unwrap_or(usize::MAX);
        let wanted = SOLVER.saturating_mul(millions.max(1));
        wanted.min(self.solvers() / 2)
    }

    /// How many threads there is room for with a solver each, of those asked for or of one a
    /// core.
    pub(crate) fn threads(self, wanted: Option<usize>, nodes: u64) -> usize {
        wanted
            .or_else(|| std::thread::available_parallelism().ok().map(usize::from))
            .unwrap_or(1)
            .min(self.solvers() / self.solver(nodes))
            .max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All parts together never take more than the whole, whatever is asked for.
    #[test]
    fn the_parts_fit_into_the_whole() {
        for megabytes in [64, 100, 232, 240, 256, 1000, 100_000] {
            let memory = MemoryLimit::megabytes(Some(megabytes)).expect("enough");
            for nodes in [1, 1_000_000, 24_000_000, u64::MAX] {
                let each = memory.solver(nodes);
                assert!(each >= SOLVER, "{megabytes} {nodes}");
                for threads in [1, 2, 7, 1000] {
                    let solvers = memory.threads(Some(threads), nodes);
                    assert!(solvers >= threads.min(2));
                    let tables = memory.tables().map_or(0, |_| TABLES);
                    let taken = solvers * each + REST + tables;
                    assert!(taken <= megabytes << 20, "{megabytes} {nodes} {threads}");
                }
            }
        }
        assert_eq!(MemoryLimit::megabytes(Some(63)), Err(TooLittle(63)));
        assert!(MemoryLimit::megabytes(None).is_ok_and(|memory| memory.tables().is_some()));
    }
}
