//! What filled the slots of a pattern.

use arrayvec::ArrayVec;
use shakmaty::{File, Square};

use crate::chunks::{Chunk, ChunkKind};
use crate::kind::Target;
use crate::noun::Noun;
use crate::sense::Senses;
use crate::slot::{MOST_SLOTS, Slot};

/// Targets in one list, at most.
pub(super) const MOST_TARGETS: usize = 6;

/// A slot and the chunks that fill it. Small, for it is copied with every match.
#[derive(Clone, Copy, Debug)]
pub(super) struct Filling {
    slot: Slot,
    count: u8,
    start: u32,
}

impl Filling {
    /// The slot with the chunks `start..end`, which are few.
    #[inline]
    pub(super) fn new(slot: Slot, start: usize, end: usize) -> Self {
        Self {
            slot,
            count: u8::try_from(end - start).unwrap_or(u8::MAX),
            start: u32::try_from(start).unwrap_or(u32::MAX),
        }
    }
}

/// The slots that are filled, in the order of the pattern.
pub(super) type Filled = ArrayVec<Filling, MOST_SLOTS>;

/// What the slots of a matched pattern were filled with.
#[derive(Clone, Debug, Default)]
pub(crate) struct Slots {
    pub(crate) number: Option<u32>,
    pub(crate) number2: Option<u32>,
    /// The chunks of all numbers.
    pub(crate) number_chunks: ArrayVec<usize, MOST_SLOTS>,
    /// Whether an ordinal is written as a word.
    pub(crate) worded: bool,
    pub(crate) line: Option<u32>,
    pub(crate) line2: Option<u32>,
    pub(crate) pieces: ArrayVec<Noun, MOST_SLOTS>,
    pub(crate) targets: Vec<Target>,
    pub(crate) square: Option<Square>,
    pub(crate) file: Option<File>,
    pub(crate) side: Option<usize>,
}

impl Slots {
    /// What the chunks in the filled slots say.
    #[inline]
    pub(super) fn new(filled: &Filled, chunks: &[Chunk], senses: Senses<'_>) -> Self {
        let mut slots = Self::default();
        for place in filled {
            let from = chunks.get(place.start as usize..).unwrap_or_default();
            for chunk in from.iter().take(place.count.into()) {
                slots.add(place, chunk, senses);
            }
        }
        slots
    }

    fn add(&mut self, place: &Filling, chunk: &Chunk, senses: Senses<'_>) {
        if matches!(place.slot, Slot::Number | Slot::Ordinal) {
            self.number_chunks.push(place.start as usize);
        }
        match (place.slot, &chunk.kind) {
            (Slot::Number | Slot::Ordinal, ChunkKind::Number(value)) => self.number(*value),
            (Slot::Times, ChunkKind::Number(value)) => self.number(*value),
            (Slot::Times, _) => {
                let sense = senses.sense(chunk);
                if let Some(value) = sense.times.or(sense.number) {
                    self.number(value.into());
                }
            }
            (Slot::Number, _) => {
                let value = senses.sense(chunk).number;
                self.number(value.unwrap_or_default().into());
            }
            (Slot::Ordinal, _) => {
                let value = senses.sense(chunk).ordinal;
                self.number(value.unwrap_or_default().into());
                self.worded = true;
            }
            (Slot::Line, ChunkKind::Line(line)) => {
                if self.line.is_none() {
                    self.line = Some(*line);
                } else {
                    self.line2 = Some(*line);
                }
            }
            (Slot::Piece, ChunkKind::Noun(noun)) => self.pieces.push(*noun),
            (Slot::Targets, ChunkKind::Noun(noun)) => self.targets.push(Target::Piece(*noun)),
            (Slot::Targets, ChunkKind::Square(square)) => {
                self.targets.push(Target::Square(*square));
            }
            (Slot::Square, ChunkKind::Square(square)) => self.square = Some(*square),
            (Slot::File, ChunkKind::File(file)) => self.file = Some(*file),
            (Slot::Side, _) => {
                self.side.get_or_insert(place.start as usize);
            }
            _ => {}
        }
    }

    const fn number(&mut self, value: u32) {
        if self.number.is_none() {
            self.number = Some(value);
        } else {
            self.number2 = Some(value);
        }
    }
}
