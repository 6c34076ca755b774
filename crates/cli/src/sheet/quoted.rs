//! The author's sentence around some words.

use std::ops::Range;

use gainsay_notation::decode;

/// How far a sentence reaches to either side at most, in bytes.
const REACH: usize = 600;

/// So many words of movetext stand on either side, numbers counted.
const BESIDE: usize = 4;

/// Stands where something is cut.
const MORE: &str = "\u{2026}";

/// Words with what stands around them, blanks made single.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Quoted {
    pub(crate) before: String,
    pub(crate) words: String,
    pub(crate) after: String,
}

impl Quoted {
    /// The sentence that `span` stands in; of movetext the moves beside it, of a tag the line.
    pub(crate) fn of(text: &[u8], span: Range<usize>) -> Self {
        let end = span.end.min(text.len());
        let start = span.start.min(end);
        let before = text.get(start.saturating_sub(REACH)..start);
        let after = text.get(end..text.len().min(end + REACH));
        let (mut before, mut after) = (before.unwrap_or_default(), after.unwrap_or_default());
        // Cut at blanks, so that no word and no character is cut.
        let cut = [start > REACH, text.len() - end > REACH];
        if cut[0] {
            let blank = before.iter().position(u8::is_ascii_whitespace);
            before = &before[blank.unwrap_or(before.len())..];
        }
        if cut[1] {
            let blank = after.iter().rposition(u8::is_ascii_whitespace);
            after = &after[..blank.map_or(0, |at| at + 1)];
        }
        let words = plain(text.get(start..end).unwrap_or_default());
        let line = memchr::memrchr(b'\n', before).map_or(0, |at| at + 1);
        let first = before[line..]
            .iter()
            .chain(text.get(start..end).unwrap_or_default());
        if first.take(1).eq(b"[") {
            let rest = memchr::memchr(b'\n', after).unwrap_or(after.len());
            return Self {
                before: plain(&before[line..]),
                words,
                after: plain(&after[..rest]),
            };
        }
        if !is_prose(before, after) {
            return Self {
                before: moves_before(before),
                words,
                after: moves_after(after),
            };
        }
        let from = begin(before);
        let to = finish(after);
        Self {
            before: match from {
                Some(from) => plain(&before[from..]),
                None if cut[0] => format!("{MORE}{}", plain(before)),
                None => plain(before),
            },
            words,
            after: match to {
                Some(to) => plain(&after[..to]),
                None if cut[1] => format!("{}{MORE}", plain(after)),
                None => plain(after),
            },
        }
    }
}

/// The moves before a place in movetext, up to the next comment or side-line.
fn moves_before(before: &[u8]) -> String {
    let stop = (0..before.len())
        .rev()
        .find(|&at| is_bound(before[at]) || before[at] == b'\n' && is_blank_behind(before, at));
    let text = plain(&before[stop.map_or(0, |at| at + 1)..]);
    // What ends with a blank ends with an empty word.
    let words: Vec<&str> = text.trim_start().split(' ').collect();
    let kept = BESIDE + usize::from(text.ends_with(' '));
    let from = words.len().saturating_sub(kept);
    let more = from > 0 || stop.is_some_and(|at| is_bound(before[at]));
    let more = if more {
        format!("{MORE} ")
    } else {
        String::new()
    };
    format!("{more}{}", words[from..].join(" "))
}

/// The moves behind it.
fn moves_after(after: &[u8]) -> String {
    let stop = (0..after.len())
        .find(|&at| is_bound(after[at]) || after[at] == b'\n' && is_blank_behind(after, at));
    let text = plain(&after[..stop.unwrap_or(after.len())]);
    let words: Vec<&str> = text.trim_end().split(' ').collect();
    let kept = BESIDE + usize::from(text.starts_with(' '));
    let to = words.len().min(kept);
    let more = to < words.len() || stop.is_some_and(|at| is_bound(after[at]));
    let more = if more {
        format!(" {MORE}")
    } else {
        String::new()
    };
    format!("{}{more}", words[..to].join(" "))
}

/// Whether a comment or a side-line begins or ends with a sign.
const fn is_bound(byte: u8) -> bool {
    matches!(byte, b'{' | b'}' | b'(' | b')')
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

/// Where the sentence begins, if it does within reach.
fn begin(before: &[u8]) -> Option<usize> {
    let stop = |at: &usize| {
        matches!(before[*at], b'{' | b'}')
            || before[*at] == b'\n' && is_blank_behind(before, *at)
            || ends_sentence(before, *at)
    };
    (0..before.len()).rev().find(stop).map(|at| at + 1)
}

/// Where it ends, if it does within reach.
fn finish(after: &[u8]) -> Option<usize> {
    (0..after.len()).find_map(|at| {
        let byte = after[at];
        if matches!(byte, b'{' | b'}') || byte == b'\n' && is_blank_behind(after, at) {
            return Some(at);
        }
        // At the end of what is in reach nobody knows how it goes on.
        ends_sentence(after, at).then_some(at + 1)
    })
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
                "\u{2026} e5 2. |Ke3| 3. d4 \u{2026}",
            ),
            (
                "1. e4 {A} e5 *\n```\n\nBut after 3.Bc4 Nf6 it\nis no capture.",
                "Nf6",
                "But after 3.Bc4 |Nf6| it is no capture.",
            ),
            (
                "1. e4 e5\n2. Ke3 Ke6\n3. d4 d5 4. c4 c5",
                "Ke3",
                "1. e4 e5 2. |Ke3| Ke6 3. d4 d5 \u{2026}",
            ),
            (
                "5. d3 {Well.} 7. O-O a6? {A second pawn move.} (7... Nf6) 8. Nxe5",
                "?",
                "\u{2026} 7. O-O a6|?| \u{2026}",
            ),
            (
                "[Event \"A (long) one\"]\n[Date \"1996\"]\n\n1. e4 *",
                "(long)",
                "[Event \"A |(long)| one\"]",
            ),
            ("[Event \"A\"]\n[Date]\n\n1. e4 *", "[Date]", "|[Date]|"),
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
    fn long_text_is_cut_between_words() {
        let text = format!("{} pin {}", "ééé ".repeat(300), "üüü ".repeat(300));
        let start = text.find("pin").expect("the word");
        let Quoted {
            before,
            words,
            after,
        } = Quoted::of(text.as_bytes(), start..start + 3);
        assert!(before.starts_with("\u{2026} ééé "), "{before}");
        assert!(after.ends_with(" üüü \u{2026}"), "{after}");
        assert!(!before.contains('\u{fffd}') && !after.contains('\u{fffd}'));
        assert_eq!(words, "pin");
    }
}
