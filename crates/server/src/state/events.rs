//! What happens to the state.

use std::sync::Arc;

use gainsay_notation::{Columns, Format};

use super::{show::Resolve, view::View};
use crate::{closed::Listed, document::Change, pool::Told};

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
