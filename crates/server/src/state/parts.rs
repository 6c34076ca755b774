//! What the state holds.

use std::{
    collections::{BTreeMap, VecDeque},
    path::Path,
    sync::{Arc, atomic::AtomicBool},
    time::{Duration, Instant},
};

use gainsay::{NotationReader, PieceId};
use gainsay_notation::Columns;

use super::{
    files::Files,
    show::{Resolve, Show},
};
use crate::{document::Document, options::Options, pool::Pool};

/// While claims settle, verdicts are shown together, this far apart.
pub(super) const SHOWN_APART: Duration = Duration::from_millis(100);

/// An open document with its work.
pub(super) struct Open {
    pub(super) document: Document,
    pub(super) options: Arc<Options>,
    /// Pieces whose claims wait for a worker, the most urgent first.
    pub(super) queue: VecDeque<PieceId>,
    /// What was found that is not shown yet.
    pub(super) unshown: Unshown,
    /// When it was last shown or, before that, opened.
    pub(super) shown: Instant,
    /// How long showing it took then.
    pub(super) cost: Duration,
}

impl Open {
    /// How far apart verdicts are shown while others settle. Showing is never more than a small
    /// part of the work, however long the document is.
    pub(super) fn apart(&self) -> Duration {
        SHOWN_APART.max(10 * self.cost)
    }
}

/// What waits to be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Unshown {
    Nothing,
    /// Verdicts only, which are shown a few at a time.
    Verdicts,
    /// Notation, which is shown at once.
    Notation,
}

/// A worker's task.
pub(super) struct Running {
    pub(super) at: At,
    pub(super) stop: Arc<AtomicBool>,
}

/// What a worker is at.
pub(super) enum At {
    Piece { uri: Arc<str>, piece: PieceId },
    File(Arc<Path>),
}

pub(super) struct State {
    pub(super) documents: BTreeMap<Arc<str>, Open>,
    pub(super) resolve: Resolve,
    pub(super) columns: Columns,
    pub(super) pool: Pool,
    pub(super) running: Vec<Option<Running>>,
    pub(super) reader: NotationReader,
    pub(super) closed: Files,
    pub(super) show: Box<dyn Show>,
    pub(super) told_settling: usize,
    pub(super) told_surveying: usize,
}
