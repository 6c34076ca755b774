//! Judgements by someone else's search.

use std::{fmt::Debug, sync::atomic::AtomicBool};

use gainsay_proof::search::Variation;
use shakmaty::Chess;

/// A move search that an author puts in the place of our own: for judgements ("White is
/// better", "the best move", "a blunder"), never for what can be proved.
///
/// ```
/// use std::sync::atomic::AtomicBool;
/// use gainsay::{Judge, Solver, shakmaty::Chess};
/// use gainsay_proof::search::Variation;
///
/// #[derive(Debug)]
/// struct Lind;
/// impl Judge for Lind {
///     fn name(&self) -> &str { "Lind" }
///     fn best(&mut self, _: &Chess, _: usize, _: u64, _: &AtomicBool) -> Option<Vec<Variation>> { None }
/// }
/// let mut solver = Solver::new(1 << 20).with_judge(Box::new(Lind));
/// assert_eq!(solver.judge(), Some("Lind"));
/// let _ = solver.best(&Chess::default(), 1, 100);
/// assert_eq!(solver.judge(), None);
/// ```
pub trait Judge: Debug + Send {
    /// Who judges, as evidence names it.
    fn name(&self) -> &str;

    /// The best `lines` lines, best first, found with about `nodes` nodes, or what it has
    /// once `stop` is raised. `None` when it does not work; it is then not asked again.
    ///
    /// The same question should get the same answer, whatever was asked before.
    fn best(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
        stop: &AtomicBool,
    ) -> Option<Vec<Variation>>;
}
