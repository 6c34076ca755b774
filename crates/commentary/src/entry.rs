//! The numbers of words.

/// The number of a word in the lexicon. What is no word has a number by its kind, so that
/// it can be asked what it means like any word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Entry(u16);

impl Entry {
    /// Every unknown word.
    pub(crate) const UNKNOWN: Self = Self(0);
    /// Signs, and what else no pattern asks for.
    pub(crate) const SIGN: Self = Self(1);
    /// Quotation marks and glyphs.
    pub(crate) const MARK: Self = Self(2);
    /// A number.
    pub(crate) const NUMBER: Self = Self(3);
    /// A cited line.
    pub(crate) const LINE: Self = Self(4);
    /// A noun phrase for a piece.
    pub(crate) const NOUN: Self = Self(5);
    /// A square.
    pub(crate) const SQUARE: Self = Self(6);
    /// A file.
    pub(crate) const FILE: Self = Self(7);
    /// A side.
    pub(crate) const SIDE: Self = Self(8);
    /// A side in a case in which it does nothing: "белых".
    pub(crate) const OBLIQUE_SIDE: Self = Self(9);
    /// The index of the first word.
    pub(crate) const FIRST_WORD: usize = 10;

    /// The number as index.
    pub(crate) const fn index(self) -> usize {
        self.0 as usize
    }

    pub(crate) const fn from_index(index: u16) -> Self {
        Self(index)
    }

    /// Whether it is a word that any language knows.
    pub(crate) const fn is_known(self) -> bool {
        self.index() >= Self::FIRST_WORD
    }
}
