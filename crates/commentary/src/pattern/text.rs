//! Patterns as the files of the languages write them, taken apart by `build.rs`.

use crate::slot::Slot;

/// A pattern.
pub(crate) struct PatternText {
    /// The number of the claim that it makes.
    pub(crate) phrase: usize,
    /// At most [`MOST_SLOTS`](crate::slot::MOST_SLOTS) of them are slots, and one is required.
    pub(crate) elements: &'static [ElementText],
}

/// What it asks of one place.
pub(crate) struct ElementText {
    /// A slot, which has no alternatives.
    pub(crate) slot: Option<Slot>,
    /// Whether it can be left out.
    pub(crate) optional: bool,
    /// The sets among its alternatives, by their places in the language.
    pub(crate) sets: &'static [usize],
    /// The words among them.
    pub(crate) words: &'static [&'static str],
}
