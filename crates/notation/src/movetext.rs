//! Single moves as people write them.

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

/// Reads `=Q`, `Q`, `(Q)`, `/Q` or `=(Q)`. Without a sign before it, the letter
/// is only read where the pawn has reached its last rank.
fn read_promotion(
    text: &[u8],
    at: usize,
    last_rank: bool,
    language: Language,
) -> Option<(Role, Oddities, usize)> {
    let (mut here, mut odd) = match byte(text, at) {
        b'=' => (at + 1, Oddities::default()),
        b'/' | b'(' => (at + 1, Oddities::PROMOTION),
        _ if last_rank => (at, Oddities::PROMOTION),
        _ => return None,
    };
    let mut paren = byte(text, at) == b'(';
    if byte(text, at) == b'=' && byte(text, here) == b'(' {
        paren = true;
        here += 1;
        odd = odd.with(Oddities::PROMOTION);
    }
    let letter = byte(text, here);
    let role = if let Some(role) = role_of(letter, language) {
        here += 1;
        if role_of(letter, Language::English) != Some(role) {
            odd = odd.with(Oddities::FOREIGN);
        }
        role
    } else if let Some(role) = figurine(rest(text, here)) {
        here += 3;
        odd = odd.with(Oddities::FIGURINE);
        role
    } else {
        here += 1;
        odd = odd.with(Oddities::CASE);
        role_of(letter.to_ascii_uppercase(), language)?
    };
    if paren {
        if byte(text, here) != b')' {
            return None;
        }
        here += 1;
    } else if !matches!(byte(text, at), b'=' | b'/') && byte(text, here).is_ascii_lowercase() {
        // `e8check` and `e8ch` are no promotions.
        return None;
    }
    Some((role, odd, here))
}

/// Castling and null moves.
#[inline]
fn read_special(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    match byte(text, at) {
        b'O' | b'0' | b'o' => read_castling(text, at),
        b'-' | b'Z' | b'<' | b'@' => read_null(text, at),
        _ => None,
    }
}

fn read_null(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    let (oddities, length) = match rest(text, at) {
        [b'-', b'-', ..] => (Oddities::default(), 2),
        [b'Z', b'0', ..] | [b'<', b'>', ..] => (Oddities::NULL, 2),
        [b'@', b'@', b'@', b'@', ..] => (Oddities::NULL, 4),
        _ => return None,
    };
    Some((
        WrittenMove {
            shape: WrittenShape::Null,
            signs: Signs::None,
            oddities,
        },
        at + length,
    ))
}

fn read_castling(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    let mut oddities = Oddities::default();
    let mut here = at;
    let mut letters = 0;
    let mut gap = 0;
    while letters < 3 {
        let odd = match byte(text, here + gap) {
            b'O' => Oddities::default(),
            b'0' => Oddities::ZEROS,
            b'o' => Oddities::CASE,
            _ => break,
        };
        if letters > 0 && gap != 1 {
            // A dash that is no hyphen, or none: only `OO` is clear without.
            if gap == 0 && odd != Oddities::default() {
                break;
            }
            oddities = oddities.with(Oddities::CASE);
        }
        oddities = oddities.with(odd);
        here += gap + 1;
        letters += 1;
        gap = dash(rest(text, here));
    }
    let side = match letters {
        2 => CastlingSide::KingSide,
        3 => CastlingSide::QueenSide,
        _ => return None,
    };
    Some((
        WrittenMove {
            shape: WrittenShape::Castle(side),
            signs: Signs::None,
            oddities,
        },
        here,
    ))
}

#[inline]
const fn may_be_en_passant(written: &WrittenMove) -> bool {
    matches!(
        written.shape,
        WrittenShape::To {
            role: Role::Pawn,
            file: Some(_),
            ..
        } | WrittenShape::PawnCapture { .. }
    )
}

/// The length of an `e.p.` at `at`, with a blank before it or not; 0 if there is none.
fn en_passant(text: &[u8], at: usize) -> usize {
    let blank = usize::from(byte(text, at) == b' ');
    let behind = rest(text, at + blank);
    for form in [b"e.p.".as_slice(), b"e.p", b"ep.", b"ep"] {
        let end = at + blank + form.len();
        if behind.starts_with(form)
            && (ends_word(text, end) || matches!(byte(text, end), b'+' | b'#'))
        {
            return blank + form.len();
        }
    }
    0
}

/// Reads the signs behind a move, and an `e.p.` on either side of them.
pub(crate) fn read_signs(text: &[u8], at: usize, base: WrittenMove) -> (WrittenMove, usize) {
    let mut written = base;
    let mut here = at;
    let pawn = may_be_en_passant(&written);
    if pawn {
        let length = en_passant(text, here);
        if length > 0 {
            written.oddities = written.oddities.with(Oddities::EN_PASSANT);
            here += length;
        }
    }
    let (signs, odd, length) = match rest(text, here) {
        [b'+', b'+', ..] => (Signs::DoubleCheck, Oddities::SIGN_WORD, 2),
        [b'+', ..] => (Signs::Check, Oddities::default(), 1),
        [b'#', ..] => (Signs::Mate, Oddities::default(), 1),
        [b'c' | b'm', ..] => sign_word(rest(text, here)),
        // Dagger and double dagger.
        [0xe2, 0x80, 0xa0, ..] => (Signs::Check, Oddities::SIGN_WORD, 3),
        [0xe2, 0x80, 0xa1, ..] => (Signs::DoubleCheck, Oddities::SIGN_WORD, 3),
        _ => (Signs::None, Oddities::default(), 0),
    };
    written.signs = signs;
    written.oddities = written.oddities.with(odd);
    here += length;
    if pawn && !written.oddities.contains(Oddities::EN_PASSANT) {
        let length = en_passant(text, here);
        if length > 0 {
            written.oddities = written.oddities.with(Oddities::EN_PASSANT);
            here += length;
        }
    }
    (written, here)
}

fn sign_word(bytes: &[u8]) -> (Signs, Oddities, usize) {
    for (word, signs) in [
        (b"checkmate".as_slice(), Signs::Mate),
        (b"check", Signs::Check),
        (b"mate", Signs::Mate),
        (b"ch.", Signs::Check),
        (b"ch", Signs::Check),
    ] {
        if bytes.starts_with(word) && (word.ends_with(b".") || ends_word(bytes, word.len())) {
            return (signs, Oddities::SIGN_WORD, word.len());
        }
    }
    (Signs::None, Oddities::default(), 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shows a move so that a test can be read: shape, signs, oddities.
    fn show(text: &str, language: Language) -> String {
        let Some(written) = parse_move(text.as_bytes(), language) else {
            return "none".to_string();
        };
        let becomes = |promotion: Option<Role>| {
            promotion
                .map(|role| format!("={}", role.upper_char()))
                .unwrap_or_default()
        };
        let mut out = match written.shape {
            WrittenShape::To {
                role,
                file,
                rank,
                capture,
                to,
                promotion,
            } => format!(
                "{}{}{}{}{to}{}",
                role.upper_char(),
                file.map(|file| file.char().to_string()).unwrap_or_default(),
                rank.map(|rank| rank.char().to_string()).unwrap_or_default(),
                if capture { "x" } else { "" },
                becomes(promotion),
            ),
            WrittenShape::PawnCapture {
                from,
                to,
                promotion,
            } => format!("P{}x{}?{}", from.char(), to.char(), becomes(promotion)),
            WrittenShape::Castle(CastlingSide::KingSide) => "short".into(),
            WrittenShape::Castle(CastlingSide::QueenSide) => "long".into(),
            WrittenShape::Null => "null".into(),
        };
        out.push_str(match written.signs {
            Signs::None => "",
            Signs::Check => "+",
            Signs::DoubleCheck => "++",
            Signs::Mate => "#",
        });
        for (oddity, name) in [
            (Oddities::HYPHEN, "hyphen"),
            (Oddities::ZEROS, "zeros"),
            (Oddities::PROMOTION, "promotion"),
            (Oddities::EN_PASSANT, "ep"),
            (Oddities::FIGURINE, "figurine"),
            (Oddities::COLON, "colon"),
            (Oddities::PAWN_LETTER, "pawn"),
            (Oddities::SIGN_WORD, "word"),
            (Oddities::FILES_ONLY, "files"),
            (Oddities::FOREIGN, "foreign"),
            (Oddities::LONG, "long"),
            (Oddities::NULL, "null"),
            (Oddities::CASE, "case"),
        ] {
            if written.oddities.contains(oddity) {
                out.push(' ');
                out.push_str(name);
            }
        }
        out
    }

    fn check(language: Language, cases: &[(&str, &str)]) {
        for (text, expected) in cases {
            assert_eq!(show(text, language), *expected, "{text}");
        }
    }

    #[test]
    fn plain_moves_have_no_oddities() {
        check(
            Language::English,
            &[
                ("e4", "Pe4"),
                ("exd5", "Pexd5"),
                ("ed5", "Ped5"),
                ("Nf3", "Nf3"),
                ("Nbd2", "Nbd2"),
                ("N1d2", "N1d2"),
                ("R1xd5", "R1xd5"),
                ("Nf3+", "Nf3+"),
                ("Qh7#", "Qh7#"),
                ("e8=Q", "Pe8=Q"),
                ("dxe8=N+", "Pdxe8=N+"),
                ("O-O", "short"),
                ("O-O-O+", "long+"),
                ("--", "null"),
            ],
        );
    }

    #[test]
    fn other_ways_of_writing_are_noted() {
        check(
            Language::English,
            &[
                ("e2-e4", "Pe2e4 hyphen"),
                ("Ng1-f3", "Ng1f3 hyphen"),
                ("Ng1f3", "Ng1f3 long"),
                ("Ng1xf3", "Ng1xf3 long"),
                ("e4xd5", "Pe4xd5 long"),
                ("0-0", "short zeros"),
                ("0-0-0#", "long# zeros"),
                ("o-o", "short case"),
                ("OO", "short case"),
                ("O\u{2013}O", "short case"),
                ("exd6e.p.", "Pexd6 ep"),
                ("exd6 e.p.", "Pexd6 ep"),
                ("exd6ep+", "Pexd6+ ep"),
                ("exd6+ e.p.", "Pexd6+ ep"),
                ("e8Q", "Pe8=Q promotion"),
                ("e8(Q)", "Pe8=Q promotion"),
                ("e8/Q+", "Pe8=Q+ promotion"),
                ("e8=(Q)", "Pe8=Q promotion"),
                ("e8=q", "Pe8=Q case"),
                ("hxg", "Phxg? files"),
                ("hg", "Phxg? files"),
                ("hxg+", "Phxg?+ files"),
                ("hxg=Q", "Phxg?=Q files"),
                ("N:f3", "Nxf3 colon"),
                ("Nf3:", "Nxf3 colon"),
                ("e:d5", "Pexd5 colon"),
                ("ed5:", "Pexd5 colon"),
                ("Pe4", "Pe4 pawn"),
                ("nf3", "Nf3 case"),
                ("qxd5", "Qxd5 case"),
                ("Nf3++", "Nf3++ word"),
                ("Qh7mate", "Qh7# word"),
                ("Bb5ch", "Bb5+ word"),
                ("Bb5ch.", "Bb5+ word"),
                ("Bb5check", "Bb5+ word"),
                ("Bb5\u{2020}", "Bb5+ word"),
                ("\u{2658}f3", "Nf3 figurine"),
                ("\u{265e}xf3", "Nxf3 figurine"),
                ("\u{2654}e2", "Ke2 figurine"),
                ("e8\u{2655}", "Pe8=Q promotion figurine"),
                ("Z0", "null null"),
                ("<>", "null null"),
                ("@@@@", "null null"),
                ("--+", "null+"),
                ("N\u{d7}f3", "Nxf3"),
            ],
        );
    }

    #[test]
    fn other_languages_have_their_own_letters() {
        check(
            Language::German,
            &[
                ("Sf3", "Nf3 foreign"),
                ("Lxf7+", "Bxf7+ foreign"),
                ("Ta1-d1", "Ra1d1 hyphen foreign"),
                ("Kf1", "Kf1"),
                ("e8D", "Pe8=Q promotion foreign"),
                ("e8=D#", "Pe8=Q# foreign"),
                ("Nf3", "none"),
                ("\u{2658}f3", "Nf3 figurine"),
                ("O-O", "short"),
            ],
        );
        check(
            Language::French,
            &[
                ("Rd4", "Kd4 foreign"),
                ("Cf3", "Nf3 foreign"),
                ("Fb5", "Bb5 foreign"),
            ],
        );
        check(
            Language::Estonian,
            &[("Ob5", "Bb5 foreign"), ("O-O", "short")],
        );
        check(Language::English, &[("Sf3", "none")]);
    }

    #[test]
    fn what_is_no_move_is_none() {
        for text in [
            "", "N", "Nf", "Nf9", "Ni3", "e9", "x", "e", "hxf", "O", "O-", "0", "-", "Nf3!",
            "Nf3 ", " Nf3", "Nf3e", "e4e5e6", "Nxx5", "e8=", "e8(Q", "e.p.", "Nf3=Q", "e4Q",
            "mate", "1-0",
        ] {
            assert_eq!(show(text, Language::English), "none", "{text:?}");
        }
    }

    #[test]
    fn the_common_path_agrees_with_the_long_one() {
        let mut met = 0;
        for piece in ["", "N", "B", "R", "Q", "K", "P", "O", "n"] {
            for from in ["", "e", "4", "e4"] {
                for capture in ["", "x", ":", "-"] {
                    for to in ["d5", "d8", "d9", "i5", "d"] {
                        for tail in ["", "+", "#", "++", "=Q", "(Q)", " e.p.", "!", "+-", ","] {
                            let text = format!("{piece}{from}{capture}{to}{tail}        ");
                            let bytes = text.as_bytes();
                            if let Some(common) = read_common(bytes, 0) {
                                met += 1;
                                let long = read_move(bytes, 0, Language::English);
                                assert_eq!(long, Some(common), "{text}");
                            }
                        }
                    }
                }
            }
        }
        assert!(met > 50, "{met}");
    }
}
