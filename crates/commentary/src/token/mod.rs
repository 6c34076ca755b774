//! Bytes to tokens.
//!
//! The lexer works on bytes, so that text in UTF-8 and in Latin-1 is read alike and
//! every span is an offset into the text as it stands. Letters with diacritics are
//! folded to their base letter before a word is looked up.

mod moves;
mod numbers;
mod signs;

use gainsay_notation::{Glyph, Language, MoveNumber, Span, WrittenMove};
pub(crate) use moves::is_plain_move;
use moves::may_be_move;
use shakmaty::{File, Square};

use crate::key::WordKey;
use crate::lexicon::{Lexicon, Word};
use crate::names::Names;
use crate::sense::Entry;
use crate::tongue::Tongue;

/// A token with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub(crate) span: Span,
    /// The word; [`Entry::SIGN`] for all else.
    pub(crate) entry: Entry,
    pub(crate) kind: TokenKind,
}

/// What a token is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum TokenKind {
    /// A word.
    Word {
        /// Whether it begins with a capital letter.
        capital: bool,
    },
    /// A player's name from the tags.
    Name(shakmaty::Color),
    /// A number.
    Number(u32),
    /// A move number with dots, or dots alone, in front of a move.
    MoveNumber(MoveNumber),
    /// A move.
    Move(WrittenMove),
    /// A square that may also be a pawn's move.
    Square(Square),
    /// A file: `e-`, `e` before "file" or "pawn".
    File(File),
    /// A way over more than two squares, a square that does not exist, a list such as `d1/e1`.
    Route,
    /// An annotation glyph.
    Glyph(Glyph),
    /// `,`
    Comma,
    /// `;`, a dash between words.
    Pause,
    /// `:`
    Colon,
    /// `.`
    Stop,
    /// `?` behind a word.
    Question,
    /// `!` behind a word.
    Exclamation,
    /// `(` or `[`
    Open,
    /// `)` or `]`
    Close,
    /// A quotation mark.
    Quote,
    /// `/`
    Slash,
    /// Several dots that stand for nothing.
    Ellipsis,
    /// A blank line.
    Paragraph,
    /// Anything else: dates, addresses, scores.
    Other,
}

/// A passage in tokens.
#[derive(Debug, Default)]
pub(crate) struct Tokens {
    pub(crate) tokens: Vec<Token>,
    /// How many words there are that just these languages know, by the bits of
    /// [`Word::tongues`]. Single letters that no language knows are no words.
    pub(crate) known: [u32; 1 << Tongue::COUNT],
}

impl Tokens {
    /// How many moves there are.
    pub(crate) fn moves(&self) -> usize {
        let is_move = |token: &&Token| matches!(token.kind, TokenKind::Move(_));
        self.tokens.iter().filter(is_move).count()
    }

    #[inline]
    fn push(&mut self, start: usize, end: usize, kind: TokenKind) {
        self.tokens.push(Token {
            span: span(start, end),
            entry: Entry::SIGN,
            kind,
        });
    }

    /// Pushes a word.
    #[inline]
    fn push_word(&mut self, start: usize, end: usize, word: Word, capital: bool) {
        let entry = word.entry;
        if (entry.is_known() || end - start > 1)
            && let Some(known) = self.known.get_mut(usize::from(word.tongues))
        {
            *known += 1;
        }
        self.tokens.push(Token {
            span: span(start, end),
            entry,
            kind: TokenKind::Word { capital },
        });
    }
}

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

struct Lexer<'a> {
    text: &'a [u8],
    at: usize,
    letters: Language,
    names: &'a Names,
    lexicon: &'a Lexicon,
    tokens: &'a mut Tokens,
    /// Where it was asked last whether a move stands there, and its length.
    asked: (usize, Option<usize>),
}

/// Whether a byte can be part of a word.
const fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphabetic() || byte >= 0x80
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
    fn byte(&self, at: usize) -> u8 {
        self.text.get(at).copied().unwrap_or(0)
    }

    fn rest(&self, at: usize) -> &[u8] {
        self.text.get(at..).unwrap_or_default()
    }

    /// Pushes a token that ends at `end` and goes on behind it.
    fn push(&mut self, end: usize, kind: TokenKind) {
        let end = end.max(self.at + 1).min(self.text.len());
        self.tokens.push(self.at, end, kind);
        self.at = end;
    }

    /// Pushes a word that ends at `end` and goes on behind it.
    #[inline]
    fn push_word(&mut self, end: usize, key: &WordKey, capital: bool) {
        let word = self.lexicon.word(key);
        self.tokens.push_word(self.at, end, word, capital);
        self.at = end;
    }

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
        if may_be_move(first, self.byte(start + 1), self.byte(start + 2)) && self.try_move() {
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
        let capital = first.is_ascii_uppercase() || first >= 0x80;
        if capital && let Some(color) = self.names.color(&key) {
            self.push(end, TokenKind::Name(color));
            return self.after_word();
        }
        self.push_word(end, &key, capital);
        self.after_word();
    }

    /// Hyphens inside compounds are dropped; `'s`, `'ve` become words of their own.
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
            self.push_word(end, &key, false);
        }
    }
}

fn span(start: usize, end: usize) -> Span {
    Span::new(
        u32::try_from(start).unwrap_or(u32::MAX),
        u32::try_from(end).unwrap_or(u32::MAX),
    )
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
