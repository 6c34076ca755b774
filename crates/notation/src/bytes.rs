//! Tables and small steps over bytes that every reader in this crate shares.

use memchr::{memchr, memchr2, memchr3};

/// What a byte can begin in movetext.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Class {
    /// Blank, tab, line end, or the end-of-file byte of old systems.
    Space,
    /// `a`–`h`, a piece letter, or the letter of castling.
    MoveLetter,
    Digit,
    Dot,
    BraceOpen,
    BraceClose,
    ParenOpen,
    ParenClose,
    Semicolon,
    Dollar,
    /// `!` and `?`.
    Glyph,
    Star,
    Bracket,
    Percent,
    /// A byte of a character outside ASCII.
    High,
    /// A control character that no text holds.
    Control,
    /// Anything else that prints.
    Other,
}

const fn class_of(byte: u8) -> Class {
    match byte {
        b' ' | b'\t' | b'\n' | b'\r' | 0x0b | 0x0c | 0x1a => Class::Space,
        b'a'..=b'h' | b'K' | b'Q' | b'R' | b'B' | b'N' | b'P' | b'O' | b'o' => Class::MoveLetter,
        b'0'..=b'9' => Class::Digit,
        b'.' => Class::Dot,
        b'{' => Class::BraceOpen,
        b'}' => Class::BraceClose,
        b'(' => Class::ParenOpen,
        b')' => Class::ParenClose,
        b';' => Class::Semicolon,
        b'$' => Class::Dollar,
        b'!' | b'?' => Class::Glyph,
        b'*' => Class::Star,
        b'[' => Class::Bracket,
        b'%' => Class::Percent,
        0x80.. => Class::High,
        0..=0x1f | 0x7f => Class::Control,
        _ => Class::Other,
    }
}

const CLASSES: [Class; 256] = {
    let mut table = [Class::Other; 256];
    let mut byte = 0;
    while byte < 256 {
        table[byte] = class_of(byte as u8);
        byte += 1;
    }
    table
};

/// Whether a byte ends a word of movetext.
const ENDS_WORD: [bool; 256] = {
    let mut table = [false; 256];
    let mut byte = 0;
    while byte < 256 {
        table[byte] = matches!(
            class_of(byte as u8),
            Class::Space
                | Class::Dot
                | Class::BraceOpen
                | Class::BraceClose
                | Class::ParenOpen
                | Class::ParenClose
                | Class::Semicolon
                | Class::Dollar
                | Class::Glyph
                | Class::Star
        );
        byte += 1;
    }
    table
};

#[inline]
pub(crate) const fn class(byte: u8) -> Class {
    CLASSES[byte as usize]
}

/// The byte at `at`; NUL behind the end.
#[inline]
pub(crate) fn byte(text: &[u8], at: usize) -> u8 {
    text.get(at).copied().unwrap_or(0)
}

/// Whether a word of movetext ends before this byte.
#[inline]
pub(crate) const fn byte_ends_word(byte: u8) -> bool {
    ENDS_WORD[byte as usize]
}

/// Whether a word of movetext ends before `at`.
#[inline]
pub(crate) fn ends_word(text: &[u8], at: usize) -> bool {
    text.get(at)
        .is_none_or(|&byte| byte_ends_word(byte) || (byte >= 0x80 && odd_space(text, at) > 0))
}

/// The offset where the word that `at` lies in ends.
pub(crate) fn word_end(text: &[u8], at: usize) -> usize {
    let mut end = at;
    while !ends_word(text, end) {
        end += 1;
    }
    end
}

/// What stands at `at`, up to the end.
#[inline]
pub(crate) fn rest(text: &[u8], at: usize) -> &[u8] {
    text.get(at..).unwrap_or_default()
}

#[inline]
pub(crate) const fn is_space(byte: u8) -> bool {
    matches!(class(byte), Class::Space)
}

#[inline]
pub(crate) const fn is_line_end(byte: u8) -> bool {
    matches!(byte, b'\n' | b'\r')
}

/// The offset of the first byte at or after `at` that is not white space.
#[inline]
pub(crate) fn skip_space(text: &[u8], mut at: usize) -> usize {
    while at < text.len() && is_space(byte(text, at)) {
        at += 1;
    }
    at
}

/// The length of the white space character outside ASCII at `at`: the no-break space, the
/// spaces, zero-width characters and direction marks of U+2000 to U+200F, line separators, the
/// narrow, mathematical and ideographic spaces and the word joiner; 0 if there is none. Layout
/// programs and web pages leave them in moves.
pub(crate) fn odd_space(text: &[u8], at: usize) -> usize {
    match rest(text, at) {
        [0xc2, 0xa0, ..] => 2,
        [0xe2, 0x80, 0x80..=0x8f | 0xa8 | 0xa9 | 0xaf, ..]
        | [0xe2, 0x81, 0x9f | 0xa0, ..]
        | [0xe3, 0x80, 0x80, ..] => 3,
        _ => 0,
    }
}

/// The offset of the first byte at or after `at` that is no blank or tab.
pub(crate) fn skip_blanks(text: &[u8], mut at: usize) -> usize {
    while matches!(byte(text, at), b' ' | b'\t') {
        at += 1;
    }
    at
}

/// The offset of the line end at or after `at`, or the end of the text.
pub(crate) fn line_end(text: &[u8], at: usize) -> usize {
    memchr2(b'\n', b'\r', rest(text, at)).map_or(text.len(), |found| at + found)
}

/// The UTF-8 byte order mark.
pub(crate) const BOM: &[u8] = b"\xef\xbb\xbf";

/// Whether the white space before `at` holds a line end, or the text begins
/// there. A byte order mark counts as white space.
fn line_start(text: &[u8], at: usize) -> Option<usize> {
    let mut at = at;
    loop {
        let before = text.get(..at)?;
        match before.last() {
            None | Some(b'\n' | b'\r') => return Some(at),
            Some(b' ' | b'\t') => at -= 1,
            Some(_) if before.ends_with(BOM) => at -= BOM.len(),
            Some(_) => return None,
        }
    }
}

/// Whether only blanks stand between `at` and the start of its line.
pub(crate) fn begins_line(text: &[u8], at: usize) -> bool {
    line_start(text, at).is_some()
}

/// Whether `at` begins a line and the line before it is blank, or there is none.
pub(crate) fn after_blank_line(text: &[u8], at: usize) -> bool {
    let Some(start) = line_start(text, at) else {
        return false;
    };
    let before = rest_before(text, start);
    let before = match before {
        [head @ .., b'\r', b'\n'] | [head @ .., b'\n' | b'\r'] => head,
        _ => return true,
    };
    line_start(before, before.len()).is_some()
}

fn rest_before(text: &[u8], at: usize) -> &[u8] {
    text.get(..at).unwrap_or_default()
}

const ROSTER: [&[u8]; 9] = [
    b"Event", b"Site", b"Date", b"Round", b"White", b"Black", b"Result", b"FEN", b"SetUp",
];

pub(crate) const fn is_tag_name_byte(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'+' | b'#' | b'=' | b':' | b'-')
}

/// The name of the tag pair that seems to begin with the bracket at `at`:
/// `[Name "`, or one of the best known names without the quote.
fn tag_name(text: &[u8], at: usize) -> Option<&[u8]> {
    let start = skip_blanks(text, at + 1);
    let mut end = start;
    while is_tag_name_byte(byte(text, end)) {
        end += 1;
    }
    let name = text.get(start..end).filter(|name| !name.is_empty())?;
    let behind = skip_blanks(text, end);
    let quoted = byte(text, behind) == b'"';
    let known = behind > end && ROSTER.contains(&name);
    (quoted || known).then_some(name)
}

/// Whether the tags of a game begin with the bracket at `at`, given that
/// movetext stands before it: a tag pair at the start of a line.
pub(crate) fn is_game_start(text: &[u8], at: usize) -> bool {
    byte(text, at) == b'[' && begins_line(text, at) && tag_name(text, at).is_some()
}

/// Whether a game begins with the bracket at `at` even if a brace is open: an
/// Event tag at the start of a line, or any tag pair behind a blank line.
///
/// This is what makes an unclosed comment end at the next game.
pub(crate) fn is_sure_game_start(text: &[u8], at: usize) -> bool {
    is_game_start(text, at)
        && (after_blank_line(text, at) || tag_name(text, at) == Some(b"Event".as_slice()))
}

/// Whether an Event tag behind a blank line begins with the bracket at `at`:
/// the start of the next game even where the last one had tags only.
pub(crate) fn is_event_start(text: &[u8], at: usize) -> bool {
    matches!(byte(text, at + 1), b'E' | b' ' | b'\t')
        && is_game_start(text, at)
        && tag_name(text, at) == Some(b"Event".as_slice())
        && after_blank_line(text, at)
}

/// A tag pair as far as it can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RawTag {
    pub(crate) name: (usize, usize),
    pub(crate) value: (usize, usize),
    pub(crate) escaped: bool,
    pub(crate) broken: bool,
    /// Offset behind the tag.
    pub(crate) end: usize,
}

/// Reads the tag pair whose bracket opens at `open`.
///
/// It never reads past the next opening bracket more than once, so that a text
/// of nothing but broken tags takes linear time.
pub(crate) fn read_tag(text: &[u8], open: usize) -> RawTag {
    let name_start = skip_space(text, open + 1);
    let mut name_end = name_start;
    while is_tag_name_byte(byte(text, name_end)) {
        name_end += 1;
    }
    let name = (name_start, name_end);
    let quote = skip_space(text, name_end);
    if byte(text, quote) != b'"' {
        return unquoted(text, name);
    }

    let start = quote + 1;
    let mut escaped = false;
    let mut at = start;
    let close = loop {
        let Some(found) = memchr3(b'"', b'\\', b'\n', rest(text, at)) else {
            break None;
        };
        at += found;
        match byte(text, at) {
            b'"' => break Some(at),
            b'\n' => break None,
            _ if matches!(byte(text, at + 1), b'"' | b'\\') => {
                escaped = true;
                at += 2;
            }
            _ => at += 1,
        }
    };
    if let Some(close) = close {
        let bracket = skip_space(text, close + 1);
        if byte(text, bracket) == b']' {
            return RawTag {
                name,
                value: (start, close),
                escaped,
                broken: name_start == name_end,
                end: bracket + 1,
            };
        }
    }
    broken_quotes(text, name, start, close, escaped)
}

/// A tag whose value begins with a quote but does not end with `"]`.
fn broken_quotes(
    text: &[u8],
    name: (usize, usize),
    start: usize,
    close: Option<usize>,
    escaped: bool,
) -> RawTag {
    // The quote may have been found behind a lone CR, which ends the line too. Its
    // line is not searched further: a line may be long and hold many tags.
    let value = text.get(start..close.unwrap_or(text.len()));
    let line = memchr2(b'\n', b'\r', value.unwrap_or_default()).map(|found| start + found);
    let close = close.filter(|_| line.is_none());
    let limit = line.or(close).unwrap_or(text.len());
    let inside = text.get(start..limit).unwrap_or_default();
    let (value_end, end) = if let Some(bracket) = memchr(b']', inside) {
        // The closing quote is missing; a quote further on belongs to the next tag.
        (start + bracket, start + bracket + 1)
    } else if let Some(close) = close {
        // Either quotes inside the value, or a missing bracket.
        let behind = rest(text, close + 1);
        let stop = memchr3(b'[', b'\n', b'\r', behind).unwrap_or(behind.len());
        let behind = behind.get(..stop).unwrap_or_default();
        match memchr::memrchr(b']', behind) {
            Some(bracket) => {
                let value = behind.get(..bracket).unwrap_or_default();
                let value_end =
                    memchr::memrchr(b'"', value).map_or(close + 1 + bracket, |at| close + 1 + at);
                (value_end, close + 1 + bracket + 1)
            }
            None => (close, close + 1),
        }
    } else {
        (limit, limit)
    };
    RawTag {
        name,
        value: (start, value_end),
        escaped,
        broken: true,
        end,
    }
}

/// A tag without a quote before its value.
fn unquoted(text: &[u8], name: (usize, usize)) -> RawTag {
    let start = skip_blanks(text, name.1);
    let behind = rest(text, start);
    let mut stop = 0;
    while let Some(&byte) = behind.get(stop) {
        if matches!(byte, b']' | b'[' | b'\n' | b'\r' | b'{') {
            break;
        }
        stop += 1;
    }
    let mut value = behind.get(..stop).unwrap_or_default();
    while let [head @ .., b' ' | b'\t' | b'"' | b'\''] = value {
        value = head;
    }
    let end = start + stop + usize::from(byte(text, start + stop) == b']');
    RawTag {
        name,
        value: (start, start + value.len()),
        escaped: false,
        broken: true,
        end,
    }
}
