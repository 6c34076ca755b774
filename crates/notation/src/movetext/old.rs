//! Moves in the English descriptive notation of old books, as they are written.

use shakmaty::{File, Rank, Role};

/// A move in descriptive notation: `P-K4`, `KtxP`, `QR-K1`.
///
/// It says what must be true of the move; which legal moves it fits is asked elsewhere. Ranks
/// are counted from the side that moves: rank 1 is that of its own king.
///
/// Source: common practice of books in English up to about 1980, no source.
///
/// ```
/// use gainsay_notation::{Files, Language, WrittenShape, parse_move};
/// use shakmaty::{File, Rank, Role};
/// let WrittenShape::Descriptive(old) = parse_move(b"Kt-QB3", Language::English).unwrap().shape else {
///     panic!("no descriptive move");
/// };
/// assert_eq!((old.mover.role, old.captured), (Role::Knight, None));
/// assert_eq!((old.to_files, old.to_rank), (Files::of(File::C), Some(Rank::Third)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Descriptive {
    /// What moves: a pawn with its files, any other piece with its side of the board or, where
    /// `from_rank` is given, the files that it stands on.
    pub mover: Man,
    /// The rank that it stands on, if its square is written.
    pub from_rank: Option<Rank>,
    /// What it takes, if it takes something.
    pub captured: Option<Man>,
    /// The files that it may go to.
    pub to_files: Files,
    /// The rank that it goes to, if written.
    pub to_rank: Option<Rank>,
    /// What a pawn becomes, if written.
    pub promotion: Option<Role>,
}

/// A piece or pawn as descriptive notation names it: `Kt`, `QR`, `KBP`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Man {
    /// Which kind.
    pub role: Role,
    /// Of a pawn the files that it can stand on (`BP` is one of two); of other pieces
    /// [`Files::KING_SIDE`] or [`Files::QUEEN_SIDE`] where a side is named, else all.
    pub files: Files,
}

impl Man {
    /// The side of the board whose piece is named; none for pawns.
    #[must_use]
    pub fn side(self) -> Option<Files> {
        let named = self.files == Files::KING_SIDE || self.files == Files::QUEEN_SIDE;
        (named && self.role != Role::Pawn).then_some(self.files)
    }
}

/// A set of files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Files(u8);

impl Files {
    /// All eight.
    pub const ALL: Self = Self(0xff);
    /// From e to h.
    pub const KING_SIDE: Self = Self(0xf0);
    /// From a to d.
    pub const QUEEN_SIDE: Self = Self(0x0f);

    /// One file.
    #[must_use]
    pub const fn of(file: File) -> Self {
        Self(1 << file as u32)
    }

    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Those that are in both.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether a file is among them.
    #[must_use]
    pub const fn contains(self, file: File) -> bool {
        self.0 & Self::of(file).0 != 0
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }
}
