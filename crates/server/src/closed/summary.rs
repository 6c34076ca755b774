//! What is known of files that are not open.

use std::{ops::Range, path::Path, sync::Arc, time::SystemTime};

use gainsay::Finding;
use gainsay_notation::{Format, Position};

use crate::{gravest::Gravest, options::Options};

/// So many findings of one file are told.
pub(crate) const MOST_OF_FILE: usize = 1_000;

/// So many findings of all files together are kept, about a kilobyte each.
pub(crate) const MOST_OF_ALL: usize = 20_000;

/// A file as a walk through the workspace finds it.
#[derive(Clone, Debug)]
pub(crate) struct Listed {
    pub(crate) path: Arc<Path>,
    /// Its address, as the client is told.
    pub(crate) address: Arc<str>,
    pub(crate) format: Format,
    pub(crate) stamp: Stamp,
    pub(crate) options: Arc<Options>,
    /// Whether it is known to have changed, whatever its stamp says.
    pub(crate) touched: bool,
}

/// By what a changed file is recognised: when it was written, and its size in bytes.
pub(crate) type Stamp = Option<(SystemTime, u64)>;

/// What was found in a file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Summary {
    /// In the order of the text.
    pub(crate) found: Vec<Placed>,
    /// How many more there are.
    pub(crate) hidden: usize,
    /// Why it was not checked.
    pub(crate) trouble: Option<String>,
}

/// A finding with its places.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Its remedies have no edits: they are offered when the file is open.
    pub(crate) finding: Finding,
    pub(crate) at: Range<Position>,
    /// The places of [`Finding::related`].
    pub(crate) related: Vec<Range<Position>>,
}

impl Summary {
    /// Keeps `most` findings, the gravest.
    pub(crate) fn cut(&mut self, most: usize) {
        if self.found.len() <= most {
            return;
        }
        let severities = self.found.iter().map(|placed| placed.finding.severity);
        let mut gravest = Gravest::of(severities, most);
        let all = self.found.len();
        self.found
            .retain(|placed| gravest.take(placed.finding.severity));
        self.found.shrink_to_fit();
        self.hidden += all - self.found.len();
    }

    /// Whether there is nothing to tell.
    pub(crate) fn is_empty(&self) -> bool {
        self.found.is_empty() && self.hidden == 0 && self.trouble.is_none()
    }
}
