//! The author's sentence around some words.

use std::ops::Range;

use gainsay_notation::decode;

/// How far a sentence reaches to either side at most, in bytes.
const REACH: usize = 600;

/// Words with what stands around them, blanks made single.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Quoted {
    pub(crate) before: String,
    pub(crate) words: String,
    pub(crate) after: String,
}

impl Quoted {
    /// The sentence that `span` stands in; of movetext the line.
    pub(crate) fn of(text: &[u8], span: Range<usize>) -> Self {
        let end = span.end.min(text.len());
        let start = span.start.min(end);
        let before = text.get(start.saturating_sub(REACH)..start);
        let after = text.get(end..text.len().min(end + REACH));
        let (before, after) = (before.unwrap_or_default(), after.unwrap_or_default());
        let prose = is_prose(before, after);
        Self {
            before: plain(&before[begin(before, prose)..]),
            words: plain(text.get(start..end).unwrap_or_default()),
            after: plain(&after[..finish(after, prose)]),
        }
    }
}

/// Whether the place between two stretches is within a comment, or in prose that stands by
/// itself. No game goes on behind a blank line.
fn is_prose(before: &[u8], after: &[u8]) -> bool {
    let is_blank = |text: &[u8], at: &usize| text[*at] == b'\n' && is_blank_behind(text, *at);
    let from = (0..before.len()).rev().find(|at| is_blank(before, at));
    let to = (0..after.len()).find(|at| is_blank(after, at));
    let before = &before[from.unwrap_or_default()..];
    let after = &after[..to.unwrap_or(after.len())];
    let last = memchr::memrchr2(b'{', b'}', before).map(|at| before[at]);
    let next = memchr::memchr2(b'{', b'}', after).map(|at| after[at]);
    match (last, next) {
        (Some(brace), _) => brace == b'{',
        (None, Some(brace)) => brace == b'}',
        (None, None) => {
            // Moves and their numbers have digits, words have none.
            let words = [before, after]
                .into_iter()
                .flat_map(|text| text.split(u8::is_ascii_whitespace));
            let words = words.filter(|word| !word.is_empty());
            let (moves, others): (Vec<_>, Vec<_>) =
                words.partition(|word| word.iter().any(u8::is_ascii_digit));
            moves.len() <= others.len()
        }
    }
}

/// Where the sentence begins.
fn begin(before: &[u8], prose: bool) -> usize {
    let stop = |at: usize| {
        let byte = before[at];
        if !prose {
            return byte == b'\n';
        }
        matches!(byte, b'{' | b'}')
            || byte == b'\n' && is_blank_behind(before, at)
            || ends_sentence(before, at)
    };
    let found = (0..before.len()).rev().find(|&at| stop(at));
    found.map_or_else(|| char_start(before, 0), |at| at + 1)
}

/// Where it ends.
fn finish(after: &[u8], prose: bool) -> usize {
    for (at, &byte) in after.iter().enumerate() {
        let end = if prose {
            matches!(byte, b'{' | b'}') || byte == b'\n' && is_blank_behind(after, at)
        } else {
            byte == b'\n'
        };
        if end {
            return at;
        }
        if prose && ends_sentence(after, at) {
            return at + 1;
        }
    }
    // Not within a character.
    (0..4.min(after.len() + 1))
        .map(|back| after.len() - back)
        .find(|&end| std::str::from_utf8(&after[end.saturating_sub(4)..end]).is_ok() || end < 4)
        .unwrap_or(after.len())
}

/// Whether the line behind a line end is blank.
fn is_blank_behind(text: &[u8], at: usize) -> bool {
    let mut behind = text[at + 1..]
        .iter()
        .skip_while(|byte| matches!(byte, b' ' | b'\t' | b'\r'));
    behind.next() == Some(&b'\n')
}

/// Whether a sentence ends with the sign at a place. The point of a move number ends none.
fn ends_sentence(text: &[u8], at: usize) -> bool {
    if !matches!(text[at], b'.' | b'!' | b'?') {
        return false;
    }
    let mut behind = text[at + 1..].iter();
    let blank = behind.next().is_none_or(u8::is_ascii_whitespace);
    let next = behind.find(|byte| !byte.is_ascii_whitespace());
    let starts = next.is_none_or(|byte| !byte.is_ascii_lowercase());
    let number = text[at] == b'.'
        && at
            .checked_sub(1)
            .is_some_and(|at| text[at].is_ascii_digit());
    blank && starts && !(number && is_move_behind(&text[at + 1..]))
}

/// Whether the next word looks like a move: it has a digit, or castles.
fn is_move_behind(text: &[u8]) -> bool {
    let text = text.trim_ascii_start();
    let word = text
        .split(u8::is_ascii_whitespace)
        .next()
        .unwrap_or_default();
    word.iter().any(u8::is_ascii_digit) || word.starts_with(b"O-O")
}

/// The first place from `at` on that is not within a character.
fn char_start(text: &[u8], at: usize) -> usize {
    let inside = |byte: &&u8| (0x80..0xc0).contains(*byte);
    at + text[at..].iter().take(3).take_while(inside).count()
}

/// A text with single blanks, those at its ends kept.
fn plain(text: &[u8]) -> String {
    let text = decode(text);
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        let c = if c.is_whitespace() || c.is_control() {
            ' '
        } else {
            c
        };
        if c != ' ' || !plain.ends_with(' ') {
            plain.push(c);
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quoted(text: &str, words: &str) -> String {
        let start = text.find(words).expect("the words");
        let Quoted {
            before,
            words,
            after,
        } = Quoted::of(text.as_bytes(), start..start + words.len());
        format!("{}|{words}|{}", before.trim_start(), after.trim_end())
    }

    #[test]
    fn a_sentence_ends_at_its_signs_and_braces() {
        for (text, words, wanted) in [
            (
                "1. e4 {All is well. Now 24. Qg7 is mate! So it ends.} e5",
                "is mate",
                "Now 24. Qg7 |is mate|!",
            ),
            (
                "1. e4 {Mate in 2. Then\nBlack resigns} e5",
                "Black resigns",
                "Then |Black resigns|",
            ),
            (
                "1. e4 {A} e5 2. Ke3\n3. d4 {B}",
                "Ke3",
                "1. e4 {A} e5 2. |Ke3|",
            ),
            (
                "1. e4 {A} e5 *\n```\n\nBut after 3.Bc4 Nf6 it\nis no capture.",
                "Nf6",
                "But after 3.Bc4 |Nf6| it is no capture.",
            ),
            ("1. e4 e5\n2. Ke3 Ke6\n3. d4 d5", "Ke3", "2. |Ke3| Ke6"),
            (
                "The first.\n\nThe second one is\r\nlong and the pin holds\r\n\r\nThe third.",
                "pin",
                "The second one is long and the |pin| holds",
            ),
        ] {
            assert_eq!(quoted(text, words), wanted);
        }
    }

    #[test]
    fn long_text_is_cut_between_characters() {
        let text = "é".repeat(1000);
        let Quoted {
            before,
            words,
            after,
        } = Quoted::of(text.as_bytes(), 1000..1002);
        assert!(!before.contains('\u{fffd}') && !after.contains('\u{fffd}'));
        assert_eq!(words, "é");
    }
}
