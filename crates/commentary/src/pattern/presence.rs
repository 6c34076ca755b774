//! What can be in a sentence, and what patterns ask for.

use super::{Slot, Want};
use crate::chunk::{Chunk, ChunkKind};
use crate::lexicon::{Entry, Sense, Senses, Set};

/// What kinds of chunk are there: in a passage, or as alternatives of an element.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Presence {
    sets: u128,
    /// A bit for every slot, and the others for words, each shared by many.
    pub(super) others: u128,
}

impl Presence {
    /// What is there everywhere, as a slot that no chunk fills.
    pub(crate) const EVERYWHERE: Self = Self {
        sets: 0,
        others: 1 << Slot::COUNT,
    };

    /// Adds a word.
    #[inline]
    pub(crate) const fn add_word(&mut self, sense: &Sense) {
        self.sets |= sense.sets;
        self.others |= sense.others;
    }

    /// Adds a chunk that is no word.
    pub(crate) const fn add_kind(&mut self, kind: &ChunkKind) {
        self.others |= Self::of_kind(kind).others;
    }

    /// What a chunk is.
    #[inline]
    pub(super) fn of(chunk: &Chunk, senses: Senses<'_>) -> Self {
        match &chunk.kind {
            ChunkKind::Word { entry, .. } => {
                let sense = senses.of(*entry);
                Self {
                    sets: sense.sets,
                    others: sense.others,
                }
            }
            kind => Self::of_kind(kind),
        }
    }

    /// The slots that a chunk can fill by its kind.
    pub(super) const fn of_kind(kind: &ChunkKind) -> Self {
        let others = match kind {
            ChunkKind::Number(_) => Slot::Number.bit() | Slot::Ordinal.bit(),
            ChunkKind::Line(_) => Slot::Line.bit(),
            ChunkKind::Noun(_) => Slot::Piece.bit() | Slot::Targets.bit(),
            ChunkKind::Square(_) => Slot::Square.bit() | Slot::Targets.bit(),
            ChunkKind::File(_) => Slot::File.bit(),
            ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent => Slot::Side.bit(),
            _ => 0,
        };
        Self { sets: 0, others }
    }

    /// Whether a word of the set is there.
    pub(crate) const fn has(&self, set: Set) -> bool {
        self.sets & set.bit() != 0
    }

    /// Whether a cited line is there.
    pub(crate) const fn has_line(&self) -> bool {
        self.others & Slot::Line.bit() != 0
    }

    /// Whether a noun phrase for a piece is there.
    pub(crate) const fn has_noun(&self) -> bool {
        self.others & Slot::Piece.bit() != 0
    }

    /// Whether a word of one of the sets is there.
    pub(crate) const fn has_any_of(&self, sets: u128) -> bool {
        self.sets & sets != 0
    }

    /// Whether a number is there, in digits or in words.
    pub(crate) const fn has_number(&self) -> bool {
        self.others & Slot::Number.bit() != 0
    }

    pub(super) const fn word(entry: Entry) -> u128 {
        1 << (9 + entry.index() % 119)
    }

    pub(super) fn wanted(wants: &[Want]) -> Self {
        let mut any = Self::default();
        for want in wants {
            match want {
                Want::Word(entry) => any.others |= Self::word(*entry),
                Want::Set(bit) => any.sets |= 1 << bit,
                Want::Slot(slot) => any.others |= slot.bit(),
            }
        }
        any
    }

    /// Whether a word of the set with this bit is there.
    #[inline]
    pub(super) const fn has_set(&self, bit: u32) -> bool {
        self.sets >> bit & 1 != 0
    }

    /// Whether something is there that fills a slot.
    #[inline]
    pub(super) const fn fills(&self, slot: Slot) -> bool {
        self.others & slot.bit() != 0
    }

    /// Whether it is a word that may stand between any two elements.
    #[inline]
    pub(super) const fn is_filler(&self) -> bool {
        self.sets & (Set::Filler.bit() | Set::Det.bit()) != 0
    }

    /// What is in one or the other.
    pub(super) const fn or(self, other: Self) -> Self {
        Self {
            sets: self.sets | other.sets,
            others: self.others | other.others,
        }
    }

    /// Whether one of the alternatives of `need` is there.
    #[inline]
    pub(super) const fn has_any(&self, need: &Self) -> bool {
        self.sets & need.sets | self.others & need.others != 0
    }
}
