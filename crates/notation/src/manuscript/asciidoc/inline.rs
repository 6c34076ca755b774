//! What stands in a line of AsciiDoc.

use std::ops::Range;

use super::super::veil::Veil;
use crate::bytes::byte;

/// No sign of the format is longer.
const LONGEST: usize = 1000;

/// Shows the words of a line.
pub(super) fn show(veil: &mut Veil<'_>, line: Range<usize>, in_table: bool) {
    let text = veil.text();
    let Some(text) = text.get(..line.end) else {
        return;
    };
    // A plus behind a blank at the end breaks the line.
    let end = match text.get(line.clone()).unwrap_or_default().trim_ascii_end() {
        [.., b' ', b'+'] => line.start + text[line.clone()].trim_ascii_end().len() - 1,
        _ => line.end,
    };
    let text = text.get(..end).unwrap_or(text);
    let mut from = line.start;
    let mut at = line.start;
    while at < end {
        let Some(sign) = sign(text, line.start, at, in_table) else {
            at += 1;
            continue;
        };
        veil.keep(from, at);
        match sign {
            Sign::Style(length) => at += length,
            Sign::Break(length) => {
                veil.part();
                at += length;
            }
            Sign::Shown(length, shown) => {
                veil.put(at, at + length, shown);
                at += length;
            }
            Sign::Words { length, words } => {
                let note = text
                    .get(at..words.start)
                    .is_some_and(|name| name.starts_with(b"footnote"));
                if note {
                    veil.put(at, words.start, b"(");
                }
                veil.keep(words.start, words.end);
                if note {
                    veil.put(words.end, at + length, b")");
                }
                at += length;
            }
        }
        from = at;
    }
    veil.keep(from, end);
    veil.part();
}

/// A sign of the format, with how many bytes it has.
enum Sign {
    /// It changes how letters look.
    Style(usize),
    /// It parts words.
    Break(usize),
    /// It prints this.
    Shown(usize, &'static [u8]),
    /// Of it these words are printed.
    Words { length: usize, words: Range<usize> },
}

fn sign(text: &[u8], line: usize, at: usize, in_table: bool) -> Option<Sign> {
    let before = if at > line { byte(text, at - 1) } else { b' ' };
    let behind = byte(text, at + 1);
    let rest = text.get(at..)?;
    let rest = rest.get(..LONGEST).unwrap_or(rest);
    match byte(text, at) {
        b'*' | b'_' | b'`' => {
            let opens = !is_word(before) && behind > b' ';
            let closes = before > b' ' && !is_word(behind);
            (opens || closes).then_some(Sign::Style(1))
        }
        b'\\' if matches!(behind, b'*' | b'_' | b'`' | b'{' | b'<') => Some(Sign::Style(1)),
        b'|' if in_table => Some(Sign::Break(1)),
        b':' if rest.trim_ascii_end() == b"::" => Some(Sign::Break(rest.len())),
        b'{' => {
            let end = rest.iter().take(30).position(|&byte| byte == b'}')?;
            let shown: &[u8] = match rest.get(1..end)? {
                b"nbsp" | b"sp" => b" ",
                b"plus" => b"+",
                b"asterisk" => b"*",
                b"hash" => b"#",
                b"empty" | b"wj" | b"zwsp" => return Some(Sign::Style(end + 1)),
                name if name
                    .iter()
                    .all(|byte| byte.is_ascii_alphanumeric() || *byte == b'-') =>
                {
                    return Some(Sign::Break(end + 1));
                }
                _ => return None,
            };
            Some(Sign::Shown(end + 1, shown))
        }
        b'<' if behind == b'<' => {
            let end = memchr::memmem::find(rest, b">>")?;
            let comma = memchr::memchr(b',', rest.get(..end)?);
            Some(Sign::Words {
                length: end + 2,
                words: at + comma.map_or(end, |comma| comma + 1)..at + end,
            })
        }
        b'h' | b'l' | b'x' | b'i' | b'f' | b'm' | b'k' | b'p' if !is_word(before) => link(rest, at),
        _ => None,
    }
}

/// A link or another macro with words in brackets.
fn link(rest: &[u8], at: usize) -> Option<Sign> {
    const NAMES: [&[u8]; 9] = [
        b"https://",
        b"http://",
        b"link:",
        b"xref:",
        b"image:",
        b"footnote:",
        b"mailto:",
        b"kbd:",
        b"pass:",
    ];
    let name = NAMES.into_iter().find(|name| rest.starts_with(name))?;
    let target = rest.get(name.len()..)?;
    let ends = |byte: &u8| matches!(byte, b'[' | b' ' | b'\t');
    let open = name.len() + target.iter().position(ends).unwrap_or(target.len());
    if rest.get(open) != Some(&b'[') {
        return Some(Sign::Break(open)).filter(|_| name.ends_with(b"//"));
    }
    let inside = rest.get(open + 1..)?;
    let close = memchr::memchr(b']', inside)?;
    let words = &inside[..close];
    // Only the first attribute of a picture is printed.
    let printed = match name {
        b"image:" => memchr::memchr(b',', words).unwrap_or(close),
        _ => close,
    };
    let quoted = words.starts_with(b"\"") && words.ends_with(b"\"") && printed > 1;
    let words = match quoted {
        true => at + open + 2..at + open + printed,
        false => at + open + 1..at + open + 1 + printed,
    };
    Some(Sign::Words {
        length: open + 1 + close + 1,
        words,
    })
}

const fn is_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte >= 0x80
}
