//! How far the walk through the workspace is.

use std::{
    collections::BTreeSet,
    path::PathBuf,
    sync::{Mutex, MutexGuard, PoisonError},
};

/// Walks through the workspace, one walk at a time.
#[derive(Debug, Default)]
pub(crate) struct Walker(Mutex<Walks>);

#[derive(Debug, Default)]
pub(super) struct Walks {
    /// Somebody wants to know about files that are not open.
    pub(super) wanted: bool,
    pub(super) under_way: bool,
    /// Something changed since the walk began.
    pub(super) again: bool,
    /// Files that are known to have changed.
    pub(super) touched: BTreeSet<PathBuf>,
    /// How many files were left out when it was last told.
    pub(super) told: usize,
}

impl Walker {
    pub(super) fn held(&self) -> MutexGuard<'_, Walks> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
