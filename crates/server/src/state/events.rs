//! What happens to the state, what may be asked of it, and what it shows.

use std::sync::Arc;

use gainsay_notation::{Columns, Format};

use super::{Known, State, Survey};
use crate::{
    closed::Listed,
    document::{Change, Snapshot},
    options::Options,
    pool::Told,
};

/// Gives the settings of the document at an address.
pub(crate) type Resolve = Arc<dyn Fn(&str) -> Arc<Options> + Send + Sync>;

/// What happens to the state.
pub(crate) enum Event {
    /// A document was opened.
    Open {
        uri: Arc<str>,
        version: i32,
        format: Format,
        text: String,
    },
    /// A document was changed.
    Change {
        uri: Arc<str>,
        version: i32,
        changes: Vec<Change>,
    },
    /// A document was closed.
    Close { uri: Arc<str> },
    /// A file was renamed, or a folder with all that is in it.
    Rename { old: Arc<str>, new: Arc<str> },
    /// A file was deleted, or a folder with all that is in it.
    Delete { uri: Arc<str> },
    /// The unit of columns was agreed upon.
    Columns(Columns),
    /// The settings of documents are these from now on.
    Options(Resolve),
    /// The claims of the game at an offset are to have ten times the budget.
    SettleAgain { uri: Arc<str>, offset: usize },
    /// The claims that wait are not to be settled.
    GiveUp,
    /// A walk through the workspace begins; [`Event::Walked`] will follow.
    Walk,
    /// These are the files of the workspace.
    Walked(Vec<Listed>),
    /// Files that are not open and not checked yet are not to be checked.
    LeaveFiles,
    /// They are to be checked after all.
    TakeUpFiles,
    /// A worker tells.
    Told(Told),
    /// Somebody wants to know something.
    Ask(Box<dyn FnOnce(&View<'_>) + Send>),
    /// The session is over.
    End,
}

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

/// What is to be shown to the author.
#[derive(Debug)]
pub(crate) enum Shown {
    /// The findings of a document, as far as they are known.
    Findings(Snapshot),
    /// The document was closed.
    Closed,
}

/// Takes what is to be shown. It must not block.
pub(crate) trait Show: Send + 'static {
    /// A document's findings changed, or it was closed.
    fn show(&mut self, uri: &Arc<str>, shown: Shown);

    /// So many sections wait for their claims to be settled; 0 when all is done.
    fn settling(&mut self, waiting: usize);

    /// What is known of a file that is not open changed; `None` when it is no more.
    fn file(&mut self, address: &Arc<str>, known: Option<Known>);

    /// So many files that are not open wait to be checked; 0 when all is done.
    fn surveying(&mut self, waiting: usize);
}
