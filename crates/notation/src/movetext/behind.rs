//! Castling, null moves, and what stands behind a move: promotion, en passant and signs.

use shakmaty::{CastlingSide, Role};

use super::letters::{dash, figurine, role_of};
use super::old::{Descriptive, Man};
use super::written::{Oddities, Signs, WrittenMove, WrittenShape};
use crate::bytes::{byte, ends_word, rest};
use crate::language::Language;

/// Reads `=Q`, `Q`, `(Q)`, `/Q` or `=(Q)`. Without a sign before it, the letter
/// is only read where the pawn has reached its last rank.
pub(super) fn read_promotion(
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
    } else if language.is_cyrillic()
        && let Some((role, length)) = language.piece(rest(text, here))
    {
        here += length;
        odd = odd.with(Oddities::FOREIGN);
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
pub(super) fn read_special(text: &[u8], at: usize) -> Option<(WrittenMove, usize)> {
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
pub(super) const fn may_be_en_passant(written: &WrittenMove) -> bool {
    matches!(
        written.shape,
        WrittenShape::To {
            role: Role::Pawn,
            file: Some(_),
            ..
        } | WrittenShape::PawnCapture { .. }
            | WrittenShape::Descriptive(Descriptive {
                mover: Man {
                    role: Role::Pawn,
                    ..
                },
                captured: Some(_),
                ..
            })
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
