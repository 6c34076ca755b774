//! The languages of prose.

use gainsay_notation::Language;

/// A language of prose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Tongue {
    /// English.
    English,
    /// German.
    German,
    /// Spanish.
    Spanish,
    /// French.
    French,
    /// Russian.
    Russian,
}

impl Tongue {
    /// How many there are.
    pub(crate) const COUNT: usize = 5;

    /// Every language.
    pub const ALL: [Self; Self::COUNT] = [
        Self::English,
        Self::German,
        Self::Spanish,
        Self::French,
        Self::Russian,
    ];

    /// The piece letters of its moves.
    pub(crate) const fn letters(self) -> Language {
        match self {
            Self::English => Language::English,
            Self::German => Language::German,
            Self::Spanish => Language::Spanish,
            Self::French => Language::French,
            Self::Russian => Language::Russian,
        }
    }
}
