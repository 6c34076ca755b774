//! What can be in a sentence, and what patterns ask for.

use crate::entry::Entry;
use crate::slot::Slot;

/// What kinds of chunk are there, as far as patterns ask: in a passage, or as alternatives of
/// an element. One bit for each slot and for each of the first sets that patterns name; the
/// others are for words, each shared by many.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Presence(u128);

/// The first bit of a set.
const SETS: u32 = Slot::COUNT as u32 + 3;

/// The first bit of a word.
const WORDS: u32 = SETS + Presence::SETS;

impl Presence {
    /// Sets of a language that have bits of their own. Patterns may name more: those count as
    /// the words that are in them.
    const SETS: u32 = 72;

    /// What is there everywhere, as a slot that no chunk fills.
    pub(crate) const EVERYWHERE: Self = Self(1 << Slot::COUNT);

    /// Quotation marks and glyphs.
    const MARK: Self = Self(1 << (Slot::COUNT + 1));

    /// The names of mates.
    pub(crate) const MATE_NAME: Self = Self(1 << (Slot::COUNT + 2));

    /// What claims something by itself: lines, noun phrases, marks, and names of mates.
    pub(crate) const SPEAKS: Self =
        Self(Self::MARK.0 | Self::MATE_NAME.0 | Slot::Line.bit() | Slot::Piece.bit());

    /// Nothing at all.
    pub(crate) const NONE: Self = Self(0);

    /// A word of the set that patterns named as the one with this number, if there is a bit left
    /// for it.
    pub(crate) const fn of_set(number: usize) -> Option<Self> {
        if number < Self::SETS as usize {
            Some(Self(1 << (SETS + number as u32)))
        } else {
            None
        }
    }

    /// What fills a slot.
    pub(crate) const fn of_slot(slot: Slot) -> Self {
        Self(slot.bit())
    }

    /// Adds what is in another.
    #[inline]
    pub(crate) const fn add(&mut self, other: &Self) {
        self.0 |= other.0;
    }

    /// The slots that something there fills, one bit each.
    pub(crate) const fn slots(&self) -> u128 {
        self.0 & ((1 << Slot::COUNT) - 1)
    }

    /// Whether a cited line is there.
    pub(crate) const fn has_line(&self) -> bool {
        self.has_any(&Self::of_slot(Slot::Line))
    }

    /// Whether a number is there, in digits or in words.
    pub(crate) const fn has_number(&self) -> bool {
        self.has_any(&Self::of_slot(Slot::Number))
    }

    /// What patterns may ask of the word of an entry, or of what has one by its kind.
    pub(crate) const fn of_entry(entry: Entry) -> Self {
        Self(match entry {
            Entry::SIGN => 0,
            Entry::MARK => Self::MARK.0,
            Entry::NUMBER => Slot::Number.bit() | Slot::Ordinal.bit() | Slot::Times.bit(),
            Entry::LINE => Slot::Line.bit(),
            Entry::NOUN => Slot::Piece.bit() | Slot::Targets.bit(),
            Entry::SQUARE => Slot::Square.bit() | Slot::Targets.bit(),
            Entry::FILE => Slot::File.bit(),
            Entry::SIDE | Entry::OBLIQUE_SIDE => Slot::Side.bit(),
            _ => 1 << (WORDS + entry.index() as u32 % (u128::BITS - WORDS)),
        })
    }

    /// What is in one or the other.
    pub(crate) const fn or(mut self, other: &Self) -> Self {
        self.add(other);
        self
    }

    /// Whether one of the alternatives of `need` is there.
    #[inline]
    pub(crate) const fn has_any(&self, need: &Self) -> bool {
        self.0 & need.0 != 0
    }
}
