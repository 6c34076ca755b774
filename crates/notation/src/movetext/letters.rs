//! The letters and signs of moves.

use shakmaty::{File, Rank, Role};

use crate::language::Language;

/// The role of every capital letter in every language whose letters are ASCII.
const ROLES: [[Option<Role>; 26]; Language::ALL.len()] = {
    let mut table = [[None; 26]; Language::ALL.len()];
    let mut language = 0;
    while language < Language::ALL.len() {
        let letters = Language::ALL[language].letters();
        let mut role = 0;
        while role < letters.len() {
            let letter = letters[role].as_bytes()[0];
            if letter.is_ascii_uppercase() {
                table[language][(letter - b'A') as usize] = Some(Role::ALL[role]);
            }
            role += 1;
        }
        language += 1;
    }
    table
};

#[inline]
pub(super) fn role_of(byte: u8, language: Language) -> Option<Role> {
    let letter = byte.wrapping_sub(b'A');
    ROLES
        .get(language as usize)?
        .get(usize::from(letter))
        .copied()?
}

#[inline]
pub(super) fn file_of(byte: u8) -> Option<File> {
    let file = byte.wrapping_sub(b'a');
    (file < 8).then(|| File::new(u32::from(file)))
}

#[inline]
pub(super) fn rank_of(byte: u8) -> Option<Rank> {
    let rank = byte.wrapping_sub(b'1');
    (rank < 8).then(|| Rank::new(u32::from(rank)))
}

/// The role of the figurine at the start of `bytes`, which takes three bytes.
/// White and black figurines (U+2654 to U+265F) mean the same.
#[inline]
pub(super) fn figurine(bytes: &[u8]) -> Option<Role> {
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
