//! One pattern against the chunks from one place on.

use super::element::Element;
use super::slots::{Filled, Filling, MOST_TARGETS};
use crate::chunks::{Chunk, ChunkKind};
use crate::entry::Entry;
use crate::sense::{Sense, Senses};
use crate::set::Set;
use crate::slot::Slot;

/// Fillers between two elements, at most.
pub(super) const FILLERS: usize = 4;

pub(super) struct Matcher<'a> {
    pub(super) chunks: &'a [Chunk],
    pub(super) senses: Senses<'a>,
    pub(super) filled: Filled,
}

impl Matcher<'_> {
    /// Matches all `elements` from chunk `at` on; the depth of the recursion is the
    /// number of elements.
    pub(super) fn run(&mut self, elements: &[Element], at: usize, first: bool) -> Option<usize> {
        let Some((element, rest)) = elements.split_first() else {
            return Some(at);
        };
        for start in at..=at + FILLERS {
            let Some(chunk) = self.chunks.get(start) else {
                break;
            };
            let sense = self.senses.sense(chunk);
            if let Some(end) = self.behind(element, start, chunk.entry, sense) {
                let filled = self.filled.len();
                if let Some(slot) = element.slot {
                    self.filled.push(Filling::new(slot, start, end));
                }
                if rest.is_empty() {
                    return Some(end);
                }
                if let Some(end) = self.run(rest, end, false) {
                    return Some(end);
                }
                self.filled.truncate(filled);
            }
            if first || !sense.is_filler() {
                break;
            }
        }
        if element.optional {
            return self.run(rest, at, first);
        }
        None
    }

    /// Where chunk `start` is what an element asks for, the chunk behind it or behind the
    /// targets that begin with it.
    #[inline]
    fn behind(
        &self,
        element: &Element,
        start: usize,
        entry: Entry,
        sense: &Sense,
    ) -> Option<usize> {
        if !sense.presence.has_any(&element.any) {
            return None;
        }
        match element.slot {
            Some(Slot::Targets) => self.targets_end(start),
            // "twice", "three times"
            Some(Slot::Times) => self.times_end(start, sense),
            Some(_) => Some(start + 1),
            None => element.fits(entry, sense).then_some(start + 1),
        }
    }

    /// The chunk behind "twice" or "three times" at chunk `at`, but not behind "at once".
    fn times_end(&self, at: usize, sense: &Sense) -> Option<usize> {
        let is = |at: usize, sets: u128| {
            let chunk = self.chunks.get(at);
            chunk.is_some_and(|chunk| self.senses.sense(chunk).is_any(sets))
        };
        if sense.times.is_some() {
            let before = at.checked_sub(1);
            let other = before.is_some_and(|at| is(at, Set::On.bit() | Set::For.bit()));
            return (!other).then_some(at + 1);
        }
        is(at + 1, Set::Times.bit()).then_some(at + 2)
    }

    /// Whether a comma and "and" stand at chunk `at`.
    fn is_parted(&self, at: usize) -> bool {
        let kind = |at: usize| self.chunks.get(at).map(|chunk| chunk.kind);
        let and = self.chunks.get(at + 1);
        matches!(kind(at), Some(ChunkKind::Comma))
            && and.is_some_and(|chunk| self.senses.sense(chunk).is(Set::And))
    }

    /// The chunk behind the last of the pieces and squares from chunk `at` on, with commas
    /// and "and" between them.
    fn targets_end(&self, mut at: usize) -> Option<usize> {
        let mut end = None;
        let mut first = true;
        for _ in 0..MOST_TARGETS {
            if !matches!(
                self.chunks.get(at).map(|chunk| &chunk.kind),
                Some(ChunkKind::Noun(_) | ChunkKind::Square(_))
            ) {
                return end;
            }
            at += 1;
            end = Some(at);
            // "He covers d4, and the pawn on a5 hangs": of two things a comma parts clauses.
            if first && self.is_parted(at) {
                return end;
            }
            first = false;
            let behind = at;
            while self.chunks.get(at).is_some_and(|chunk| match chunk.kind {
                ChunkKind::Comma => true,
                ChunkKind::Word { .. } => {
                    let sense = self.senses.sense(chunk);
                    let joins = sense.is(Set::And) && !sense.is_any(Set::Or.bit() | Set::But.bit());
                    joins || sense.is(Set::Both)
                }
                _ => false,
            }) {
                at += 1;
            }
            // "Greift der Läufer den Springer an" names one thing, and then another.
            if at == behind && self.senses.free_order() {
                return end;
            }
        }
        end
    }
}
