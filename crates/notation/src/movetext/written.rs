//! Moves as they are written.

use shakmaty::san::San;
use shakmaty::{CastlingSide, File, Rank, Role, Square};

use super::old::Descriptive;

/// A move as written, before anybody asks whether it can be played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WrittenMove {
    /// What is moved where.
    pub shape: WrittenShape,
    /// The signs behind it.
    pub signs: Signs,
    /// Ways of writing that the standard's export format would not use.
    pub oddities: Oddities,
}

/// What a written move says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrittenShape {
    /// A piece or pawn goes to a square.
    To {
        /// The piece; a pawn where no letter stands.
        role: Role,
        /// The file it comes from, if written.
        file: Option<File>,
        /// The rank it comes from, if written.
        rank: Option<Rank>,
        /// Whether a capture sign (`x` or `:`) is written.
        capture: bool,
        /// The square it goes to.
        to: Square,
        /// The piece a pawn becomes, if written.
        promotion: Option<Role>,
    },
    /// A pawn capture with files only: `hxg`, `hg`.
    PawnCapture {
        /// The pawn's file.
        from: File,
        /// The file it captures on.
        to: File,
        /// The piece it becomes, if written.
        promotion: Option<Role>,
    },
    /// Castling.
    Castle(CastlingSide),
    /// Castling without its side: `Castles`.
    Castles,
    /// A move in descriptive notation: `P-K4`, `KtxP`.
    Descriptive(Descriptive),
    /// A null move: the side to move passes (`--`, `Z0`).
    Null,
}

impl WrittenShape {
    /// The piece and the square of a move that says no more, such as `Nf3`; prose names a
    /// piece on its square so.
    #[must_use]
    pub const fn piece_and_square(self) -> Option<(Role, Square)> {
        match self {
            Self::To {
                role,
                file: None,
                rank: None,
                capture: false,
                to,
                promotion: None,
            } => Some((role, to)),
            _ => None,
        }
    }

    /// The move in the standard's notation; `None` for a pawn capture with files only and for
    /// descriptive notation, which the standard does not have.
    #[must_use]
    pub const fn san(self) -> Option<San> {
        match self {
            Self::To {
                role,
                file,
                rank,
                capture,
                to,
                promotion,
            } => Some(San::Normal {
                role,
                file,
                rank,
                capture,
                to,
                promotion,
            }),
            Self::Castle(side) => Some(San::Castle(side)),
            Self::Null => Some(San::Null),
            Self::PawnCapture { .. } | Self::Castles | Self::Descriptive(_) => None,
        }
    }
}

/// The sign behind a move.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Signs {
    /// None.
    #[default]
    None,
    /// `+`, or the words `ch`, `ch.`, `check` glued to the move.
    Check,
    /// `++`: double check to some, mate to others.
    DoubleCheck,
    /// `#`, or `mate` glued to the move.
    Mate,
}

/// A set of ways of writing; each is worth a hint with a safe remedy.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Oddities(u16);

impl Oddities {
    /// Long form with a hyphen: `e2-e4`, `Ng1-f3`.
    pub const HYPHEN: Self = Self(1);
    /// Castling with zeros: `0-0`.
    pub const ZEROS: Self = Self(1 << 1);
    /// Promotion without `=`: `e8Q`, `e8(Q)`, `e8/Q`.
    pub const PROMOTION: Self = Self(1 << 2);
    /// An `e.p.` behind the move.
    pub const EN_PASSANT: Self = Self(1 << 3);
    /// A figurine for the piece: `♘f3`.
    pub const FIGURINE: Self = Self(1 << 4);
    /// A colon for the capture: `N:f3`, `Nf3:`.
    pub const COLON: Self = Self(1 << 5);
    /// A pawn with its letter: `Pe4`.
    pub const PAWN_LETTER: Self = Self(1 << 6);
    /// Check or mate written as a word or as `++`.
    pub const SIGN_WORD: Self = Self(1 << 7);
    /// A pawn capture with files only: `hxg`.
    pub const FILES_ONLY: Self = Self(1 << 8);
    /// Piece letters of another language than English.
    pub const FOREIGN: Self = Self(1 << 9);
    /// Both origin file and rank: `Ng1f3`, without a hyphen.
    pub const LONG: Self = Self(1 << 10);
    /// The null move written otherwise than `--`.
    pub const NULL: Self = Self(1 << 11);
    /// Letter case or castling letters off: `o-o`, `nf3` with an unmistakable piece.
    pub const CASE: Self = Self(1 << 12);
    /// Descriptive notation: `P-K4`, `Castles`. It is no slip, so that no hint is given.
    pub const DESCRIPTIVE: Self = Self(1 << 13);

    /// Whether all of `other` is in the set.
    #[must_use]
    pub const fn contains(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Whether nothing is odd.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// What is left without `other`.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Both sets together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}
