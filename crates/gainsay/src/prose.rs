//! The paragraphs of prose between games and positions.

use std::ops::Range;

use crate::{
    label::{is_move, numbered, numbered_move},
    question::LONGEST_COMMENT,
};

/// A paragraph of a passage.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Paragraph<'a> {
    /// Where it begins in the passage.
    pub(crate) start: usize,
    pub(crate) text: &'a [u8],
    /// How many headings of the passage stand above it.
    pub(crate) headings: u32,
}

/// A heading of a passage.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heading<'a> {
    /// How many paragraphs of the passage stand above it.
    pub(crate) paragraphs: usize,
    /// Where its words begin in the passage.
    pub(crate) start: usize,
    /// Its words, without signs.
    pub(crate) words: &'a [u8],
    /// How deep it stands, from 1; `None` where the text does not say.
    pub(crate) level: Option<u8>,
}

/// The parts of a passage.
#[derive(Clone, Debug, Default)]
pub(crate) struct Parts<'a> {
    pub(crate) paragraphs: Vec<Paragraph<'a>>,
    pub(crate) headings: Vec<Heading<'a>>,
}

/// The parts of a passage. Quotations of code and what is longer than any author writes are left
/// out. Behind a block the first line may be the one that closes it.
pub(crate) fn parts(passage: &[u8], behind: bool) -> Parts<'_> {
    let mut parts = Parts::default();
    let mut start = 0;
    let mut end = 0;
    let mut fenced = false;
    let mut first = behind;
    for line in passage.split_inclusive(|&byte| byte == b'\n' || byte == b'\r') {
        let from = end;
        end += line.len();
        let text = line.trim_ascii();
        let fence = text.starts_with(b"```") || text.starts_with(b"~~~");
        let heading = text.starts_with(b"#") && !fenced;
        if text.is_empty() || heading || fence || fenced {
            parts.add(passage, start, from);
            start = end;
        }
        if heading {
            let start = from + (line.len() - line.trim_ascii_start().len());
            let signs = text.iter().take_while(|&&byte| byte == b'#').count();
            parts.head(start, text, u8::try_from(signs).ok());
        }
        fenced ^= fence && !first;
        first &= text.is_empty();
    }
    parts.add(passage, start, end);
    parts
}

impl<'a> Parts<'a> {
    fn add(&mut self, passage: &'a [u8], start: usize, end: usize) {
        let text = passage.get(start..end).unwrap_or_default();
        if text.trim_ascii().is_empty() || text.len() > LONGEST_COMMENT as usize {
            return;
        }
        let blank = text.len() - text.trim_ascii_start().len();
        if let Some((heading, level)) = underlined(text) {
            return self.head(start + blank, heading.trim_ascii(), Some(level));
        }
        if is_in_capitals(text) {
            return self.head(start + blank, text.trim_ascii(), None);
        }
        let headings = u32::try_from(self.headings.len()).unwrap_or(u32::MAX);
        for item in items(text) {
            self.paragraphs.push(Paragraph {
                start: start + item.start,
                text: text.get(item).unwrap_or_default(),
                headings,
            });
        }
    }

    /// A heading whose line begins at this offset.
    fn head(&mut self, at: usize, line: &'a [u8], level: Option<u8>) {
        let signs = |byte: &&u8| matches!(byte, b'#' | b'*' | b'_' | b' ');
        let length = line.iter().take_while(signs).count();
        self.headings.push(Heading {
            paragraphs: self.paragraphs.len(),
            start: at + length,
            words: line.get(length..).unwrap_or_default(),
            level,
        });
    }
}

/// The words of a heading with a line drawn below it, and its level.
fn underlined(text: &[u8]) -> Option<(&[u8], u8)> {
    let mut lines = text.trim_ascii().split(|&byte| byte == b'\n');
    let words = lines.next()?;
    let line = lines.next()?.trim_ascii();
    let drawn = line.len() > 2
        && matches!(line.first(), Some(b'=' | b'-' | b'~'))
        && line.iter().all(|byte| line.first() == Some(byte));
    let level = if line.starts_with(b"=") { 1 } else { 2 };
    (drawn && lines.next().is_none()).then_some((words, level))
}

/// The items of a list that is numbered, each with the lines that go on with it, the rows of a table,
/// or the whole paragraph.
fn items(text: &[u8]) -> Vec<Range<usize>> {
    let keys = is_list_of_keys(text);
    let label = |line: &[u8]| numbered(line).or_else(|| numbered_move(line).filter(|_| keys));
    let mut starts = vec![0];
    let mut last = label(text).map(|label| (label.series, label.number));
    let mut at = 0;
    for line in text.split_inclusive(|&byte| byte == b'\n') {
        let number = label(line).map(|label| (label.series, label.number));
        let row = line.trim_ascii_start().starts_with(b"|");
        // In the row of a table that a position goes on in, its number stands alone.
        let row = row || is_number(line.trim_ascii());
        if at > 0 && (row || number.is_some() && last.is_some() && number > last) {
            starts.push(at);
            last = number;
        }
        at += line.len();
    }
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(&start, end)| start..end)
        .collect()
}

/// Whether a line has nothing but a number.
fn is_number(line: &[u8]) -> bool {
    let digits = line.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let behind = line.get(digits..).unwrap_or_default();
    (1..=4).contains(&digits) && matches!(behind, [] | [b'.' | b')'])
}

/// Whether lines give one move each behind their numbers, which then are not those of moves:
/// nobody answers.
fn is_list_of_keys(text: &[u8]) -> bool {
    let mut keys = 0;
    for line in text.split(|&byte| byte == b'\n') {
        let Some(label) = numbered_move(line) else {
            continue;
        };
        let behind = line.get(label.length..).unwrap_or_default();
        let mut words = behind.split(u8::is_ascii_whitespace).skip(1);
        if words.next().is_some_and(is_move) {
            return false;
        }
        keys += 1;
    }
    keys > 1
}

/// Whether a paragraph is a heading of a plain text: one short line without a small letter.
fn is_in_capitals(text: &[u8]) -> bool {
    const LONGEST: usize = 80;
    let text = text.trim_ascii();
    let capitals = text.iter().filter(|byte| byte.is_ascii_uppercase()).count();
    text.len() <= LONGEST
        && capitals > 3
        && !text
            .iter()
            .any(|byte| byte.is_ascii_lowercase() || matches!(byte, b'\n' | b'=' | b'-'))
        && text.is_ascii()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_in_capitals_are_headings() {
        let list = parts(
            b"Solutions\n=========\n\n 7. 1.Rd8#\n 8. 1.Kd6! Ke8\n   2.Ke6\n 9. 1.Qf8#\n",
            false,
        );
        let items: Vec<Option<u32>> = (list.paragraphs.iter())
            .map(|item| numbered(item.text).map(|label| label.number))
            .collect();
        assert_eq!(items, [Some(7), Some(8), Some(9)]);
        assert_eq!(list.headings[0].words, b"Solutions");
        let text = "CHAPTER II\n\nTHE OPENING\n\nWords of\nthe text.\n\n# More\n\nO-O\n";
        let parts = parts(text.as_bytes(), false);
        let words: Vec<&[u8]> = parts.headings.iter().map(|heading| heading.words).collect();
        assert_eq!(words, [&b"CHAPTER II"[..], b"THE OPENING", b"More"]);
        let texts: Vec<u32> = parts.paragraphs.iter().map(|one| one.headings).collect();
        assert_eq!(texts, [2, 3]);
    }
}
