//! What the state shows, and where it has its settings from.

use std::sync::Arc;

use super::files::Known;
use crate::{document::Snapshot, options::Options};

/// Gives the settings of the document at an address.
pub(crate) type Resolve = Arc<dyn Fn(&str) -> Arc<Options> + Send + Sync>;

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
