//! Pieces as they are named.

use gainsay_notation::Span;
use shakmaty::{Color, File, Role, Square};

use crate::wording::Wording;

/// A piece as named in prose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Noun {
    /// Where it is named.
    pub span: Span,
    /// What it is; `None` for "piece".
    pub role: Option<Role>,
    /// Whose it is, where said.
    pub owner: Owner,
    /// The square it stands on, where said.
    pub square: Option<Square>,
    /// The file it stands on ("the h-pawn"), where said and no square is.
    pub file: Option<File>,
    /// Whether the noun is in the plural.
    pub plural: bool,
    /// How many, where said ("both rooks" is 2).
    pub count: Option<u8>,
    /// What its adjectives say of it.
    pub traits: Traits,
    /// Whether an article or an owner stands in front ("the rook", "his rook", "a rook").
    pub determined: bool,
    /// What its very words add.
    pub wording: Wording,
    /// Its last words, which claim no more than that the piece is there: what stands behind
    /// adjectives that are claims themselves ("pawn on e5" of "an isolated pawn on e5").
    pub bare: Span,
    /// Whether its square stands behind it without "on": "bishop d6".
    pub apposed: bool,
}

/// What adjectives say of a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Traits(u16);

impl Traits {
    /// "passed"
    pub const PASSED: Self = Self(1);
    /// "isolated"
    pub const ISOLATED: Self = Self(1 << 1);
    /// "doubled"
    pub const DOUBLED: Self = Self(1 << 2);
    /// "tripled"
    pub const TRIPLED: Self = Self(1 << 3);
    /// "backward"
    pub const BACKWARD: Self = Self(1 << 4);
    /// "pinned"
    pub const PINNED: Self = Self(1 << 5);
    /// "trapped"
    pub const TRAPPED: Self = Self(1 << 6);
    /// "unprotected", "loose"
    pub const LOOSE: Self = Self(1 << 7);
    /// "hanging"
    pub const HANGING: Self = Self(1 << 8);
    /// "extra"
    pub const EXTRA: Self = Self(1 << 9);
    /// "connected"
    pub const CONNECTED: Self = Self(1 << 10);
    /// "protected"
    pub const PROTECTED: Self = Self(1 << 11);
    /// "light-squared"
    pub const LIGHT: Self = Self(1 << 12);
    /// "dark-squared"
    pub const DARK: Self = Self(1 << 13);

    /// Whether all of `other` is said.
    #[must_use]
    pub const fn contains(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether nothing is said.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }
}

/// Whose a thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Owner {
    /// Not said.
    Anyone,
    /// White's or Black's.
    Side(Color),
    /// "his", "its": one of the players.
    He,
    /// "my", of an author who is not known as one of the players.
    Mine,
    /// "the enemy", "hostile": the side the sentence does not speak of.
    Other,
}
