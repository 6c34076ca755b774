//! Claims as phrases make them.

use super::slots::Slots;
use crate::claim::{Mood, Polarity, Tense};
use crate::kind::ClaimKind;

/// A claim as phrases make it, in any language.
#[derive(Debug)]
pub(crate) struct Phrase {
    /// Its name in `lang/claims.txt`.
    #[cfg_attr(not(test), allow(dead_code))]
    // Kept in every build so that building has no mode.
    pub(crate) name: &'static str,
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
    pub(crate) const fn new(name: &'static str, make: fn(&Slots) -> Option<ClaimKind>) -> Self {
        Self {
            name,
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
}
