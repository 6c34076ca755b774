//! What words mean, and what stands in a text besides words.

use shakmaty::Role;

use crate::frame::Frame;
use crate::lexicon::Set;
use crate::pattern::Presence;

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
    /// The index of the first word.
    pub(crate) const FIRST_WORD: usize = 9;

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

/// What a word means in one language.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sense {
    /// The sets it belongs to, one bit each.
    pub(crate) sets: u128,
    /// All that patterns may ask of it.
    pub(crate) presence: Presence,
    /// What it adds to a claim that holds it, one bit for each [`Nuance`](crate::Nuance).
    pub(crate) nuances: u32,
    /// Whether patterns are found by it.
    pub(crate) finds: bool,
    /// Whether a noun phrase for a piece can begin with it.
    pub(crate) opens_noun: bool,
    /// Its value, for number words.
    pub(crate) number: Option<u8>,
    /// Its value, for ordinals.
    pub(crate) ordinal: Option<u8>,
    /// The piece it names.
    pub(crate) piece: Option<PieceWord>,
    /// Whether the language knows it at all.
    pub(crate) known: bool,
    /// What it does to the claims near it.
    pub(crate) frame: Frame,
    /// Whether it begins two words that are reviewed together.
    pub(crate) begins_two: bool,
}

/// A noun for a piece.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PieceWord {
    /// `None` for "piece".
    pub(crate) role: Option<Role>,
    pub(crate) plural: bool,
}

impl Sense {
    /// The sense of what is not there.
    pub(crate) const NONE: Self = Self {
        sets: 0,
        presence: Presence::NONE,
        nuances: 0,
        finds: false,
        opens_noun: false,
        number: None,
        ordinal: None,
        piece: None,
        known: false,
        frame: Frame::Unreviewed,
        begins_two: false,
    };

    /// Whether it is a word of the set.
    #[inline]
    pub(crate) const fn is(&self, set: Set) -> bool {
        self.is_any(set.bit())
    }

    /// Whether it is a word of one of the sets, given by their bits.
    #[inline]
    pub(crate) const fn is_any(&self, sets: u128) -> bool {
        self.sets & sets != 0
    }

    /// Whether it is a word that may stand between any two elements of a pattern.
    #[inline]
    pub(crate) const fn is_filler(&self) -> bool {
        self.is_any(Set::Filler.bit() | Set::Det.bit())
    }
}

/// What the words of one language mean.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Senses<'l> {
    senses: &'l [Sense],
    /// Two words that are reviewed together, in order.
    twos: &'l [((Entry, Entry), Frame)],
}

impl<'l> Senses<'l> {
    pub(crate) const fn new(senses: &'l [Sense], twos: &'l [((Entry, Entry), Frame)]) -> Self {
        Self { senses, twos }
    }

    /// What two words that are reviewed together do to the claims near them.
    pub(crate) fn frame_of_two(self, pair: (Entry, Entry)) -> Option<Frame> {
        let found = self.twos.binary_search_by_key(&pair, |&(pair, _)| pair);
        self.twos.get(found.ok()?).map(|&(_, frame)| frame)
    }

    /// What the word of an entry means.
    #[inline]
    pub(crate) fn of(self, entry: Entry) -> &'l Sense {
        self.senses.get(entry.index()).unwrap_or(&Sense::NONE)
    }
}
