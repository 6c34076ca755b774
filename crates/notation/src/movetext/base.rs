//! Moves in algebraic notation, without their signs.

use shakmaty::{File, Rank, Role, Square};

use super::behind::{read_promotion, read_special};
use super::letters::{dash, figurine, file_of, rank_of, role_of};
use super::written::{Oddities, Signs, WrittenMove, WrittenShape};
use crate::bytes::{byte, ends_word, rest};
use crate::language::Language;

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
        } else if first >= 0x80
            && language.is_cyrillic()
            && let Some((role, length)) = language.piece(rest(text, at))
        {
            piece = Some(role);
            here += length;
            oddities = oddities.with(Oddities::FOREIGN);
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
