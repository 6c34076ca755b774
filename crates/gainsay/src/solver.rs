//! The provers that claims are settled with.

use std::sync::{Arc, atomic::AtomicBool};

use gainsay_proof::{Budget, MateProver, search::Searcher};

/// The provers of one thread. Making one costs memory; answers never depend on what
/// was asked before.
#[derive(Debug)]
pub struct Solver {
    /// The mate prover.
    pub mates: MateProver,
    /// The move search, for judgements.
    pub searcher: Searcher,
    stop: Arc<AtomicBool>,
}

impl Solver {
    /// A solver that uses about `memory` bytes.
    #[must_use]
    pub fn new(memory: usize) -> Self {
        Self {
            mates: MateProver::new(memory - memory / 4),
            searcher: Searcher::new(memory / 4),
            stop: Arc::new(AtomicBool::new(false)),
        }
    }

    /// The flag that ends the work under way; its verdicts are then to be thrown away.
    #[must_use]
    pub fn stop_flag(&self) -> Arc<AtomicBool> {
        Arc::clone(&self.stop)
    }

    /// Whether the flag is raised.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.stop.load(std::sync::atomic::Ordering::Relaxed)
    }

    /// Uses another flag.
    pub fn stop_on(&mut self, flag: Arc<AtomicBool>) {
        self.stop = flag;
    }

    /// The mate prover and a budget that the stop flag ends.
    pub fn mates(&mut self, nodes: u64) -> (&mut MateProver, Budget<'_>) {
        (&mut self.mates, Budget::nodes(nodes).stoppable(&self.stop))
    }

    /// The move search and a budget that the stop flag ends.
    pub fn search(&mut self, nodes: u64) -> (&mut Searcher, Budget<'_>) {
        (
            &mut self.searcher,
            Budget::nodes(nodes).stoppable(&self.stop),
        )
    }
}
