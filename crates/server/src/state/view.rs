//! What may be asked of the state.

use std::sync::Arc;

use super::{files::Survey, parts::State};
use crate::document::Snapshot;

/// What those who ask may see.
pub(crate) struct View<'s> {
    pub(super) state: &'s State,
}

impl View<'_> {
    /// A document as it is now.
    pub(crate) fn document(&self, uri: &str) -> Option<Snapshot> {
        let document = self.state.documents.get(uri)?;
        Some(document.document.snapshot(&document.options))
    }

    /// All open documents, by their address.
    pub(crate) fn documents(&self) -> Vec<(Arc<str>, Snapshot)> {
        self.state
            .documents
            .iter()
            .map(|(uri, open)| (Arc::clone(uri), open.document.snapshot(&open.options)))
            .collect()
    }

    /// Whether nothing more will be found in files that are not open.
    pub(crate) fn is_surveyed(&self) -> bool {
        self.state.is_surveyed()
    }

    /// Whether it is known which files there are.
    pub(crate) fn is_walked(&self) -> bool {
        self.state.closed.is_walked()
    }

    /// What is known of files that are not open.
    pub(crate) fn survey(&self) -> Survey {
        self.state.closed.survey()
    }
}
