//! Words as keys of the lexicon.

use std::str::from_utf8;

use unicode_normalization::char::{decompose_canonical, is_combining_mark};

/// A word, lower-cased and without diacritics, packed into sixteen bytes, the first letter
/// lowest. A Cyrillic letter takes one byte above ASCII.
///
/// Longer words share the key of nothing: no word of the lists is that long.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct WordKey(u128);

impl WordKey {
    pub(crate) const fn new() -> Self {
        Self(0)
    }

    /// Appends the letter at the start of `bytes` and returns how many bytes it took;
    /// `None` where no letter stands.
    pub(crate) fn push(&mut self, bytes: &[u8]) -> Option<usize> {
        match *bytes {
            [letter, ..] if letter.is_ascii_alphabetic() => {
                self.push_ascii(letter.to_ascii_lowercase());
                Some(1)
            }
            // U+00C0 to U+00FF in UTF-8.
            [0xc3, low @ 0x80..=0xbf, ..] => self.push_latin(low | 0x40).then_some(2),
            // The same letters in Latin-1; other UTF-8 sequences begin higher or lower.
            [0xc0..=0xff, next, ..] if !(0x80..=0xbf).contains(&next) => {
                self.push_latin(bytes[0] & 0x7f | 0x40).then_some(1)
            }
            [0xc0..=0xff] => self.push_latin(bytes[0] & 0x7f | 0x40).then_some(1),
            [lead @ (0xd0 | 0xd1), low @ 0x80..=0xbf, ..] => {
                match small_cyrillic(lead, low) {
                    Some(letter) => self.push_ascii(letter),
                    None => return self.push_beyond_latin(bytes, 2),
                }
                Some(2)
            }
            [0xc4..=0xdf, 0x80..=0xbf, ..] => self.push_beyond_latin(bytes, 2),
            // General punctuation, and the space of no width.
            [0xe2, 0x80..=0xbf, ..] | [0xef, 0xbb, 0xbf, ..] => None,
            [0xe0..=0xef, 0x80..=0xbf, 0x80..=0xbf, ..] => self.push_beyond_latin(bytes, 3),
            _ => None,
        }
    }

    /// Appends a byte that is already folded.
    pub(crate) const fn push_ascii(&mut self, byte: u8) {
        let bits = (u128::BITS - self.0.leading_zeros()).next_multiple_of(8);
        self.0 = if bits == u128::BITS {
            u128::MAX
        } else {
            self.0 | (byte as u128) << bits
        };
    }

    /// Appends the base of a letter beyond U+00FF, which `length` bytes write, and nothing for an
    /// accent by itself: "č" is folded like "c", and like "c" with an accent behind it. Letters
    /// of other scripts are in no word of the lists.
    #[cold]
    fn push_beyond_latin(&mut self, bytes: &[u8], length: usize) -> Option<usize> {
        let letter = bytes.get(..length).and_then(|bytes| from_utf8(bytes).ok());
        let letter = letter.and_then(|letter| letter.chars().next());
        let mut base = None;
        if let Some(letter) = letter {
            decompose_canonical(letter, |part| base = base.or(Some(part)));
        }
        match base {
            Some(letter) if is_combining_mark(letter) => {}
            Some(letter) if letter.is_ascii_alphabetic() => {
                self.push_all(&[letter as u8]);
            }
            _ => self.push_ascii(b'*'),
        }
        Some(length)
    }

    /// Appends the base of a Latin letter given by its low seven bits, where `0x40` is
    /// U+00C0; `false` for the signs among them.
    fn push_latin(&mut self, low: u8) -> bool {
        // U+00C0..=U+00DF and U+00E0..=U+00FF in one row each, upper case first.
        const BASE: &[u8; 32] = b"aaaaaaaceeeeiiiidnooooo-ouuuuyts";
        let index = usize::from(low & 0x1f);
        let base = match (low & 0x20 != 0, index) {
            // U+00FF is y with dots, U+00DF is sharp s.
            (true, 31) => b'y',
            _ => BASE.get(index).copied().unwrap_or(b'-'),
        };
        if base == b'-' {
            return false;
        }
        self.push_ascii(base);
        true
    }

    /// The key of a word that is plain ASCII.
    #[cfg(test)]
    pub(crate) fn of(word: &[u8]) -> Self {
        let mut key = Self::new();
        key.push_all(word);
        key
    }

    /// Appends ASCII letters.
    pub(crate) fn push_all(&mut self, word: &[u8]) {
        for &byte in word {
            self.push_ascii(byte.to_ascii_lowercase());
        }
    }

    /// The key of a word, whose letters are folded.
    pub(crate) fn folded(word: &[u8]) -> Self {
        let mut key = Self::new();
        if word.is_ascii() {
            key.push_all(word);
            return key;
        }
        let mut rest = word;
        while let [byte, behind @ ..] = rest {
            rest = match key.push(rest) {
                Some(length) => rest.get(length..).unwrap_or_default(),
                None => {
                    key.push_ascii(*byte);
                    behind
                }
            };
        }
        key
    }

    /// The words of a text, as letters go, and how many bytes each is long.
    pub(crate) fn words(text: &[u8]) -> impl Iterator<Item = (Self, usize)> {
        let mut rest = text;
        std::iter::from_fn(move || {
            while !rest.is_empty() {
                let mut key = Self::new();
                let mut length = 0;
                while let Some(more) = key.push(rest.get(length..).unwrap_or_default()) {
                    length += more;
                }
                rest = rest.get(length.max(1)..).unwrap_or_default();
                if length > 0 {
                    return Some((key, length));
                }
            }
            None
        })
    }

    /// The key of the ASCII letters at `at`, and how many they are.
    pub(crate) fn of_letters(text: &[u8], at: usize) -> (Self, usize) {
        if let Some((key, length, _)) = Self::look(text, at, [SMALL, SMALL]) {
            return (key, length);
        }
        let rest = text.get(at..).unwrap_or_default();
        let length = rest
            .iter()
            .position(|byte| !byte.is_ascii_alphabetic())
            .unwrap_or(rest.len());
        let mut key = Self::new();
        key.push_all(rest.get(..length).unwrap_or_default());
        (key, length)
    }

    /// The key of the small letters at `at`, of which the first may be a capital, how many
    /// they are, and the byte behind them, or zero at the end of the text. `None` where no
    /// letter stands or the word is longer than fifteen letters.
    #[inline]
    pub(crate) fn of_small_letters(text: &[u8], at: usize) -> Option<(Self, usize, u8)> {
        Self::look(text, at, [SMALL & 0xff, 0])
    }

    /// The key of the small letters at `at` after `folds` have made twice eight bytes small,
    /// how many letters they are, and the byte behind them.
    #[inline(always)]
    fn look(text: &[u8], at: usize, folds: [u64; 2]) -> Option<(Self, usize, u8)> {
        /// The first bytes of so many, below eight.
        const fn first(bytes: u64, count: usize) -> u128 {
            (bytes & !(u64::MAX << (8 * count))) as u128
        }
        let bytes = eight_at(text, at) | folds[0];
        // Most words are shorter.
        match small_letters(bytes) {
            0 => None,
            8 => {
                let more = eight_at(text, at + 8) | folds[1];
                let count = small_letters(more);
                if count == 8 {
                    return None;
                }
                let key = u128::from(bytes) | first(more, count) << 64;
                Some((Self(key), 8 + count, (more >> (8 * count)) as u8))
            }
            count => Some((
                Self(first(bytes, count)),
                count,
                (bytes >> (8 * count)) as u8,
            )),
        }
    }

    /// Whether the letters may be more than a word: a file ("b pawn"), a capture of pawns
    /// ("exd"), the beginning of an address ("www."). No test foretells the next, so that they
    /// are one.
    #[inline]
    pub(crate) const fn may_be_more(self) -> bool {
        // Eight letters at least fill these bytes.
        let low = self.0 as u64;
        const FIRST_AND_THIRD: u64 = u64::from_le_bytes([0xff, 0, 0xff, 0, 0, 0, 0, 0]);
        const X: u64 = u64::from_le_bytes(*b"\0x\0\0\0\0\0\0");
        const WWW: u64 = u64::from_le_bytes(*b"www\0\0\0\0\0");
        let file = low.wrapping_sub(b'b' as u64) <= (b'h' - b'b') as u64;
        let capture = low & !FIRST_AND_THIRD == X;
        let address = low == WWW;
        file | capture | address
    }

    /// Where to look for the word.
    #[inline]
    pub(crate) const fn hash(self) -> usize {
        let folded = (self.0 as u64) ^ ((self.0 >> 64) as u64).rotate_left(29);
        (folded.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 40) as usize
    }
}

/// The byte that stands for a letter of the Russian alphabet, given by its two bytes: the small
/// ones from U+0430 on, where Ё is Е. Й is a letter of its own.
const fn small_cyrillic(lead: u8, low: u8) -> Option<u8> {
    let letter = (lead as u32 & 0x1f) << 6 | (low as u32 & 0x3f);
    let small = match letter {
        0x401 | 0x451 => 0x435,
        0x410..=0x42f => letter + 0x20,
        0x430..=0x44f => letter,
        _ => return None,
    };
    Some((small - 0x430) as u8 | 0x80)
}

/// Makes eight letters small.
const SMALL: u64 = u64::from_ne_bytes([0x20; 8]);

/// The eight bytes at `at`, the first lowest, with zeros behind the end of the text.
#[inline]
pub(crate) fn eight_at(text: &[u8], at: usize) -> u64 {
    let rest = text.get(at..).unwrap_or_default();
    if let Some(&bytes) = rest.first_chunk() {
        return u64::from_le_bytes(bytes);
    }
    match text.last_chunk() {
        // The last bytes of the text, without those in front of `at`.
        Some(&bytes) => {
            let before = u64::BITS - 8 * rest.len() as u32;
            u64::from_le_bytes(bytes).checked_shr(before).unwrap_or(0)
        }
        None => rest
            .iter()
            .rev()
            .fold(0, |all, &byte| all << 8 | u64::from(byte)),
    }
}

/// How many of eight bytes, from the lowest, are small letters.
#[inline]
const fn small_letters(bytes: u64) -> usize {
    const HIGH: u64 = u64::from_ne_bytes([0x80; 8]);
    const TO_A: u64 = u64::from_ne_bytes([0x80 - b'a'; 8]);
    const BEYOND_Z: u64 = u64::from_ne_bytes([0x7f - b'z'; 8]);
    // All bytes at once: adding sets the high bit of those from `a` on, and of those
    // beyond `z`; without their own high bits none carries into its neighbour.
    let low = bytes & !HIGH;
    let letters = (low + TO_A) & !(low + BEYOND_Z) & !bytes & HIGH;
    (letters ^ HIGH).trailing_zeros() as usize / 8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_letters_are_letters_and_the_byte_behind() {
        let text = b"The zugzwang b4, Reciprocalzugzwan. Reciprocalzugzwang NB \xe9t a. ends @[`{";
        for at in 0..text.len() {
            let rest = &text[at..];
            let capital = usize::from(rest[0].is_ascii_uppercase());
            let small = rest[capital..]
                .iter()
                .take_while(|byte| byte.is_ascii_lowercase());
            let length = capital + small.count();
            let wanted = (1..16).contains(&length).then(|| {
                let next = rest.get(length).copied().unwrap_or(0);
                (WordKey::of(&rest[..length]), length, next)
            });
            assert_eq!(WordKey::of_small_letters(text, at), wanted, "{at}");
        }
        assert_eq!(WordKey::of_small_letters(text, text.len()), None);
        let short = WordKey::of_small_letters(b"shOrt", 3);
        assert_eq!(short, Some((WordKey::of(b"rt"), 2, 0)));
    }

    #[test]
    fn letters_at_once_are_letters_one_by_one() {
        let text = b"The Queen's Zugzwangbeispielsammlung, und so weiter und so fort. z@[`{ A";
        for start in 0..text.len() {
            let rest = &text[start..];
            let (key, length) = WordKey::of_letters(text, start);
            let letters = rest.iter().take_while(|byte| byte.is_ascii_alphabetic());
            assert_eq!(length, letters.count());
            assert_eq!(key, WordKey::of(&rest[..length]), "{start}");
        }
    }

    #[test]
    fn diacritics_are_folded_in_both_encodings() {
        let key = |bytes: &[u8]| {
            let mut key = WordKey::new();
            let mut at = 0;
            while let Some(length) = key.push(&bytes[at..]) {
                at += length;
            }
            assert_eq!(at, bytes.len());
            key
        };
        assert_eq!(key("Läufer".as_bytes()), WordKey::of(b"laufer"));
        assert_eq!(key(b"L\xe4ufer"), WordKey::of(b"laufer"));
        assert_eq!(key("único".as_bytes()), WordKey::of(b"unico"));
        assert_eq!(key(b"a\xe9"), WordKey::of(b"ae"));
        assert_eq!(key("Großmeister".as_bytes()), WordKey::of(b"grosmeister"));
        assert_eq!(key("Vuković".as_bytes()), WordKey::of(b"vukovic"));
        assert_eq!(key("Škoda".as_bytes()), WordKey::of(b"skoda"));
        assert_eq!(key("ẹ̀ṣẹ́".as_bytes()), WordKey::of(b"ese"));
        // An accent may stand behind its letter.
        assert_eq!(key("La\u{308}ufer".as_bytes()), WordKey::of(b"laufer"));
        // Other scripts are no words of the lists, though some letters look like Latin ones.
        assert_ne!(key("мат".as_bytes()), WordKey::of(b"mat"));
        assert_eq!(key("МАТ".as_bytes()), key("мат".as_bytes()));
        assert_eq!(key("Чёрный".as_bytes()), key("черный".as_bytes()));
        assert_ne!(key("мой".as_bytes()), key("мои".as_bytes()));
        assert_eq!(key("ματ".as_bytes()), WordKey::of(b"***"));
        assert_eq!(key("将".as_bytes()), WordKey::of(b"*"));
    }
}
