//! Reading moves in descriptive notation.
//!
//! No move in the standard's letters looks like one of these, castling apart: a file or a piece
//! stands in capital letters where a square would be.

use shakmaty::{CastlingSide, File, Rank, Role};

use super::base::read_base;
use super::behind::read_signs;
use super::letters::dash;
use super::old::{Descriptive, Files, Man};
use super::written::{Oddities, Signs, WrittenMove, WrittenShape};
use crate::bytes::{byte, rest};
use crate::language::Language;

/// Whether a descriptive move can begin with these two bytes: what most words fail.
#[inline]
#[must_use]
pub const fn may_be_descriptive(first: u8, second: u8) -> bool {
    match first {
        b'K' | b'Q' | b'R' | b'B' | b'N' | b'P' => matches!(
            second,
            b't' | b'K'
                | b'Q'
                | b'R'
                | b'B'
                | b'N'
                | b'P'
                | b'x'
                | b'X'
                | b'-'
                | b' '
                | b'('
                | b'/'
                | b'1'..=b'8' | 0xc3 | 0xe2
        ),
        b'C' | b'c' => second == b'a',
        b'O' | b'0' => matches!(second, b'-' | 0xe2),
        _ => false,
    }
}

/// Reads a move in descriptive notation at `at`, without signs of check and mate, and the offset
/// behind it. Blanks may stand within it, and a line break behind its hyphen.
///
/// `Castles` is read only where it begins with a capital letter, since it is a verb as well.
#[must_use]
pub fn read_descriptive(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    if !may_be_descriptive(byte(text, at), byte(text, at + 1)) {
        return None;
    }
    if let Some(read) = read_knight(text, at) {
        return Some(read);
    }
    let (shape, end) = match byte(text, at) {
        b'C' | b'c' => read_castles(text, at)?,
        b'O' | b'0' => read_wide_castling(text, at)?,
        _ => read_ordinary(text, at)?,
    };
    let oddities = Oddities::DESCRIPTIVE;
    let signs = Signs::None;
    let written = WrittenMove {
        shape,
        signs,
        oddities,
    };
    Some((written, end))
}

/// A knight's move in algebraic notation with the letters of old books: `Ktf3`, `Ktb1-c3`.
fn read_knight(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    /// The longest is `Nb1xc3`.
    const LONGEST: usize = 6;
    if !rest(text, at).starts_with(b"Kt") {
        return None;
    }
    let mut short = [0; LONGEST + 1];
    let letters = [b'N'].iter().chain(rest(text, at + 2));
    for (slot, letter) in short.iter_mut().zip(letters) {
        *slot = *letter;
    }
    let (mut written, length) = read_base(&short, 0, Language::English)?;
    written.oddities = Oddities::DESCRIPTIVE;
    let end = at + 1 + length;
    ends(text, end).then_some((written, end))
}

/// Reads a move in descriptive notation as it stands in movetext: with its signs, also where a
/// blank stands before them.
#[cold]
pub(crate) fn read_old_move(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
    let (base, behind) = read_descriptive(text, at)?;
    let (mut written, mut end) = read_signs(text, behind, base);
    if let Some((signs, length)) = sign_behind(rest(text, end)) {
        if written.signs == Signs::None {
            written.signs = signs;
        }
        end += length;
    }
    // How its signs are written is no more odd than the move itself.
    written.oddities = written.oddities.without(Oddities::SIGN_WORD);
    Some((written, end))
}

/// A sign in words behind a blank, and how many bytes it takes.
fn sign_behind(bytes: &[u8]) -> Option<(Signs, usize)> {
    const WORDS: [(&[u8], Signs); 22] = [
        (b"double check", Signs::DoubleCheck),
        (b"double ch.", Signs::DoubleCheck),
        (b"double ch", Signs::DoubleCheck),
        (b"doub. ch.", Signs::DoubleCheck),
        (b"dbl. ch.", Signs::DoubleCheck),
        (b"dbl.ch.", Signs::DoubleCheck),
        (b"dbl. ch", Signs::DoubleCheck),
        (b"dbl ch", Signs::DoubleCheck),
        (b"disc. ch.", Signs::Check),
        (b"dis. ch.", Signs::Check),
        (b"dis.ch.", Signs::Check),
        (b"dis. ch", Signs::Check),
        (b"dis ch", Signs::Check),
        (b"ch and mate", Signs::Mate),
        (b"checkmate", Signs::Mate),
        (b"check", Signs::Check),
        (b"mates", Signs::Mate),
        (b"mate", Signs::Mate),
        (b"ch.", Signs::Check),
        (b"ch", Signs::Check),
        (b"+", Signs::Check),
        (b"#", Signs::Mate),
    ];
    let blank = blanks(bytes, 0);
    let behind = rest(bytes, blank);
    let stands = |(word, _): &&(&[u8], Signs)| {
        behind.starts_with(word) && !is_word(byte(behind, word.len()))
    };
    let (word, signs) = WORDS.iter().find(stands)?;
    (blank > 0).then_some((*signs, blank + word.len()))
}

const fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte >= 0x80
}

/// The offset of the first byte at or after `at` that is no blank; there may be one line end,
/// since books break their lines anywhere.
fn blanks(text: &[u8], at: usize) -> usize {
    let mut here = at;
    let mut broken = false;
    loop {
        match byte(text, here) {
            b' ' | b'\t' | b'\r' => here += 1,
            b'\n' if !broken => {
                broken = true;
                here += 1;
            }
            _ => return here,
        }
    }
}

/// One blank at `at`, or none.
fn blank(text: &[u8], at: usize) -> usize {
    at + usize::from(byte(text, at) == b' ')
}

/// A letter of a piece, `Kt` included, and how many bytes it takes.
fn letter(text: &[u8], at: usize) -> Option<(Role, usize)> {
    Some(match byte(text, at) {
        b'K' if matches!(byte(text, at + 1), b't' | b'T') => (Role::Knight, 2),
        b'K' => (Role::King, 1),
        b'Q' => (Role::Queen, 1),
        b'R' => (Role::Rook, 1),
        b'B' => (Role::Bishop, 1),
        b'N' => (Role::Knight, 1),
        b'P' => (Role::Pawn, 1),
        _ => return None,
    })
}

/// Up to three letters of pieces, and the offset behind each.
#[derive(Clone, Copy, Default)]
struct Letters {
    roles: [Option<Role>; 3],
    ends: [usize; 3],
}

impl Letters {
    fn read(text: &[u8], at: usize) -> Self {
        let mut letters = Self::default();
        let mut here = at;
        let slots = letters.roles.iter_mut().zip(&mut letters.ends);
        for (role, end) in slots {
            let Some((found, length)) = letter(text, here) else {
                break;
            };
            *role = Some(found);
            *end = here + length;
            here = blank(text, *end);
        }
        letters
    }

    /// The piece that the first `count` letters name, and the offset behind them.
    fn man(self, count: usize) -> Option<(Man, usize)> {
        use Role::{King, Pawn, Queen};
        let [first, second, third] = self.roles;
        let (role, files) = match (count, first?, second, third) {
            (1, role, ..) => (role, Files::ALL),
            (2, wing @ (King | Queen), Some(Pawn), _) => (Pawn, Files::of(royal(wing))),
            (2, piece, Some(Pawn), _) => (Pawn, both(piece)?),
            (2, wing @ (King | Queen), Some(piece), _) => (piece, both(piece).map(|_| half(wing))?),
            (3, wing @ (King | Queen), Some(piece), Some(Pawn)) => {
                (Pawn, both(piece)?.and(half(wing)))
            }
            _ => return None,
        };
        Some((Man { role, files }, *self.ends.get(count - 1)?))
    }

    /// The files that the first `count` letters name, and the offset behind them.
    fn files(self, count: usize) -> Option<(Files, usize)> {
        use Role::{King, Queen};
        let [first, second, _] = self.roles;
        let files = match (count, first?, second) {
            (1, wing @ (King | Queen), _) => Files::of(royal(wing)),
            (1, piece, _) => both(piece)?,
            (2, wing @ (King | Queen), Some(piece)) => both(piece)?.and(half(wing)),
            _ => return None,
        };
        Some((files, *self.ends.get(count - 1)?))
    }

    fn count(self) -> usize {
        self.roles.iter().flatten().count()
    }
}

/// The file that the king or the queen gives its name.
fn royal(role: Role) -> File {
    if role == Role::King { File::E } else { File::D }
}

/// The half of the board on the side of the king or the queen.
fn half(role: Role) -> Files {
    if role == Role::King {
        Files::KING_SIDE
    } else {
        Files::QUEEN_SIDE
    }
}

/// The two files that a rook, knight or bishop gives its name.
fn both(role: Role) -> Option<Files> {
    let (queens, kings) = match role {
        Role::Rook => (File::A, File::H),
        Role::Knight => (File::B, File::G),
        Role::Bishop => (File::C, File::F),
        _ => return None,
    };
    Some(Files::of(queens).with(Files::of(kings)))
}

/// A square from the mover's side: `K4`, `QB 3`, `Rsq`.
fn square(text: &[u8], at: usize) -> Option<(Files, Rank, usize)> {
    let letters = Letters::read(text, at);
    for count in (1..=2).rev() {
        let Some((files, end)) = letters.files(count) else {
            continue;
        };
        let digit = blank(text, end);
        if let rank @ b'1'..=b'8' = byte(text, digit) {
            return Some((files, Rank::new(u32::from(rank - b'1')), digit + 1));
        }
        // Scanned books have a letter for the digit: `KR-KI`, `K-Bl`.
        if digit == end && matches!(byte(text, end), b'I' | b'l') && !is_word(byte(text, end + 1)) {
            return Some((files, Rank::First, end + 1));
        }
        if rest(text, digit).starts_with(b"sq") && !byte(text, digit + 2).is_ascii_alphanumeric() {
            // The dot of the abbreviation, unless it may end the sentence.
            let dot = usize::from(matches!(
                rest(text, digit + 2),
                [b'.', b',' | b';' | b'.', ..]
            ));
            return Some((files, Rank::First, digit + 2 + dot));
        }
    }
    None
}

/// A square in parentheses or behind a slash: `(K 1)`, `/K1`.
fn placed(text: &[u8], at: usize) -> Option<(Files, Rank, usize)> {
    if byte(text, at) == b'/' {
        return square(text, at + 1);
    }
    let open = blank(text, at);
    if byte(text, open) != b'(' {
        return None;
    }
    let (files, rank, end) = square(text, blank(text, open + 1))?;
    let close = blank(text, end);
    (byte(text, close) == b')').then_some((files, rank, close + 1))
}

/// What stands between the piece and where it goes.
enum Joint {
    To,
    Takes,
}

/// The joint at `at`, and the offset behind it and its blanks.
fn joint(text: &[u8], at: usize) -> Option<(Joint, usize)> {
    let here = blank(text, at);
    let bytes = rest(text, here);
    let (joint, length) = match bytes {
        [b'x' | b'X', ..] => (Joint::Takes, 1),
        [0xc3, 0x97, ..] => (Joint::Takes, 2),
        [b't', b'a', b'k', b'e', b's', b' ', ..] if here > at => (Joint::Takes, 5),
        [b't', b'o', b' ', ..] if here > at => (Joint::To, 2),
        _ => match dash(bytes) {
            0 => return None,
            // `B--KKt5`
            length => (Joint::To, length + dash(rest(bytes, length))),
        },
    };
    Some((joint, blanks(text, here + length)))
}

fn read_ordinary(text: &[u8], at: usize) -> Option<(WrittenShape, usize)> {
    let letters = Letters::read(text, at);
    for count in (1..=letters.count()).rev() {
        if let Some((mover, end)) = letters.man(count)
            && let Some(read) = read_behind_man(text, mover, end)
        {
            return Some(read);
        }
    }
    None
}

fn read_behind_man(text: &[u8], mover: Man, end: usize) -> Option<(WrittenShape, usize)> {
    let mut old = Descriptive {
        mover,
        from_rank: None,
        captured: None,
        to_files: Files::ALL,
        to_rank: None,
        promotion: None,
    };
    let mut here = end;
    if let Some((files, rank, behind)) = placed(text, here) {
        old.mover.files = files;
        old.from_rank = Some(rank);
        here = behind;
    }
    let (joint, target) = joint(text, here)?;
    here = match joint {
        Joint::To => {
            // `R-(B5)B7` says where it comes from in the middle.
            let mut target = target;
            if old.from_rank.is_none()
                && byte(text, target) == b'('
                && let Some((files, rank, behind)) = placed(text, target)
            {
                old.mover.files = files;
                old.from_rank = Some(rank);
                target = blank(text, behind);
            }
            let (files, rank, end) = square(text, target)?;
            old.to_files = files;
            old.to_rank = Some(rank);
            end
        }
        Joint::Takes => {
            let (captured, end) = taken(text, target)?;
            old.captured = Some(captured);
            match placed(text, end) {
                Some((files, rank, behind)) => {
                    old.to_files = files;
                    old.to_rank = Some(rank);
                    behind
                }
                None => end,
            }
        }
    };
    let last = old.to_rank.is_none_or(|rank| rank == Rank::Eighth);
    if old.mover.role == Role::Pawn
        && last
        && let Some((role, behind)) = promotion(text, here, old.captured.is_none())
    {
        old.promotion = Some(role);
        here = behind;
    }
    ends(text, here).then_some((WrittenShape::Descriptive(old), here))
}

/// The piece that is taken at `at`. Its letters go on over a blank only where no other move
/// begins behind it: `BxQ P-K4` takes a queen.
fn taken(text: &[u8], at: usize) -> Option<(Man, usize)> {
    let letters = Letters::read(text, at);
    for count in (1..=letters.count()).rev() {
        let Some((man, end)) = letters.man(count) else {
            continue;
        };
        let whole = text.get(at..end).unwrap_or_default();
        if whole.contains(&b' ') && read_ordinary_from_last(text, at, end) {
            continue;
        }
        return Some((man, end));
    }
    None
}

/// Whether a joint or an origin stands behind letters with blanks between them, so that the
/// last of them begins another move.
fn read_ordinary_from_last(text: &[u8], at: usize, end: usize) -> bool {
    end > at && (joint(text, end).is_some() || placed(text, end).is_some())
}

/// `(Q)`, `=Q`, `=(Q)`, `/Q`, `-Q`, ` queens`, and `Q` alone where `bare`.
fn promotion(text: &[u8], at: usize, bare: bool) -> Option<(Role, usize)> {
    let start = blank(text, at);
    for word in [b"queens".as_slice(), b"Queens", b"(queens)", b"(Queens)"] {
        if rest(text, start).starts_with(word) && !is_word(byte(text, start + word.len())) {
            return Some((Role::Queen, start + word.len()));
        }
    }
    // `PxR-Q`, but not the way on over `PxP-Q4`.
    let hyphen = byte(text, start) == b'-'
        && letter(text, start + 1)
            .is_some_and(|(_, length)| !is_word(byte(text, start + 1 + length)));
    let sign = hyphen || matches!(byte(text, start), b'=' | b'/');
    let mut here = if sign { blank(text, start + 1) } else { start };
    let open = byte(text, here) == b'(';
    here += usize::from(open);
    if !sign && !open && (!bare || start > at) {
        return None;
    }
    let (role, length) = letter(text, here)?;
    here += length;
    if open {
        if byte(text, here) != b')' {
            return None;
        }
        here += 1;
    }
    Some((role, here))
}

/// Whether a move can end at `at`: no letter or digit goes on but a sign in letters, and no
/// way over further squares (`Kt-B1-Kt3`).
fn ends(text: &[u8], at: usize) -> bool {
    let bytes = rest(text, at);
    let signs: [&[u8]; 6] = [b"ch", b"check", b"mate", b"checkmate", b"dis", b"dbl"];
    let sign = signs
        .iter()
        .any(|word| bytes.starts_with(word) && !byte(bytes, word.len()).is_ascii_alphanumeric());
    if byte(bytes, 0).is_ascii_alphanumeric() && !sign {
        return false;
    }
    let length = dash(bytes);
    length == 0 || square(text, at + length).is_none()
}

/// `Castles`, with the side behind it in many forms.
fn read_castles(text: &[u8], at: usize) -> Option<(WrittenShape, usize)> {
    const WORD: &[u8] = b"Castles";
    if !rest(text, at).starts_with(WORD) || is_word(byte(text, at + WORD.len())) {
        return None;
    }
    let end = at + WORD.len();
    // In columns a full stop stands behind it: `7. Castles.      Castles.`
    if matches!(rest(text, end), [b'.', b' ', b' ', ..]) {
        return Some((WrittenShape::Castles, end + 1));
    }
    let start = blank(text, end);
    let open = byte(text, start) == b'(';
    let here = start + usize::from(open);
    let side = match byte(text, here) {
        b'K' => CastlingSide::KingSide,
        b'Q' => CastlingSide::QueenSide,
        _ => return Some((WrittenShape::Castles, end)),
    };
    let mut behind = here + 1;
    let dotted = byte(text, behind) == b'.';
    behind += usize::from(dotted);
    if byte(text, blank(text, behind)) == b'R' {
        behind = blank(text, behind) + 1;
        behind += usize::from(dotted && byte(text, behind) == b'.');
    }
    if open && byte(text, behind) == b')' {
        return Some((WrittenShape::Castle(side), behind + 1));
    }
    // `Castles QR-K1` is a move of the rook behind it.
    let other = open
        || start == end
        || is_word(byte(text, behind))
        || joint(text, behind).is_some()
        || placed(text, behind).is_some();
    Some(if other {
        (WrittenShape::Castles, end)
    } else {
        (WrittenShape::Castle(side), behind)
    })
}

/// `O--O` and `O--O--O`, whose double hyphens stand for dashes.
fn read_wide_castling(text: &[u8], at: usize) -> Option<(WrittenShape, usize)> {
    let bytes = rest(text, at);
    let forms: [(&[u8], CastlingSide); 4] = [
        (b"O--O--O", CastlingSide::QueenSide),
        (b"0--0--0", CastlingSide::QueenSide),
        (b"O--O", CastlingSide::KingSide),
        (b"0--0", CastlingSide::KingSide),
    ];
    let (form, side) = forms.iter().find(|(form, _)| bytes.starts_with(form))?;
    let end = at + form.len();
    (!is_word(byte(text, end))).then_some((WrittenShape::Castle(*side), end))
}
