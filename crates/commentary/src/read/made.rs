//! Where the claims of a sentence stand.

use std::ops::Range;

/// A claim that a phrase made, with the chunks of the phrase.
#[derive(Clone, Debug)]
pub(super) struct Made {
    /// Its index into [`Prose::claims`].
    pub(super) claim: usize,
    pub(super) chunks: Range<usize>,
    /// Whether the phrase itself says whether it is affirmed, so that a negation around it was
    /// not followed.
    pub(super) fixed: bool,
    /// Whether what it is said of stands in front of it.
    pub(super) before: bool,
}
