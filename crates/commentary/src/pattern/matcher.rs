//! One pattern against the chunks from one place on.

use super::{Element, FILLERS, Presence, Slot, Slots, Want};
use crate::Target;
use crate::chunk::{Chunk, ChunkKind};
use crate::lexicon::{Senses, Set};

/// Targets in one list, at most.
const MOST_TARGETS: usize = 6;

pub(super) struct Matcher<'a> {
    pub(super) chunks: &'a [Chunk],
    pub(super) senses: Senses<'a>,
    pub(super) slots: Slots,
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
            let present = Presence::of(chunk, self.senses);
            // Most elements are missed; asked all at once they are missed cheaply.
            let wants = if present.has_any(&element.any) {
                element.wants.as_slice()
            } else {
                &[]
            };
            for want in wants {
                if !self.fits(want, chunk) {
                    continue;
                }
                // Only slots leave something behind that a failed attempt must take back.
                let Want::Slot(slot) = want else {
                    if let Some(end) = self.run(rest, start + 1, false) {
                        return Some(end);
                    }
                    continue;
                };
                let saved = self.slots.clone();
                if let Some(end) = self.fill(*slot, start, chunk)
                    && let Some(end) = self.run(rest, end, false)
                {
                    return Some(end);
                }
                self.slots = saved;
            }
            if first || !present.is_filler() {
                break;
            }
        }
        if element.optional {
            return self.run(rest, at, first);
        }
        None
    }

    /// Whether a chunk is what an alternative asks for.
    fn fits(&self, want: &Want, chunk: &Chunk) -> bool {
        let ChunkKind::Word { entry, .. } = chunk.kind else {
            return matches!(want, Want::Slot(slot) if Presence::of_kind(&chunk.kind).others & slot.bit() != 0);
        };
        match want {
            Want::Word(wanted) => *wanted == entry,
            Want::Set(bit) => self.senses.of(entry).sets >> bit & 1 != 0,
            Want::Slot(Slot::Number) => self.senses.of(entry).number.is_some(),
            Want::Slot(Slot::Ordinal) => self.senses.of(entry).ordinal.is_some(),
            Want::Slot(_) => false,
        }
    }

    /// Fills a slot with the chunk at `at`, which fits it; returns the chunk behind.
    fn fill(&mut self, slot: Slot, at: usize, chunk: &Chunk) -> Option<usize> {
        match (slot, &chunk.kind) {
            (Slot::Number | Slot::Ordinal, ChunkKind::Number(value)) => self.number(*value),
            (Slot::Number, ChunkKind::Word { .. }) => {
                let value = self.senses.sense(chunk).number?;
                self.number(u32::from(value));
            }
            (Slot::Ordinal, ChunkKind::Word { .. }) => {
                let value = self.senses.sense(chunk).ordinal?;
                self.number(u32::from(value));
                self.slots.worded = true;
            }
            (Slot::Line, ChunkKind::Line(line)) => {
                if self.slots.line.is_none() {
                    self.slots.line = Some(*line);
                } else {
                    self.slots.line2 = Some(*line);
                }
            }
            (Slot::Piece, ChunkKind::Noun(noun)) => self.slots.pieces.push(*noun),
            (Slot::Square, ChunkKind::Square(square)) => self.slots.square = Some(*square),
            (Slot::File, ChunkKind::File(file)) => self.slots.file = Some(*file),
            (Slot::Side, _) => self.slots.side = Some(at),
            (Slot::Targets, _) => return self.targets(at),
            _ => return None,
        }
        Some(at + 1)
    }

    fn number(&mut self, value: u32) {
        if self.slots.number.is_none() {
            self.slots.number = Some(value);
        } else {
            self.slots.number2 = Some(value);
        }
    }

    /// Pieces and squares with commas and "and" between them.
    fn targets(&mut self, mut at: usize) -> Option<usize> {
        let mut end = None;
        for _ in 0..MOST_TARGETS {
            match self.chunks.get(at).map(|chunk| &chunk.kind) {
                Some(ChunkKind::Noun(noun)) => self.slots.targets.push(Target::Piece(*noun)),
                Some(ChunkKind::Square(square)) => self.slots.targets.push(Target::Square(*square)),
                _ => return end,
            }
            at += 1;
            end = Some(at);
            while self.chunks.get(at).is_some_and(|chunk| match chunk.kind {
                ChunkKind::Comma => true,
                ChunkKind::Word { .. } => {
                    let sense = self.senses.sense(chunk);
                    sense.is(Set::And) && !sense.is(Set::Or) || sense.is(Set::Both)
                }
                _ => false,
            }) {
                at += 1;
            }
        }
        end
    }
}
