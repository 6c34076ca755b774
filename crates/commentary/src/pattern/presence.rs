//! What can be in a sentence, and what patterns ask for.

use super::Slot;
use crate::lexicon::Set;
use crate::sense::{Entry, Sense};

/// What kinds of chunk are there: in a passage, or as alternatives of an element.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Presence {
    sets: u128,
    /// A bit for every slot, and the others for words, each shared by many.
    others: u128,
}

impl Presence {
    /// What is there everywhere, as a slot that no chunk fills.
    pub(crate) const EVERYWHERE: Self = Self {
        sets: 0,
        others: 1 << Slot::COUNT,
    };

    /// Quotation marks and glyphs.
    pub(crate) const MARK: Self = Self {
        sets: 0,
        others: 1 << (Slot::COUNT + 1),
    };

    /// What claims something by itself: lines, noun phrases, marks, and names of mates.
    pub(crate) const SPEAKS: Self = Self {
        sets: Set::MateName.bit(),
        others: Self::MARK.others | Slot::Line.bit() | Slot::Piece.bit(),
    };

    /// Nothing at all.
    pub(crate) const NONE: Self = Self { sets: 0, others: 0 };

    /// Adds the set with this bit.
    pub(crate) const fn add_set(&mut self, bit: u32) {
        self.sets |= 1 << bit;
    }

    /// Adds what fills a slot.
    pub(super) const fn add_slot(&mut self, slot: Slot) {
        self.others |= slot.bit();
    }

    /// Adds what is in another.
    #[inline]
    pub(crate) const fn add(&mut self, other: &Self) {
        self.sets |= other.sets;
        self.others |= other.others;
    }

    /// The sets whose words are there, one bit each.
    pub(crate) const fn sets(&self) -> u128 {
        self.sets
    }

    /// The slots that something there fills, one bit each.
    pub(super) const fn slots(&self) -> u128 {
        self.others & ((1 << Slot::COUNT) - 1)
    }

    /// Whether a word of the set is there.
    pub(crate) const fn has(&self, set: Set) -> bool {
        self.sets & set.bit() != 0
    }

    /// Whether a cited line is there.
    pub(crate) const fn has_line(&self) -> bool {
        self.others & Slot::Line.bit() != 0
    }

    /// Whether a word of one of the sets is there.
    pub(crate) const fn has_any_of(&self, sets: u128) -> bool {
        self.sets & sets != 0
    }

    /// Whether a number is there, in digits or in words.
    pub(crate) const fn has_number(&self) -> bool {
        self.others & Slot::Number.bit() != 0
    }

    /// What patterns may ask of a word.
    pub(crate) fn of_word(entry: Entry, sense: &Sense) -> Self {
        let mut presence = sense.presence.or(&Self::of_entry(entry));
        if sense.number.is_some() {
            presence.add_slot(Slot::Number);
        }
        if sense.ordinal.is_some() {
            presence.add_slot(Slot::Ordinal);
        }
        presence
    }

    /// What patterns may ask of the word of an entry, or of what has one by its kind.
    pub(super) fn of_entry(entry: Entry) -> Self {
        let slots: &[Slot] = match entry {
            Entry::SIGN => &[],
            Entry::MARK => return Self::MARK,
            Entry::NUMBER => &[Slot::Number, Slot::Ordinal],
            Entry::LINE => &[Slot::Line],
            Entry::NOUN => &[Slot::Piece, Slot::Targets],
            Entry::SQUARE => &[Slot::Square, Slot::Targets],
            Entry::FILE => &[Slot::File],
            Entry::SIDE => &[Slot::Side],
            _ => {
                let others = Self::word(entry);
                return Self { sets: 0, others };
            }
        };
        let mut presence = Self::NONE;
        for slot in slots {
            presence.add_slot(*slot);
        }
        presence
    }

    const fn word(entry: Entry) -> u128 {
        1 << (10 + entry.index() % 118)
    }

    /// Whether it is a word that may stand between any two elements.
    #[inline]
    pub(super) const fn is_filler(&self) -> bool {
        self.sets & (Set::Filler.bit() | Set::Det.bit()) != 0
    }

    /// What is in one or the other.
    pub(crate) const fn or(mut self, other: &Self) -> Self {
        self.add(other);
        self
    }

    /// Whether one of the alternatives of `need` is there.
    #[inline]
    pub(crate) const fn has_any(&self, need: &Self) -> bool {
        self.sets & need.sets | self.others & need.others != 0
    }
}
