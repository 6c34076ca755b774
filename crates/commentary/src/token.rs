//! Bytes to tokens.
//!
//! The lexer works on bytes, so that text in UTF-8 and in Latin-1 is read alike and
//! every span is an offset into the text as it stands. Letters with diacritics are
//! folded to their base letter before a word is looked up.

use gainsay_notation::{Language, MoveNumber, Signs, Span, WrittenMove, WrittenShape, parse_move};
use shakmaty::{File, Rank, Role, Square};

use crate::lexicon::{Entry, LEXICON, WordKey};
use crate::names::Names;

/// A token with its place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub(crate) span: Span,
    pub(crate) kind: TokenKind,
}

/// What a token is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum TokenKind {
    /// A word.
    Word {
        /// Its entry in the lexicon.
        entry: Entry,
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
    /// An annotation glyph by its NAG.
    Glyph(u8),
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

/// Splits `text` into `tokens`.
pub(crate) fn tokenise(text: &[u8], letters: Language, names: &Names, tokens: &mut Vec<Token>) {
    let mut lexer = Lexer {
        text,
        at: 0,
        letters,
        names,
        tokens,
    };
    while lexer.at < text.len() {
        lexer.step();
    }
}

struct Lexer<'a> {
    text: &'a [u8],
    at: usize,
    letters: Language,
    names: &'a Names,
    tokens: &'a mut Vec<Token>,
}

/// Whether a byte can be part of a word.
const fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphabetic() || byte >= 0x80
}

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
        self.tokens.push(Token {
            span: span(self.at, end),
            kind,
        });
        self.at = end;
    }

    fn step(&mut self) {
        let byte = self.byte(self.at);
        match byte {
            b'\n' | b'\r' => self.line_break(),
            b' ' | b'\t' | 0x0b | 0x0c => self.at += 1,
            b'[' if self.byte(self.at + 1) == b'%' => self.skip_command(),
            b'a'..=b'z' | b'A'..=b'Z' => self.letter_run(),
            b'0'..=b'9' => self.digit_run(),
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
            b'$' => self.nag(),
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

    /// `$12`
    fn nag(&mut self) {
        let digits = digits(self.rest(self.at + 1));
        match number(self.rest(self.at + 1), digits).and_then(|nag| u8::try_from(nag).ok()) {
            Some(nag) if digits > 0 => self.push(self.at + 1 + digits, TokenKind::Glyph(nag)),
            _ => self.push(self.at + 1, TokenKind::Other),
        }
    }

    /// A byte above ASCII: a letter of a word, or one of the few signs that prose uses.
    fn high(&mut self) {
        const SIGNS: [(&[u8], TokenKind); 22] = [
            ("…".as_bytes(), TokenKind::Ellipsis),
            ("–".as_bytes(), TokenKind::Pause),
            ("—".as_bytes(), TokenKind::Pause),
            ("“".as_bytes(), TokenKind::Quote),
            ("”".as_bytes(), TokenKind::Quote),
            ("„".as_bytes(), TokenKind::Quote),
            ("«".as_bytes(), TokenKind::Quote),
            ("»".as_bytes(), TokenKind::Quote),
            ("‘".as_bytes(), TokenKind::Quote),
            ("’".as_bytes(), TokenKind::Quote),
            ("±".as_bytes(), TokenKind::Glyph(16)),
            ("∓".as_bytes(), TokenKind::Glyph(17)),
            ("⩲".as_bytes(), TokenKind::Glyph(14)),
            ("⩱".as_bytes(), TokenKind::Glyph(15)),
            ("∞".as_bytes(), TokenKind::Glyph(13)),
            ("□".as_bytes(), TokenKind::Glyph(7)),
            ("⊕".as_bytes(), TokenKind::Glyph(22)),
            ("¿".as_bytes(), TokenKind::Other),
            ("¡".as_bytes(), TokenKind::Other),
            ("½".as_bytes(), TokenKind::Other),
            ("\u{feff}".as_bytes(), TokenKind::Other),
            ("\u{a0}".as_bytes(), TokenKind::Other),
        ];
        let rest = self.rest(self.at);
        if rest.starts_with("…".as_bytes()) {
            return self.dots();
        }
        if is_figurine(rest) {
            return self.letter_run();
        }
        for (sign, kind) in SIGNS {
            if rest.starts_with(sign) {
                let end = self.at + sign.len();
                if matches!(kind, TokenKind::Other) {
                    self.at = end;
                } else {
                    self.push(end, kind);
                }
                return;
            }
        }
        self.letter_run();
    }

    /// Dots: an ellipsis in front of a move, a full stop otherwise.
    fn dots(&mut self) {
        let (count, length) = dots(self.rest(self.at));
        if count >= 2 {
            let mut at = self.at + length;
            while matches!(self.byte(at), b' ') {
                at += 1;
            }
            if self.move_length(at).is_some() {
                let number = MoveNumber {
                    value: None,
                    dots: count,
                };
                return self.push(self.at + length, TokenKind::MoveNumber(number));
            }
            return self.push(self.at + length, TokenKind::Ellipsis);
        }
        self.push(self.at + length, TokenKind::Stop);
    }

    /// Glyphs and dashes.
    fn sign(&mut self) {
        const GLYPHS: [(&[u8], u8); 20] = [
            (b"+/-", 16),
            (b"-/+", 17),
            (b"+/=", 14),
            (b"=/+", 15),
            (b"+-", 18),
            (b"-+", 19),
            (b"+=", 14),
            (b"=+", 15),
            (b"!!", 3),
            (b"??", 4),
            (b"!?", 5),
            (b"?!", 6),
            (b"---", 0),
            (b"--", 0),
            (b"!", 1),
            (b"?", 2),
            (b"=", 10),
            (b"-", 0),
            (b"+", 0),
            (b"#", 0),
        ];
        let rest = self.rest(self.at);
        for (sign, nag) in GLYPHS {
            if !rest.starts_with(sign) {
                continue;
            }
            let end = self.at + sign.len();
            let behind_move = self.tokens.last().is_some_and(|token| {
                token.span.end as usize == self.at
                    && matches!(
                        token.kind,
                        TokenKind::Move(_) | TokenKind::Square(_) | TokenKind::Glyph(_)
                    )
            });
            return match (sign, nag) {
                (b"?" | b"??", _) if !behind_move => {
                    self.push(self.after_marks(end), TokenKind::Question);
                }
                (b"!" | b"!!" | b"!?" | b"?!", _) if !behind_move => {
                    let end = self.after_marks(end);
                    let asked = self
                        .text
                        .get(self.at..end)
                        .is_some_and(|s| s.contains(&b'?'));
                    self.push(
                        end,
                        if asked {
                            TokenKind::Question
                        } else {
                            TokenKind::Exclamation
                        },
                    );
                }
                // "1500+-rated" is no judgement.
                (_, 10..) if !behind_move && is_letter(self.byte(end)) => {
                    self.push(end, TokenKind::Other);
                }
                (b"-" | b"--" | b"---", _) => self.push(end, TokenKind::Pause),
                (_, 0) => self.push(end, TokenKind::Other),
                (_, nag) => self.push(end, TokenKind::Glyph(nag)),
            };
        }
        self.push(self.at + 1, TokenKind::Other);
    }

    fn after_marks(&self, mut at: usize) -> usize {
        while matches!(self.byte(at), b'!' | b'?') {
            at += 1;
        }
        at
    }

    /// Digits: a move number, a count, a castling with zeros, a date, a score.
    fn digit_run(&mut self) {
        if self.byte(self.at) == b'0' && self.try_move() {
            return;
        }
        let start = self.at;
        let length = digits(self.rest(start));
        let value = number(self.rest(start), length);
        let behind = start + length;
        let (count, dot_length) = dots(self.rest(behind));
        let mut at = behind + dot_length;
        if count > 0 || self.byte(behind) == b')' {
            if count == 0 {
                at += 1;
            }
            // "23. ... Rf8"
            let mut dots_seen = count;
            let blank = self.blanks(at);
            let (more, more_length) = dots(self.rest(blank));
            if count > 0 && more >= 2 {
                dots_seen = more.max(count);
                at = blank + more_length;
            }
            if self.move_length(self.blanks(at)).is_some() && value.is_some_and(|v| v < 1000) {
                let end = if count == 0 { behind } else { at };
                let number = MoveNumber {
                    value,
                    dots: dots_seen,
                };
                return self.push(end, TokenKind::MoveNumber(number));
            }
        }
        // "23 ... Rf8" and "23 Rf8"
        let blank = self.blanks(behind);
        if count == 0 && blank > behind && value.is_some_and(|v| v < 1000) {
            let (more, more_length) = dots(self.rest(blank));
            let target = self.blanks(blank + more_length);
            if more >= 2 && self.move_length(target).is_some() {
                let number = MoveNumber { value, dots: more };
                return self.push(blank + more_length, TokenKind::MoveNumber(number));
            }
            if more == 0 && self.has_piece_move(blank) {
                let number = MoveNumber { value, dots: 0 };
                return self.push(behind, TokenKind::MoveNumber(number));
            }
        }
        // Dates, times, scores, versions: everything glued to the digits.
        let mut end = behind;
        while matches!(
            self.byte(end),
            b'0'..=b'9' | b'.' | b':' | b'/' | b'-' | b'%'
        ) && (self.byte(end).is_ascii_digit()
            || self.byte(end + 1).is_ascii_digit()
            || self.byte(end) == b'%')
        {
            end += 1;
        }
        if end > behind {
            return self.push(end, TokenKind::Other);
        }
        match value {
            Some(value) if !is_letter(self.byte(behind)) => {
                self.push(behind, TokenKind::Number(value));
            }
            // "1st", "2nd", "12th", "3rd": the ending is dropped.
            Some(value) if is_ordinal(self.rest(behind)) => {
                self.push(behind + 2, TokenKind::Number(value));
            }
            _ => {
                let mut end = behind;
                while is_letter(self.byte(end)) || self.byte(end).is_ascii_digit() {
                    end += 1;
                }
                self.push(end, TokenKind::Other);
            }
        }
    }

    fn blanks(&self, mut at: usize) -> usize {
        while matches!(self.byte(at), b' ' | b'\n' | b'\r' | b'\t') {
            at += 1;
        }
        at
    }

    /// Whether a move with a piece letter, a capture or castling stands at `at`.
    fn has_piece_move(&self, at: usize) -> bool {
        self.move_length(at).is_some_and(|length| {
            self.text
                .get(at..at + length)
                .is_some_and(|bytes| length > 2 && !bytes.contains(&b'-') || bytes.contains(&b'O'))
        })
    }

    /// Reads a move at the current place, if there is one.
    fn try_move(&mut self) -> bool {
        let at = self.at;
        let Some(length) = self.move_length(at) else {
            return false;
        };
        let bytes = self.text.get(at..at + length).unwrap_or_default();
        // `Nb8-a6-b4`, `d1/e1`
        if is_route(self.rest(at + length)) || self.glued_square_before() {
            let mut end = at + length;
            while self.byte(end).is_ascii_alphanumeric() || matches!(self.byte(end), b'-' | b'/') {
                end += 1;
            }
            self.push(end, TokenKind::Route);
            return true;
        }
        if let [file, rank] = bytes
            && let Some(square) = square(*file, *rank)
        {
            self.push(at + length, TokenKind::Square(square));
            // "e5-pawn"
            self.at += usize::from(self.byte(self.at) == b'-' && is_letter(self.byte(self.at + 1)));
            return true;
        }
        let Some(mut written) = parse_move(bytes, self.letters) else {
            return false;
        };
        let mut end = at + length;
        // `a1-h8` is a diagonal, `Bc8-g7` a plan.
        if !is_one_step(&written) {
            self.push(end, TokenKind::Route);
            return true;
        }
        // "Qh6 ch", "Qh6 ch."
        let blank = self.blanks(end);
        if written.signs == Signs::None
            && blank == end + 1
            && self.rest(blank).starts_with(b"ch")
            && !is_letter(self.byte(blank + 2))
        {
            written.signs = Signs::Check;
            end = blank + 2;
        }
        self.push(end, TokenKind::Move(written));
        true
    }

    /// Whether the token before is a square that this one is glued to by `/` or `-`.
    fn glued_square_before(&self) -> bool {
        let [.., before, joint] = self.tokens.as_slice() else {
            return false;
        };
        matches!(joint.kind, TokenKind::Slash)
            && joint.span.end as usize == self.at
            && before.span.end == joint.span.start
            && matches!(before.kind, TokenKind::Square(_))
    }

    /// The length of what has the shape of a move at `at`.
    ///
    /// This is a cheap test on bytes; [`parse_move`] has the last word.
    fn move_length(&self, at: usize) -> Option<usize> {
        let rest = self.rest(at);
        let mut head = shape_length(rest, self.letters)?;
        // Promotions and signs.
        let tail = rest.get(head..).unwrap_or_default();
        head += promotion_length(tail, self.letters);
        let tail = rest.get(head..).unwrap_or_default();
        head += match tail {
            [b'+', b'+', ..] => 2,
            // "+-" and "+=" are judgements, not checks.
            [b'+', b'-' | b'/' | b'=', ..] => 0,
            [b'+' | b'#', ..] => 1,
            _ => 0,
        };
        let next = rest.get(head).copied().unwrap_or(0);
        (!is_letter(next) && !next.is_ascii_digit()
            || rest.get(head..)?.starts_with("…".as_bytes()))
        .then_some(head)
    }

    /// A run of letters: a word, a name, a move, a file, a square.
    fn letter_run(&mut self) {
        let start = self.at;
        let first = self.byte(start);
        if may_be_move(first, self.byte(start + 1), self.byte(start + 2)) && self.try_move() {
            return;
        }
        // `e-file`, `h-pawn`, `e-`, and `e pawn`.
        let next = self.byte(start + 1);
        if matches!(next, b'-' | b' ')
            && let Some(file) = file(first)
        {
            if next == b'-'
                && (is_letter(self.byte(start + 2))
                    || self.byte(start + 2) == b','
                    || self.byte(start + 2) == b' ')
            {
                self.push(start + 1, TokenKind::File(file));
                self.at += usize::from(is_letter(self.byte(self.at + 1)));
                return;
            }
            if next == b' ' && first != b'a' {
                let word = self.rest(start + 2);
                if word.starts_with(b"pawn") || word.starts_with(b"file") {
                    return self.push(start + 1, TokenKind::File(file));
                }
            }
        }
        let (mut key, letters) = WordKey::of_letters(self.rest(start));
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
        let entry = LEXICON.entry(&key);
        self.push(end, TokenKind::Word { entry, capital });
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
            self.push(
                end,
                TokenKind::Word {
                    entry: LEXICON.entry(&key),
                    capital: false,
                },
            );
        }
    }
}

fn span(start: usize, end: usize) -> Span {
    Span::new(
        u32::try_from(start).unwrap_or(u32::MAX),
        u32::try_from(end).unwrap_or(u32::MAX),
    )
}

/// The number of ASCII digits in front.
fn digits(bytes: &[u8]) -> usize {
    bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count()
}

/// The value of the first `length` digits, if it is not absurd.
fn number(bytes: &[u8], length: usize) -> Option<u32> {
    if length == 0 || length > 6 {
        return None;
    }
    bytes
        .get(..length)
        .map(|digits| digits.iter().fold(0, |n, &d| n * 10 + u32::from(d - b'0')))
}

/// How many dots stand in front, and how many bytes they take.
fn dots(bytes: &[u8]) -> (u8, usize) {
    let mut count = 0_u8;
    let mut length = 0;
    loop {
        let rest = bytes.get(length..).unwrap_or_default();
        if rest.first() == Some(&b'.') {
            count = count.saturating_add(1);
            length += 1;
        } else if rest.starts_with("…".as_bytes()) {
            count = count.saturating_add(3);
            length += 3;
        } else {
            return (count, length);
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

fn is_ordinal(bytes: &[u8]) -> bool {
    [b"st", b"nd", b"rd", b"th"]
        .iter()
        .any(|ending| bytes.starts_with(*ending))
        && !bytes.get(2).is_some_and(|&byte| is_letter(byte))
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

fn square(file: u8, rank: u8) -> Option<Square> {
    Some(Square::from_coords(
        File::from_char(char::from(file))?,
        Rank::from_char(char::from(rank))?,
    ))
}

/// Whether `-e5` or `/e5` goes on.
fn is_route(bytes: &[u8]) -> bool {
    matches!(bytes, [b'-' | b'/', file, rank, ..] if square(*file, *rank).is_some())
        || matches!(bytes, [b'-', b'a'..=b'h', b'-', ..])
}

/// Whether a move whose origin is written in full can be made in one step on some board.
fn is_one_step(written: &WrittenMove) -> bool {
    let WrittenShape::To {
        role,
        file: Some(file),
        rank: Some(rank),
        to,
        ..
    } = written.shape
    else {
        return true;
    };
    let across = file.distance(to.file());
    let along = rank.distance(to.rank());
    match role {
        Role::Pawn => across <= 1 && (1..=2).contains(&along),
        Role::Knight => (across.min(along), across.max(along)) == (1, 2),
        Role::Bishop => across == along,
        Role::Rook => across == 0 || along == 0,
        Role::Queen => across == along || across == 0 || along == 0,
        // Castling may be written so.
        Role::King => across <= 2 && along <= 1,
    }
}

fn is_figurine(bytes: &[u8]) -> bool {
    matches!(bytes, [0xe2, 0x99, 0x94..=0x9f, ..])
}

/// The length of a square at the start of `bytes`: 2 or 0.
fn square_length(bytes: &[u8]) -> usize {
    match bytes {
        [b'a'..=b'h', b'1'..=b'8', ..] => 2,
        _ => 0,
    }
}

/// Whether a move can begin with these three bytes: what most words fail.
const fn may_be_move(first: u8, second: u8, third: u8) -> bool {
    match (first, second) {
        // "ed4", but not "edge".
        (b'a'..=b'h', b'a'..=b'h') => matches!(third, b'1'..=b'8'),
        // "Bd4", "Bcd4", "Bcxd4", but not "Be".
        (b'A'..=b'Z', b'a'..=b'h') => {
            matches!(third, b'a'..=b'h' | b'1'..=b'8' | b'x' | b':' | b'-')
        }
        (b'a'..=b'h' | b'A'..=b'Z', _) => matches!(second, b'1'..=b'8' | b'x' | b':' | b'-'),
        (b'o', _) => second == b'-',
        (b'i'..=b'z', _) => false,
        _ => true,
    }
}

/// The length of a move's body: piece, origin, capture sign, target.
fn shape_length(bytes: &[u8], letters: Language) -> Option<usize> {
    let first = *bytes.first()?;
    if matches!(first, b'O' | b'0' | b'o') {
        let castle: &[&[u8]] = &[b"O-O-O", b"O-O", b"0-0-0", b"0-0", b"o-o-o", b"o-o"];
        return castle
            .iter()
            .find(|shape| bytes.starts_with(shape))
            .map(|shape| shape.len());
    }
    let mut at = 0;
    if is_figurine(bytes) {
        at = 3;
    } else if first.is_ascii_uppercase() {
        letters.role(char::from(first))?;
        at = 1;
    }
    let piece = at > 0;
    let rest = bytes.get(at..)?;
    // hxg, exd
    if !piece {
        if let [from @ b'a'..=b'h', b'x', to @ b'a'..=b'h', next, ..] = rest
            && from.abs_diff(*to) == 1
            && !next.is_ascii_alphanumeric()
        {
            return Some(3);
        }
        if let [from @ b'a'..=b'h', b'x', to @ b'a'..=b'h'] = rest
            && from.abs_diff(*to) == 1
        {
            return Some(3);
        }
    }
    // Origin: a square, a file, a rank, or nothing; then the target.
    let origins: &[usize] = &[square_length(rest), 1, 0];
    for &origin in origins {
        if origin == 1 && !matches!(rest.first(), Some(b'a'..=b'h' | b'1'..=b'8')) {
            continue;
        }
        if !piece && origin == 1 && !matches!(rest.first(), Some(b'a'..=b'h')) {
            continue;
        }
        let mut end = at + origin;
        match bytes.get(end) {
            Some(b'x') => end += 1,
            Some(b':' | b'-') if origin != 0 || piece && bytes.get(end) == Some(&b':') => end += 1,
            _ => {}
        }
        if square_length(bytes.get(end..).unwrap_or_default()) == 2 {
            // `b8` of `b8-a6` is found with its origin first; a bare square has none.
            return Some(end + 2);
        }
    }
    None
}

/// The length of a promotion behind a move.
fn promotion_length(bytes: &[u8], letters: Language) -> usize {
    let is_piece = |byte: &u8| {
        byte.is_ascii_uppercase()
            && letters
                .role(char::from(*byte))
                .is_some_and(|role| !matches!(role, Role::Pawn | Role::King))
    };
    match bytes {
        [b'=' | b'/', piece, ..] if is_piece(piece) => 2,
        [b'(', piece, b')', ..] if is_piece(piece) => 3,
        [piece, next, ..] if is_piece(piece) && !next.is_ascii_alphanumeric() => 1,
        [piece] if is_piece(piece) => 1,
        _ => 0,
    }
}

/// Whether a move is written with a piece letter, a capture sign or castling, so that
/// it cannot be the name of a square.
pub(crate) fn is_plain_move(written: &WrittenMove) -> bool {
    !matches!(
        written.shape,
        WrittenShape::To {
            role: Role::Pawn,
            file: None,
            capture: false,
            promotion: None,
            ..
        }
    )
}
