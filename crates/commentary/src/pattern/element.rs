//! What patterns consist of.

use super::phrase::Phrase;
use crate::entry::Entry;
use crate::presence::Presence;
use crate::sense::Sense;
use crate::slot::Slot;

/// What a pattern asks of one chunk.
#[derive(Clone, Debug)]
pub(super) struct Element {
    /// All alternatives. A slot fits where it is there; a word may share its bit with others.
    pub(super) any: Presence,
    /// The sets among them that have bits of their own.
    pub(super) sets: Presence,
    /// The words among them and those of the further sets, in order.
    pub(super) words: Vec<Entry>,
    /// Or the slot, which has no alternatives.
    pub(super) slot: Option<Slot>,
    pub(super) optional: bool,
}

impl Element {
    /// Whether it is no slot and fits a word, where something of it is there.
    #[inline]
    pub(super) fn fits(&self, entry: Entry, sense: &Sense) -> bool {
        sense.presence.has_any(&self.sets) || self.words.binary_search(&entry).is_ok()
    }
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
