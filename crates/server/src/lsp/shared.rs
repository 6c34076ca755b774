//! What the parts of a session share.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::{painted::Painted, parts::Parts, session::Session, settings::Layers, walker::Walker};
use crate::aids::Aids;

/// It changes rarely and is read often.
pub(crate) struct Shared {
    session: OnceLock<Arc<Session>>,
    layers: Mutex<Layers>,
    pub(super) aids: Arc<dyn Aids>,
    /// Held while settings files are read.
    pub(super) reading: tokio::sync::Mutex<()>,
    pub(super) walker: Walker,
    pub(super) painted: Painted,
    pub(super) parts: Arc<Parts>,
}

impl Shared {
    pub(super) fn new(aids: Arc<dyn Aids>) -> Self {
        Self {
            session: OnceLock::new(),
            layers: Mutex::default(),
            aids,
            reading: tokio::sync::Mutex::default(),
            walker: Walker::default(),
            painted: Painted::default(),
            parts: Arc::default(),
        }
    }

    /// What was agreed upon; before that, what every client can do.
    pub(super) fn session(&self) -> Arc<Session> {
        self.session.get().cloned().unwrap_or_default()
    }

    /// Keeps what was agreed upon. The protocol allows one `initialize` a session.
    pub(super) fn agree(&self, session: Arc<Session>) {
        let _ = self.session.set(session);
    }

    pub(super) fn layers<T>(&self, with: impl FnOnce(&mut Layers) -> T) -> T {
        with(&mut self.layers.lock().unwrap_or_else(PoisonError::into_inner))
    }
}
