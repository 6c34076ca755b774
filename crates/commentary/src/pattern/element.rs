//! What patterns consist of.

use super::phrase::Phrase;
use crate::entry::Entry;
use crate::presence::Presence;
use crate::slot::Slot;

/// What a pattern asks of one chunk.
#[derive(Clone, Debug)]
pub(super) struct Element {
    /// All alternatives. A set or a slot fits where it is there; a word may share its bit
    /// with others.
    pub(super) any: Presence,
    /// The sets among them, one bit each.
    pub(super) sets: u128,
    /// The words among them.
    pub(super) words: Vec<Entry>,
    /// Or the slot, which has no alternatives.
    pub(super) slot: Option<Slot>,
    pub(super) optional: bool,
}

#[derive(Debug)]
pub(super) struct Pattern {
    /// What it can begin with.
    pub(super) first: Presence,
    /// What must stand right behind the beginning, but for fillers.
    pub(super) next: Presence,
    pub(super) elements: Vec<Element>,
    pub(super) phrase: &'static Phrase,
}
