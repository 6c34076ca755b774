//! Claims: from prose to verdicts.

use crate::{Finding, Rule, Settings, SettledClaim, Solver, View};

/// The rules about claims.
pub(crate) static RULES: &[&Rule] = &[];

/// A claim that was read and waits for its verdict. It owns all it needs, so that it
/// can be settled on another thread.
#[derive(Clone, Debug)]
pub struct Pending {}

/// What became of a claim.
#[derive(Clone, Debug)]
pub struct Settled {
    /// The claim with its verdict.
    pub claim: SettledClaim,
    /// Findings, if it fails.
    pub findings: Vec<Finding>,
}

/// Reads the claims of a game's comments.
#[must_use]
pub fn claims(view: &View<'_>, settings: &Settings) -> Vec<Pending> {
    let _ = (view, settings);
    Vec::new()
}

impl Pending {
    /// Settles the claim within the settings' budget.
    ///
    /// `None` when the solver was stopped.
    pub fn settle(&self, solver: &mut Solver, settings: &Settings) -> Option<Settled> {
        let _ = (solver, settings);
        None
    }
}
