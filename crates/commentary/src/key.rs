//! Words as keys of the lexicon.

/// A word, lower-cased and without diacritics, packed into sixteen bytes.
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
            // Letters that no word of the lists has, general punctuation left out.
            [0xc4..=0xdf, 0x80..=0xbf, ..] => {
                self.push_ascii(b'*');
                Some(2)
            }
            [0xe2, 0x80..=0xbf, ..] => None,
            [0xe0..=0xef, 0x80..=0xbf, 0x80..=0xbf, ..] => {
                self.push_ascii(b'*');
                Some(3)
            }
            _ => None,
        }
    }

    /// Appends a byte that is already folded.
    pub(crate) const fn push_ascii(&mut self, byte: u8) {
        self.0 = if self.0 >> 120 != 0 {
            u128::MAX
        } else {
            self.0 << 8 | byte as u128
        };
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

    /// The key of the ASCII letters at the start of `bytes`, and how many they are.
    #[inline]
    pub(crate) fn of_letters(bytes: &[u8]) -> (Self, usize) {
        const BITS: usize = u128::BITS as usize;
        /// Makes sixteen letters small.
        const SMALL: u128 = u128::from_ne_bytes([0x20; 16]);
        if let Some(&all) = bytes.first_chunk::<16>() {
            let all = u128::from_be_bytes(all) | SMALL;
            let length = small_letters(all);
            // The sixteen bytes at once, without those behind the word.
            if (1..16).contains(&length) {
                return (Self(all >> (BITS - 8 * length)), length);
            }
        }
        let length = bytes
            .iter()
            .position(|byte| !byte.is_ascii_alphabetic())
            .unwrap_or(bytes.len());
        let mut key = Self::new();
        key.push_all(bytes.get(..length).unwrap_or_default());
        (key, length)
    }

    /// The key of the small letters at `at`, of which the first may be a capital, how many
    /// they are, and the byte behind them, or zero at the end of the text. `None` where no
    /// letter stands or the word is longer than fifteen letters, and in short texts.
    #[inline]
    pub(crate) fn of_small_letters(text: &[u8], at: usize) -> Option<(Self, usize, u8)> {
        const LOOK: usize = 16;
        const HALF: usize = LOOK / 2;
        let rest = text.get(at..)?;
        let all = match rest.first_chunk::<LOOK>() {
            Some(&all) => u128::from_be_bytes(all),
            // The last bytes of the text, without those in front of `at`.
            None => {
                let before = 8 * (LOOK - rest.len());
                u128::from_be_bytes(*text.last_chunk::<LOOK>()?).checked_shl(before as u32)?
            }
        };
        let half = (all >> 64) as u64 | 0x20 << 56;
        // Most words are shorter than half the look.
        match small_letters_of_eight(half) {
            0 => None,
            HALF => {
                let more = small_letters_of_eight(all as u64);
                if more == HALF {
                    return None;
                }
                let all = all | 0x20 << 120;
                let key = all >> (8 * (HALF - more));
                let next = (all >> (8 * (HALF - 1 - more))) as u8;
                Some((Self(key), HALF + more, next))
            }
            few => {
                let key = half >> (8 * (HALF - few));
                let next = (half >> (8 * (HALF - 1 - few))) as u8;
                Some((Self(key.into()), few, next))
            }
        }
    }

    /// Where to look for the word, and sixteen bits more to tell it from others there.
    pub(crate) const fn hash(self) -> (usize, u16) {
        let folded = (self.0 as u64) ^ ((self.0 >> 64) as u64).rotate_left(29);
        let hash = folded.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        ((hash >> 40) as usize, (hash >> 24) as u16)
    }
}

/// How many of sixteen bytes, from the first, are small letters.
#[inline]
const fn small_letters(bytes: u128) -> usize {
    match small_letters_of_eight((bytes >> 64) as u64) {
        8 => 8 + small_letters_of_eight(bytes as u64),
        few => few,
    }
}

#[inline]
const fn small_letters_of_eight(bytes: u64) -> usize {
    const HIGH: u64 = u64::from_ne_bytes([0x80; 8]);
    const TO_A: u64 = u64::from_ne_bytes([0x80 - b'a'; 8]);
    const BEYOND_Z: u64 = u64::from_ne_bytes([0x7f - b'z'; 8]);
    // All bytes at once: adding sets the high bit of those from `a` on, and of those
    // beyond `z`; without their own high bits none carries into its neighbour.
    let low = bytes & !HIGH;
    let letters = (low + TO_A) & !(low + BEYOND_Z) & !bytes & HIGH;
    (letters ^ HIGH).leading_zeros() as usize / 8
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
        assert_eq!(WordKey::of_small_letters(b"short", 0), None);
    }

    #[test]
    fn letters_at_once_are_letters_one_by_one() {
        let text = b"The Queen's Zugzwangbeispielsammlung, und so weiter und so fort. z@[`{ A";
        for start in 0..text.len() {
            let rest = &text[start..];
            let (key, length) = WordKey::of_letters(rest);
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
    }
}
