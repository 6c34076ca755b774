//! What words mean, and what stands in a text besides words.

use shakmaty::Role;

use crate::entry::Entry;
use crate::frame::Frame;
use crate::presence::Presence;
use crate::set::Set;
use crate::slot::Slot;
use crate::wording::Nuance;

/// What a word means in one language.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sense {
    /// The sets it belongs to of those that the code knows by name, one bit each.
    pub(crate) sets: u128,
    /// All that patterns may ask of it.
    pub(crate) presence: Presence,
    /// What it adds to a claim that holds it, one bit for each [`Nuance`](crate::wording::Nuance).
    pub(crate) nuances: u32,
    /// Whether patterns are found by it.
    pub(crate) finds: bool,
    /// Whether a noun phrase for a piece can begin with it.
    pub(crate) opens_noun: bool,
    /// Its value, for number words.
    pub(crate) number: Option<u8>,
    /// Its value, for ordinals.
    pub(crate) ordinal: Option<u8>,
    /// How often it says that something is so: "twice".
    pub(crate) times: Option<u8>,
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
        times: None,
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

    /// Whether it adds this to a claim that holds it.
    #[inline]
    pub(crate) const fn has(&self, nuance: Nuance) -> bool {
        self.nuances & nuance.bit() != 0
    }

    /// Whether it is a word of one of the sets, given by their bits.
    #[inline]
    pub(crate) const fn is_any(&self, sets: u128) -> bool {
        self.sets & sets != 0
    }

    /// What patterns may ask of it as the word of an entry, its sets left out.
    pub(crate) fn presence_of(&self, entry: Entry) -> Presence {
        let mut presence = Presence::of_entry(entry);
        if self.is(Set::MateName) {
            presence.add(&Presence::MATE_NAME);
        }
        if self.number.is_some() {
            presence.add(&Presence::of_slot(Slot::Number));
        }
        // "three times"
        if self.number.is_some() || self.times.is_some() {
            presence.add(&Presence::of_slot(Slot::Times));
        }
        if self.ordinal.is_some() {
            presence.add(&Presence::of_slot(Slot::Ordinal));
        }
        presence
    }

    /// Whether it is a word that may stand between any two elements of a pattern.
    #[inline]
    pub(crate) const fn is_filler(&self) -> bool {
        self.is_any(Set::Filler.bit() | Set::Det.bit())
    }
}

/// Where a language has its adjectives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(dead_code)] // Each is what some language may have.
pub(crate) enum Adjectives {
    /// In front of the noun: "the isolated pawn".
    Before,
    /// Behind it.
    After,
    /// Mostly behind it, some in front: "el peón aislado", "el mal alfil".
    Both,
}

impl Adjectives {
    /// Whether they may stand in front of the noun.
    pub(crate) const fn stand_before(self) -> bool {
        matches!(self, Self::Before | Self::Both)
    }

    /// Whether they may stand behind it.
    pub(crate) const fn stand_behind(self) -> bool {
        matches!(self, Self::After | Self::Both)
    }
}

/// What the words of one language mean.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Senses<'l> {
    adjectives: Adjectives,
    free_order: bool,
    meanings: &'l Meanings,
    /// Two words that are reviewed together, in order.
    twos: &'l [((Entry, Entry), Frame)],
}

/// The senses of the words that a language knows.
#[derive(Clone, Debug, Default)]
pub(crate) struct Meanings {
    senses: Vec<Sense>,
    /// Where the sense of an entry stands; empty where it stands at the entry itself.
    places: Vec<u16>,
}

impl Meanings {
    /// The senses of every entry as they stand, for the language that knows most of them.
    pub(crate) const fn dense(senses: Vec<Sense>) -> Self {
        Self {
            senses,
            places: Vec::new(),
        }
    }

    /// Keeps of `all`, the senses of every entry, those that say something.
    pub(crate) fn sparse(all: &[Sense]) -> Self {
        let mut senses = vec![Sense::NONE];
        let mut places = vec![0; all.len()];
        for ((at, sense), place) in all.iter().enumerate().zip(&mut places) {
            if sense.known || at < Entry::FIRST_WORD {
                *place = u16::try_from(senses.len()).unwrap_or(0);
                senses.push(*sense);
            }
        }
        senses.shrink_to_fit();
        Self { senses, places }
    }

    /// What the word of an entry means.
    #[inline]
    fn of(&self, entry: Entry) -> &Sense {
        let at = entry.index();
        let at = match self.places.get(at) {
            Some(&place) => place.into(),
            None if self.places.is_empty() => at,
            None => 0,
        };
        self.senses.get(at).unwrap_or(&Sense::NONE)
    }
}

impl<'l> Senses<'l> {
    pub(crate) const fn new(
        (adjectives, free_order): (Adjectives, bool),
        meanings: &'l Meanings,
        twos: &'l [((Entry, Entry), Frame)],
    ) -> Self {
        Self {
            adjectives,
            free_order,
            meanings,
            twos,
        }
    }

    /// Where the language has its adjectives.
    #[inline]
    pub(crate) const fn adjectives(self) -> Adjectives {
        self.adjectives
    }

    /// Whether a subject may stand behind its verb.
    #[inline]
    pub(crate) const fn free_order(self) -> bool {
        self.free_order
    }

    /// What two words that are reviewed together do to the claims near them.
    pub(crate) fn frame_of_two(self, pair: (Entry, Entry)) -> Option<Frame> {
        let found = self.twos.binary_search_by_key(&pair, |&(pair, _)| pair);
        self.twos.get(found.ok()?).map(|&(_, frame)| frame)
    }

    /// What the word of an entry means.
    #[inline]
    pub(crate) fn of(self, entry: Entry) -> &'l Sense {
        self.meanings.of(entry)
    }
}
