//! Claims and the phrases that make them.

use super::slots::Slots;
use crate::claim::{Mood, Polarity, Tense};
use crate::kind::ClaimKind;

/// A claim and the phrases that make it.
#[derive(Debug)]
pub(crate) struct Phrase {
    /// Patterns, with `;` between.
    pub(crate) patterns: &'static str,
    /// Makes the claim of what stood in the slots.
    pub(crate) make: fn(&Slots) -> Option<ClaimKind>,
    /// The polarity, where the phrase holds its own negation.
    pub(crate) polarity: Option<Polarity>,
    /// The tense, where the phrase fixes it.
    pub(crate) tense: Option<Tense>,
    /// The mood, where the phrase fixes it.
    pub(crate) mood: Option<Mood>,
    /// Who is the claim's subject.
    pub(crate) subject: Who,
    /// How a line in the pattern, or else the line before it, is tied to the claim.
    pub(crate) tie: Tie,
    /// Whether the phrase calls a mate by its name.
    pub(crate) named: bool,
    /// Whether the phrase claims nothing, and keeps others from reading a part of it.
    pub(crate) silent: bool,
    /// Whether the phrase is another one where it makes no claim of what stands in its slots.
    pub(crate) picky: bool,
    /// Whether the phrase is read only where its sentence points at another game.
    pub(crate) of_games: bool,
}

/// Where a pattern's subject stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Who {
    /// In front, if anywhere.
    Before,
    /// In the pattern's SIDE or first PIECE.
    Inside,
    /// Before, but it suffers what is claimed ("Black is mated in two").
    Victim,
    /// In the pattern's SIDE, which suffers it ("Black walks into a mate in two").
    Sufferer,
    /// Nowhere.
    Nobody,
}

/// How a line is tied to a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tie {
    /// The claim is made at the line's end.
    End,
    /// The line shows or begins what is claimed.
    Shown,
    /// The same of the first of two lines: "24...Kh8 is forced after 24.Nh6+".
    First,
}

impl Phrase {
    /// A phrase whose subject stands before it and whose line stands before it.
    pub(crate) const fn new(patterns: &'static str, make: fn(&Slots) -> Option<ClaimKind>) -> Self {
        Self {
            patterns,
            make,
            polarity: None,
            tense: None,
            mood: None,
            subject: Who::Before,
            tie: Tie::End,
            named: false,
            silent: false,
            picky: false,
            of_games: false,
        }
    }

    /// Phrases that claim nothing, though a part of them would elsewhere.
    pub(crate) const fn nothing(patterns: &'static str) -> Self {
        let mut phrase = Self::new(patterns, |_| None);
        phrase.silent = true;
        phrase
    }

    /// Phrases that call a mate by its name; which it is the words say.
    pub(crate) const fn naming(patterns: &'static str) -> Self {
        let mut phrase = Self::new(patterns, |_| None);
        phrase.named = true;
        phrase
    }

    /// Where the phrase makes no claim of what stands in its slots, shorter ones may.
    pub(crate) const fn picky(mut self) -> Self {
        self.picky = true;
        self
    }

    /// The phrase tells of other games only.
    pub(crate) const fn of_games(mut self) -> Self {
        self.of_games = true;
        self
    }

    /// The phrase affirms, whatever negation it holds.
    pub(crate) const fn affirmed(mut self) -> Self {
        self.polarity = Some(Polarity::Affirmed);
        self
    }

    /// The phrase denies.
    pub(crate) const fn denied(mut self) -> Self {
        self.polarity = Some(Polarity::Denied);
        self
    }

    /// The phrase tells of the past.
    pub(crate) const fn past(mut self) -> Self {
        self.tense = Some(Tense::Past);
        self
    }

    /// The phrase has this mood.
    pub(crate) const fn mood(mut self, mood: Mood) -> Self {
        self.mood = Some(mood);
        self
    }

    /// The subject stands inside the phrase.
    pub(crate) const fn inside(mut self) -> Self {
        self.subject = Who::Inside;
        self
    }

    /// What stands in front suffers what is claimed.
    pub(crate) const fn victim(mut self) -> Self {
        self.subject = Who::Victim;
        self
    }

    /// The side in the pattern suffers what is claimed.
    pub(crate) const fn sufferer(mut self) -> Self {
        self.subject = Who::Sufferer;
        self
    }

    /// The phrase has no subject.
    pub(crate) const fn nobody(mut self) -> Self {
        self.subject = Who::Nobody;
        self
    }

    /// The first line in the phrase shows what is claimed.
    pub(crate) const fn first(mut self) -> Self {
        self.tie = Tie::First;
        self
    }

    /// The line in the phrase shows what is claimed.
    pub(crate) const fn shown(mut self) -> Self {
        self.tie = Tie::Shown;
        self
    }
}
