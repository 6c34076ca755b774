//! Annotation symbols and the numbers they stand for.

use crate::bytes::{byte, rest};

/// Symbols of words, longest first where one begins another.
///
/// Numbers up to 139 mean what the PGN standard (1994, section 10) says. The
/// standard gives symbols to 1–6 only; the other symbols, and the numbers from
/// 140 on, are common practice, no source.
const SYMBOLS: &[(&[u8], u8)] = &[
    (b"+/-", 16),
    (b"-/+", 17),
    (b"+/=", 14),
    (b"=/+", 15),
    (b"=/\xe2\x88\x9e", 44), // =/∞
    (b"+\xe2\x88\x92", 18),  // + and a minus sign
    (b"+\xe2\x80\x93", 18),  // + and an en dash
    (b"+\xe2\x80\x94", 18),
    (b"\xe2\x88\x92+", 19),
    (b"\xe2\x80\x93+", 19),
    (b"\xe2\x80\x94+", 19),
    (b"+-", 18),
    (b"-+", 19),
    (b"+=", 14),
    (b"=+", 15),
    (b"=", 10),
    (b"~", 13),
    (b"\xc2\xb1", 16),      // ±
    (b"\xe2\x88\x93", 17),  // ∓
    (b"\xe2\xa9\xb2", 14),  // ⩲
    (b"\xe2\xa9\xb1", 15),  // ⩱
    (b"\xe2\x88\x9e", 13),  // ∞
    (b"\xe2\x96\xa1", 7),   // □
    (b"\xe2\x8a\x95", 138), // ⊕: the standard has a number for each side; this is White's
    (b"\xe2\xa8\x81", 138), // ⨁
    (b"\xe2\x8a\x99", 22),  // ⊙
    (b"\xe2\xa8\x80", 22),  // ⨀
    (b"\xe2\x97\x8b", 26),  // ○
    (b"\xe2\x86\x91", 36),  // ↑
    (b"\xe2\x86\x92", 40),  // →
    (b"\xe2\x87\x86", 132), // ⇆
    (b"\xe2\x96\xb3", 140), // △
    (b"\xe2\x88\x86", 140), // ∆
    (b"\xe2\x8c\x93", 142), // ⌓
    (b"\xe2\x80\xbc", 3),   // ‼
    (b"\xe2\x81\x87", 4),   // ⁇
    (b"\xe2\x81\x89", 5),   // ⁉
    (b"\xe2\x81\x88", 6),   // ⁈
];

/// The number of the symbol at the start of `bytes`, and the symbol's length.
pub(crate) fn symbol(bytes: &[u8]) -> Option<(u8, usize)> {
    if let Some((symbol, nag)) = SYMBOLS.iter().find(|(symbol, _)| bytes.starts_with(symbol)) {
        return Some((*nag, symbol.len()));
    }
    // `±` in Latin-1, where it is not the first byte of a UTF-8 character.
    (byte(bytes, 0) == 0xb1).then_some((16, 1))
}

/// The number of the symbol that is all of `bytes`.
pub(crate) fn whole_symbol(bytes: &[u8]) -> Option<u8> {
    symbol(bytes)
        .filter(|&(_, length)| length == bytes.len())
        .map(|(nag, _)| nag)
}

/// The number and length of the `!` and `?` glyph at `at`.
#[inline]
pub(crate) fn glyph(text: &[u8], at: usize) -> (u8, usize) {
    match rest(text, at) {
        [b'!', b'!', ..] => (3, 2),
        [b'!', b'?', ..] => (5, 2),
        [b'!', ..] => (1, 1),
        [b'?', b'!', ..] => (6, 2),
        [b'?', b'?', ..] => (4, 2),
        _ => (2, 1),
    }
}
