//! Single moves as people write them.

mod behind;

pub(crate) use behind::read_signs;
use behind::{may_be_en_passant, read_promotion, read_special};
use shakmaty::san::San;
use shakmaty::{CastlingSide, File, Rank, Role, Square};

use crate::Language;
use crate::bytes::{byte, byte_ends_word, ends_word, rest};

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

    /// The move in the standard's notation; `None` for a pawn capture with files only,
    /// which the standard does not have.
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
            Self::PawnCapture { .. } => None,
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

/// Reads all of `bytes` as one move in the piece letters of `language`.
///
/// Figurines are read in every language. `None` where it has not the shape of
/// a move, or where bytes are left over (annotation glyphs are not part of it).
#[must_use]
pub fn parse_move(bytes: &[u8], language: Language) -> Option<WrittenMove> {
    let (base, behind) = read_base(bytes, 0, language)?;
    let (written, end) = read_signs(bytes, behind, base);
    (end == bytes.len()).then_some(written)
}

/// Reads a move with its signs from `at` on; returns it and the offset behind it.
#[inline]
pub(crate) fn read_move(
    text: &[u8],
    at: usize,
    language: Language,
) -> Option<(WrittenMove, usize)> {
    let (base, behind) = read_base(text, at, language)?;
    if ends_word(text, behind) && !may_be_en_passant(&base) {
        return Some((base, behind));
    }
    Some(read_signs(text, behind, base))
}

/// Reads the commonest forms of moves in English letters, where a word ends
/// behind them: `e4`, `Nf3`, `exd5`, `Nxd5`, with `+` or `#`.
///
/// `None` says nothing: the move may have any other form.
#[inline]
pub(crate) fn read_common(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    let bytes: &[u8; 8] = text.get(at..)?.first_chunk()?;
    let role = match bytes[0] {
        b'N' => Some(Role::Knight),
        b'B' => Some(Role::Bishop),
        b'R' => Some(Role::Rook),
        b'Q' => Some(Role::Queen),
        b'K' => Some(Role::King),
        _ => None,
    };
    let first = usize::from(role.is_some());
    let (mut file, mut capture) = (None, false);
    let mut target = first;
    if bytes[first + usize::from(role.is_none())] == b'x' {
        capture = true;
        target = 2;
        if role.is_none() {
            file = Some(file_of(bytes[0])?);
        }
    }
    let to = Square::from_coords(file_of(bytes[target])?, rank_of(bytes[target + 1])?);
    let mut end = target + 2;
    let signs = match bytes[end] {
        b'+' => Signs::Check,
        b'#' => Signs::Mate,
        _ => Signs::None,
    };
    end += usize::from(signs != Signs::None);
    let behind = bytes[end];
    // A parenthesis may hold a promotion, and an `e.p.` may stand behind a capture.
    let more =
        behind == b'(' || (file.is_some() && behind == b' ' && byte(text, at + end + 1) == b'e');
    if more || !byte_ends_word(behind) {
        return None;
    }
    let shape = WrittenShape::To {
        role: role.unwrap_or(Role::Pawn),
        file,
        rank: None,
        capture,
        to,
        promotion: None,
    };
    let written = WrittenMove {
        shape,
        signs,
        oddities: Oddities::default(),
    };
    Some((written, at + end))
}

/// The role of every capital letter in every language.
const ROLES: [[Option<Role>; 26]; Language::ALL.len()] = {
    let mut table = [[None; 26]; Language::ALL.len()];
    let mut language = 0;
    while language < Language::ALL.len() {
        let letters = Language::ALL[language].letters();
        let mut role = 0;
        while role < letters.len() {
            table[language][(letters[role] as u8 - b'A') as usize] = Some(Role::ALL[role]);
            role += 1;
        }
        language += 1;
    }
    table
};

#[inline]
fn role_of(byte: u8, language: Language) -> Option<Role> {
    let letter = byte.wrapping_sub(b'A');
    ROLES
        .get(language as usize)?
        .get(usize::from(letter))
        .copied()?
}

#[inline]
fn file_of(byte: u8) -> Option<File> {
    let file = byte.wrapping_sub(b'a');
    (file < 8).then(|| File::new(u32::from(file)))
}

#[inline]
fn rank_of(byte: u8) -> Option<Rank> {
    let rank = byte.wrapping_sub(b'1');
    (rank < 8).then(|| Rank::new(u32::from(rank)))
}

/// The role of the figurine at the start of `bytes`, which takes three bytes.
/// White and black figurines (U+2654 to U+265F) mean the same.
fn figurine(bytes: &[u8]) -> Option<Role> {
    let [0xe2, 0x99, last @ 0x94..=0x9f, ..] = bytes else {
        return None;
    };
    Some(match (last - 0x94) % 6 {
        0 => Role::King,
        1 => Role::Queen,
        2 => Role::Rook,
        3 => Role::Bishop,
        4 => Role::Knight,
        _ => Role::Pawn,
    })
}

/// The length of the hyphen or dash at the start of `bytes`; 0 if there is none.
#[inline]
pub(crate) fn dash(bytes: &[u8]) -> usize {
    match bytes {
        [b'-', ..] => 1,
        // U+2010 to U+2015, and the minus sign U+2212.
        [0xe2, 0x80, 0x90..=0x95, ..] | [0xe2, 0x88, 0x92, ..] => 3,
        _ => 0,
    }
}

/// What stands between origin and target.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Between {
    Nothing,
    Capture,
    Colon,
    Hyphen,
}

#[inline]
fn between(text: &[u8], at: usize) -> (Between, usize) {
    match byte(text, at) {
        b'x' => (Between::Capture, 1),
        b':' => (Between::Colon, 1),
        b'-' => (Between::Hyphen, 1),
        b'X' => (Between::Capture, 1),
        0xc3 if byte(text, at + 1) == 0x97 => (Between::Capture, 2),
        0xe2 => match dash(rest(text, at)) {
            0 => (Between::Nothing, 0),
            length => (Between::Hyphen, length),
        },
        _ => (Between::Nothing, 0),
    }
}

/// Reads a move without its signs from `at` on.
#[inline]
pub(crate) fn read_base(
    text: &[u8],
    at: usize,
    language: Language,
) -> Option<(WrittenMove, usize)> {
    let first = byte(text, at);
    let mut oddities = Oddities::default();
    let mut piece = None;
    let mut here = at;
    if file_of(first).is_none() {
        if let Some(special) = read_special(text, at) {
            return Some(special);
        }
        if let Some(role) = role_of(first, language) {
            piece = Some(role);
            here += 1;
            if language as u8 != Language::English as u8
                && role_of(first, Language::English) != piece
            {
                oddities = oddities.with(Oddities::FOREIGN);
            }
        } else if let Some(role) = figurine(rest(text, at)) {
            piece = Some(role);
            here += 3;
            oddities = oddities.with(Oddities::FIGURINE);
        } else if let Some(role) = role_of(first.to_ascii_uppercase(), language) {
            // A small letter is only unmistakable where it is no file.
            piece = Some(role);
            here += 1;
            oddities = oddities.with(Oddities::CASE);
        }
        if piece == Some(Role::Pawn) {
            oddities = oddities.with(Oddities::PAWN_LETTER);
        }
    }
    let role = piece.unwrap_or(Role::Pawn);

    let mut file = file_of(byte(text, here));
    here += usize::from(file.is_some());
    let mut rank = rank_of(byte(text, here));
    here += usize::from(rank.is_some());
    let (separator, length) = between(text, here);
    let target_file = file_of(byte(text, here + length));
    let target_rank = rank_of(byte(text, here + length + 1));

    let mut capture = false;
    let to = match (target_file, target_rank, file, rank) {
        (Some(to_file), Some(to_rank), ..) => {
            here += length + 2;
            match separator {
                Between::Nothing => {}
                Between::Capture => capture = true,
                Between::Colon => {
                    capture = true;
                    oddities = oddities.with(Oddities::COLON);
                }
                Between::Hyphen => oddities = oddities.with(Oddities::HYPHEN),
            }
            if file.is_some() && rank.is_some() && separator != Between::Hyphen {
                oddities = oddities.with(Oddities::LONG);
            }
            Square::from_coords(to_file, to_rank)
        }
        (Some(to_file), None, Some(from), None)
            if role == Role::Pawn
                && separator != Between::Hyphen
                && from.distance(to_file) == 1 =>
        {
            return read_files_only(
                text,
                here + length + 1,
                (from, to_file),
                separator == Between::Colon,
                oddities,
                language,
            );
        }
        (_, _, Some(to_file), Some(to_rank)) => {
            (file, rank) = (None, None);
            Square::from_coords(to_file, to_rank)
        }
        _ => return None,
    };
    if !capture && byte(text, here) == b':' {
        capture = true;
        here += 1;
        oddities = oddities.with(Oddities::COLON);
    }
    let mut promotion = None;
    if role == Role::Pawn && !ends_word_but_paren(text, here) {
        let last = matches!(to.rank(), Rank::First | Rank::Eighth);
        if let Some((becomes, odd, behind)) = read_promotion(text, here, last, language) {
            promotion = Some(becomes);
            oddities = oddities.with(odd);
            here = behind;
        }
    }
    let shape = WrittenShape::To {
        role,
        file,
        rank,
        capture,
        to,
        promotion,
    };
    Some((
        WrittenMove {
            shape,
            signs: Signs::None,
            oddities,
        },
        here,
    ))
}

#[inline]
fn ends_word_but_paren(text: &[u8], at: usize) -> bool {
    ends_word(text, at) && byte(text, at) != b'('
}

/// `hxg`, `hg`, `h:g`, `hg:`, behind the second file.
fn read_files_only(
    text: &[u8],
    at: usize,
    (from, to): (File, File),
    colon: bool,
    oddities: Oddities,
    language: Language,
) -> Option<(WrittenMove, usize)> {
    let mut here = at;
    let mut oddities = oddities.with(Oddities::FILES_ONLY);
    if colon {
        oddities = oddities.with(Oddities::COLON);
    } else if byte(text, here) == b':' {
        oddities = oddities.with(Oddities::COLON);
        here += 1;
    }
    let mut promotion = None;
    if let Some((becomes, odd, behind)) = read_promotion(text, here, true, language) {
        promotion = Some(becomes);
        oddities = oddities.with(odd);
        here = behind;
    }
    Some((
        WrittenMove {
            shape: WrittenShape::PawnCapture {
                from,
                to,
                promotion,
            },
            signs: Signs::None,
            oddities,
        },
        here,
    ))
}

#[cfg(test)]
mod tests;
