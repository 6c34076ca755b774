//! How much work a question may cost.

use std::sync::atomic::{AtomicBool, Ordering};

/// The stop flag is read once in so many nodes, which take some hundredths of a
/// millisecond even on a slow machine. Reading it costs next to nothing beside a node.
const POLL: u64 = 16;

/// A budget in nodes, where one node is one move played on a board.
///
/// Budgets are counted in nodes so that the same question gets the same answer on
/// every machine. A raised `stop` flag ends the work early with an unsettled
/// verdict, which must then be thrown away.
#[derive(Debug)]
pub struct Budget<'a> {
    left: u64,
    spent: u64,
    stop: Option<&'a AtomicBool>,
}

impl<'a> Budget<'a> {
    /// A budget of `nodes`.
    #[must_use]
    pub const fn nodes(nodes: u64) -> Self {
        Self {
            left: nodes,
            spent: 0,
            stop: None,
        }
    }

    /// The same budget, which `stop` can end at any time.
    #[must_use]
    pub const fn stoppable(mut self, stop: &'a AtomicBool) -> Self {
        self.stop = Some(stop);
        self
    }

    /// Takes one node; `false` when none is left or the work was told to stop.
    /// Work must then end. The stop flag is looked at every few nodes.
    #[inline]
    pub fn spend(&mut self) -> bool {
        if self.left == 0 {
            return false;
        }
        if self.spent.is_multiple_of(POLL) && self.is_stopped() {
            self.left = 0;
            return false;
        }
        self.left -= 1;
        self.spent += 1;
        true
    }

    /// Nodes spent so far.
    #[must_use]
    pub const fn spent(&self) -> u64 {
        self.spent
    }

    /// Nodes left.
    #[must_use]
    pub const fn left(&self) -> u64 {
        self.left
    }

    /// Whether the work was told to stop. To be asked every few hundred nodes.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// A budget of at most `nodes` cut from this one, with the same stop flag.
    /// What it spends is booked with [`Budget::settle`].
    pub(crate) fn share(&self, nodes: u64) -> Budget<'a> {
        Budget {
            left: nodes.min(self.left),
            spent: 0,
            stop: self.stop,
        }
    }

    /// Books what a share has spent.
    pub(crate) fn settle(&mut self, share: &Budget<'_>) {
        self.left = self.left.saturating_sub(share.spent);
        self.spent = self.spent.saturating_add(share.spent);
        if self.is_stopped() {
            self.left = 0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However the work is cut into shares, it plays fewer moves than there are between
    /// two looks at the flag once that is raised.
    #[test]
    fn a_raised_flag_ends_the_work_within_a_few_nodes() {
        for (before, size) in [(0, 1), (1, 7), (15, 16), (16, 100), (1000, 10_000)] {
            let stop = AtomicBool::new(false);
            let mut budget = Budget::nodes(1_000_000).stoppable(&stop);
            let mut share = budget.share(before + size);
            for _ in 0..before {
                assert!(share.spend());
            }
            stop.store(true, Ordering::Relaxed);
            let mut after = 0;
            while share.spend() {
                after += 1;
            }
            budget.settle(&share);
            for _ in 0..100 {
                let mut share = budget.share(size);
                while share.spend() {
                    after += 1;
                }
                budget.settle(&share);
            }
            assert!(after < POLL, "{before} {size}: {after}");
            assert_eq!((budget.spent(), budget.left()), (before + after, 0));
        }
    }
}
