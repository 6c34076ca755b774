//! Bytes to tokens.
//!
//! The lexer works on bytes, so that text in UTF-8 and in Latin-1 is read alike and
//! every span is an offset into the text as it stands. Letters with diacritics are
//! folded to their base letter before a word is looked up.

mod descriptive;
mod lexer;
mod moves;
mod numbers;
mod signs;
mod spelling;
mod tokens;

use gainsay_notation::{Language, may_be_descriptive};
use shakmaty::File;

use self::lexer::{Lexer, is_letter};
pub(crate) use self::moves::is_plain_move;
use self::moves::may_be_move;
pub(crate) use self::tokens::{Token, TokenKind, Tokens};
use crate::key::WordKey;
use crate::lexicon::Lexicon;
use crate::names::Names;

/// Splits `text` into `tokens`.
pub(crate) fn tokenise(
    text: &[u8],
    letters: Language,
    names: &Names,
    lexicon: &Lexicon,
    tokens: &mut Tokens,
) {
    tokens.tokens.clear();
    tokens.known = Default::default();
    let mut lexer = Lexer {
        text,
        at: 0,
        letters,
        names,
        lexicon,
        tokens,
        asked: (usize::MAX, None),
    };
    while lexer.at < text.len() {
        if !lexer.plain_word() {
            lexer.step();
        }
    }
}

/// The bytes in front of which a word ends without a second look. The end of the text
/// counts as zero.
const ENDS_PLAIN_WORD: [bool; 256] = {
    let signs = b"\0\t\n\r !\"(),.;?";
    let mut ends = [false; 256];
    let mut at = 0;
    while at < signs.len() {
        ends[signs[at] as usize] = true;
        at += 1;
    }
    ends
};

impl Lexer<'_> {
    /// Reads a word as most are: letters that cannot begin a move or name a file, with
    /// nothing behind them that can be a part of the word. [`Self::letter_run`] reads it
    /// alike, but asks more.
    #[inline]
    fn plain_word(&mut self) -> bool {
        let first = self.byte(self.at);
        if !first.is_ascii_alphabetic() {
            return false;
        }
        let Some((key, length, next)) = WordKey::of_small_letters(self.text, self.at) else {
            return false;
        };
        if key.may_be_more() | !ENDS_PLAIN_WORD[usize::from(next)] {
            return false;
        }
        // "and Castles"
        if first == b'C' && length == 7 && self.text.get(self.at + 1) == Some(&b'a') {
            return false;
        }
        // "Kt x P", "P to K4"
        if length <= 2 && matches!(first, b'K' | b'Q' | b'R' | b'B' | b'N' | b'P') {
            return false;
        }
        let capital = first.is_ascii_uppercase();
        let end = self.at + length;
        if capital && let Some(color) = self.names.color(&key) {
            self.push(end, TokenKind::Name(color));
        } else {
            self.push_word(end, &key, capital);
        }
        // What most often stands behind a word.
        match next {
            b' ' => self.at += 1,
            b',' => self.push(end + 1, TokenKind::Comma),
            b'.' if self.is_full_stop(end) => self.push(end + 1, TokenKind::Stop),
            _ => {}
        }
        true
    }

    fn step(&mut self) {
        let byte = self.byte(self.at);
        match byte {
            b'\n' | b'\r' => self.line_break(),
            b' ' | b'\t' | 0x0b | 0x0c => self.at += 1,
            b'[' if self.byte(self.at + 1) == b'%' => self.skip_command(),
            b'a'..=b'z' | b'A'..=b'Z' => self.letter_run(),
            b'0'..=b'9' => self.digit_run(),
            b'.' if self.is_full_stop(self.at) => self.push(self.at + 1, TokenKind::Stop),
            b'.' => self.dots(),
            0x80.. => self.high(),
            b'+' | b'-' | b'=' | b'!' | b'?' => self.sign(),
            b',' => self.push(self.at + 1, TokenKind::Comma),
            b';' => self.push(self.at + 1, TokenKind::Pause),
            b':' => self.push(self.at + 1, TokenKind::Colon),
            b'(' | b'[' => self.push(self.at + 1, TokenKind::Open),
            b')' | b']' => self.push(self.at + 1, TokenKind::Close),
            b'"' => self.push(self.at + 1, TokenKind::Quote),
            b'\'' => self.apostrophe(),
            b'/' => self.push(self.at + 1, TokenKind::Slash),
            b'$' => self.glyph_by_number(),
            _ => self.push(self.at + 1, TokenKind::Other),
        }
    }

    /// A single line break is white space; a blank line ends a paragraph.
    fn line_break(&mut self) {
        let mut at = self.at;
        let mut breaks = 0;
        loop {
            match self.byte(at) {
                b'\r' if self.byte(at + 1) == b'\n' => {
                    breaks += 1;
                    at += 2;
                }
                b'\n' | b'\r' => {
                    breaks += 1;
                    at += 1;
                }
                b' ' | b'\t' if at < self.text.len() => at += 1,
                _ => break,
            }
        }
        if breaks > 1 {
            self.push(at, TokenKind::Paragraph);
        } else {
            self.at = at;
        }
    }

    /// `[%name …]` holds data, not prose.
    fn skip_command(&mut self) {
        self.at = match self.rest(self.at).iter().position(|&byte| byte == b']') {
            Some(length) => self.at + length + 1,
            None => self.text.len(),
        };
    }

    /// `'`: a quotation mark unless it is swallowed by a word.
    fn apostrophe(&mut self) {
        self.push(self.at + 1, TokenKind::Quote);
    }

    /// A run of letters: a word, a name, a move, a file, a square.
    fn letter_run(&mut self) {
        let start = self.at;
        let first = self.byte(start);
        let second = self.byte(start + 1);
        let plain = may_be_move(first, second, self.byte(start + 2));
        if (plain || self.letters.is_english() && may_be_descriptive(first, second))
            && self.try_move()
        {
            return;
        }
        // `e-file`, `h-pawn`, `e-`, `e pawn`, and `e/f pawns`.
        let next = self.byte(start + 1);
        if matches!(next, b'-' | b' ' | b'/')
            && let Some(file) = file(first)
        {
            if next == b'-'
                && (is_letter(self.byte(start + 2)) || matches!(self.byte(start + 2), b',' | b' '))
            {
                self.push(start + 1, TokenKind::File(file));
                self.at += 1;
                return;
            }
            if next == b'/' && self.lists_pawns(start) {
                return self.push(start + 1, TokenKind::File(file));
            }
            if next == b' ' && first != b'a' {
                let word = self.rest(start + 2);
                if word.starts_with(b"pawn") || word.starts_with(b"file") {
                    return self.push(start + 1, TokenKind::File(file));
                }
            }
        }
        let (mut key, letters) = WordKey::of_letters(self.text, start);
        let mut end = start + letters;
        if self.byte(end) >= 0x80 {
            while let Some(length) = key.push(self.rest(end)) {
                end += length;
            }
        }
        if end == start {
            // A high byte that is no letter.
            return self.push(start + utf8_length(first), TokenKind::Other);
        }
        if matches!(self.byte(end), b':' | b'.')
            && is_address(
                self.text.get(start..end).unwrap_or_default(),
                self.rest(end),
            )
        {
            while end < self.text.len() && !self.byte(end).is_ascii_whitespace() {
                end += 1;
            }
            return self.push(end, TokenKind::Other);
        }
        // "doesn't" is one word; "Black's" and "would've" are two.
        let (quote, quote_length) = apostrophe(self.rest(end));
        if quote
            && matches!(self.byte(end + quote_length), b't')
            && !is_letter(self.byte(end + quote_length + 1))
        {
            key.push_ascii(b'\'');
            key.push_ascii(b't');
            end += quote_length + 1;
        }
        let capital = is_capital(self.rest(start));
        if capital && let Some(color) = self.names.color(&key) {
            self.push(end, TokenKind::Name(color));
            return self.after_word();
        }
        self.push_word(end, &key, capital);
        self.after_word();
    }

    /// Hyphens inside compounds are dropped; `'s`, `'ve` become words of their own, and so does
    /// what stands behind the apostrophe of "l'échange".
    fn after_word(&mut self) {
        let rest = self.rest(self.at);
        if matches!(rest.first(), Some(b' ' | b'.' | b',')) {
            return;
        }
        if rest.first() == Some(&b'-') && is_letter(self.byte(self.at + 1)) {
            self.at += 1;
            return;
        }
        let (quote, length) = apostrophe(rest);
        if quote && is_letter(self.byte(self.at + length)) {
            let start = self.at;
            let mut key = WordKey::new();
            key.push_ascii(b'\'');
            let mut end = start + length;
            while let Some(more) = key.push(self.rest(end)) {
                end += more;
            }
            if !self.lexicon.knows(&key) {
                self.at += length;
                return;
            }
            self.push_word(end, &key, false);
        }
    }
}

fn apostrophe(bytes: &[u8]) -> (bool, usize) {
    if bytes.first() == Some(&b'\'') {
        (true, 1)
    } else if bytes.starts_with("’".as_bytes()) {
        (true, 3)
    } else {
        (false, 0)
    }
}

/// Whether a text begins with a capital letter, in UTF-8 or Latin-1.
fn is_capital(text: &[u8]) -> bool {
    match *text {
        [first, ..] if first.is_ascii() => first.is_ascii_uppercase(),
        [0xc3, low @ 0x80..=0xbf, ..] => low < 0xa0,
        // Cyrillic letters: Ё and the like, and А to Я.
        [0xd0, low @ 0x80..=0xbf, ..] => low < 0xb0,
        [0xd1, 0x80..=0xbf, ..] => false,
        [first @ 0xc0..=0xff, next, ..] if !(0x80..=0xbf).contains(&next) => first < 0xe0,
        [first] => first < 0xe0,
        _ => !text.is_empty(),
    }
}

/// Whether a word and what follows it are an address on the net.
fn is_address(word: &[u8], rest: &[u8]) -> bool {
    match rest {
        [b':', b'/', b'/', ..] => true,
        [b'.', next, ..] => is_letter(*next) && word == b"www",
        _ => false,
    }
}

const fn utf8_length(byte: u8) -> usize {
    match byte {
        0xc2..=0xdf => 2,
        0xe0..=0xef => 3,
        0xf0..=0xf4 => 4,
        _ => 1,
    }
}

fn file(byte: u8) -> Option<File> {
    File::from_char(char::from(byte))
}
