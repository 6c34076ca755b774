//! The lexer: where it stands in its text, and what it has read.

use gainsay_notation::Language;

use super::tokens::{TokenKind, Tokens};
use crate::key::WordKey;
use crate::lexicon::Lexicon;
use crate::names::Names;

pub(super) struct Lexer<'a> {
    pub(super) text: &'a [u8],
    pub(super) at: usize,
    pub(super) letters: Language,
    pub(super) names: &'a Names,
    pub(super) lexicon: &'a Lexicon,
    pub(super) tokens: &'a mut Tokens,
    /// Where it was asked last whether a move stands there, and its length.
    pub(super) asked: (usize, Option<usize>),
}

/// The length of the blank above ASCII in front: non-breaking, thin or without any width, in
/// UTF-8 or Latin-1; 0 where there is none.
pub(super) const fn blank_length(bytes: &[u8]) -> usize {
    match bytes {
        // U+00A0
        [0xc2, 0xa0, ..] => 2,
        // U+2000 to U+200D, U+202F, U+205F, U+2060 and U+FEFF
        [0xe2, 0x80, 0x80..=0x8d | 0xaf, ..]
        | [0xe2, 0x81, 0x9f | 0xa0, ..]
        | [0xef, 0xbb, 0xbf, ..] => 3,
        [0xa0, ..] => 1,
        _ => 0,
    }
}

/// Whether a byte can be part of a word.
pub(super) const fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphabetic() || byte >= 0x80
}

impl Lexer<'_> {
    #[inline]
    pub(super) fn byte(&self, at: usize) -> u8 {
        self.text.get(at).copied().unwrap_or(0)
    }

    #[inline]
    pub(super) fn rest(&self, at: usize) -> &[u8] {
        self.text.get(at..).unwrap_or_default()
    }

    /// Pushes a token that ends at `end` and goes on behind it.
    #[inline]
    pub(super) fn push(&mut self, end: usize, kind: TokenKind) {
        let end = end.max(self.at + 1).min(self.text.len());
        self.tokens.push(self.at, end, kind);
        self.at = end;
    }

    /// Pushes a word that ends at `end` and goes on behind it.
    #[inline]
    pub(super) fn push_word(&mut self, end: usize, key: &WordKey, capital: bool) {
        let word = self.lexicon.word(key);
        self.tokens.push_word(self.at, end, word, capital);
        self.at = end;
    }
}
