//! The paragraphs of prose between games and positions.

use std::ops::Range;

use crate::question::LONGEST_COMMENT;

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
            parts.head(start, text);
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
        if let Some(heading) = underlined(text).or_else(|| is_in_capitals(text).then_some(text)) {
            let blank = text.len() - text.trim_ascii_start().len();
            return self.head(start + blank, heading.trim_ascii());
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
    fn head(&mut self, at: usize, line: &'a [u8]) {
        let signs = |byte: &&u8| matches!(byte, b'#' | b'*' | b'_' | b' ');
        let length = line.iter().take_while(signs).count();
        self.headings.push(Heading {
            paragraphs: self.paragraphs.len(),
            start: at + length,
            words: line.get(length..).unwrap_or_default(),
        });
    }
}

/// The words of a heading with a line drawn below it.
fn underlined(text: &[u8]) -> Option<&[u8]> {
    let mut lines = text.trim_ascii().split(|&byte| byte == b'\n');
    let words = lines.next()?;
    let line = lines.next()?.trim_ascii();
    let drawn = line.len() > 2
        && matches!(line.first(), Some(b'=' | b'-' | b'~'))
        && line.iter().all(|byte| line.first() == Some(byte));
    (drawn && lines.next().is_none()).then_some(words)
}

/// The items of a list that is numbered, each with the lines that go on with it, or the whole paragraph.
fn items(text: &[u8]) -> Vec<Range<usize>> {
    let mut starts = vec![0];
    let mut last = numbered(text).map(|label| label.number);
    let mut at = 0;
    for line in text.split_inclusive(|&byte| byte == b'\n') {
        let number = numbered(line).map(|label| label.number);
        if at > 0 && number.is_some() && last.is_some() && number > last {
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

/// A number that an author gives to a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Label {
    pub(crate) number: u32,
    /// Whether it is called a diagram.
    pub(crate) diagram: bool,
    /// How many bytes it takes, with what closes it.
    pub(crate) length: usize,
}

/// The number that an author gives to an exercise or diagram at the start of `words`: "7.", "7)",
/// "Exercise 7", "No. 7:", "**7**".
pub(crate) fn numbered(words: &[u8]) -> Option<Label> {
    const WORDS: [&[u8]; 12] = [
        b"exercise",
        b"diagram",
        b"diag",
        b"problem",
        b"position",
        b"puzzle",
        b"study",
        b"number",
        b"no",
        b"solution",
        b"answer",
        b"test",
    ];
    let skip =
        |text: &'_ [u8], signs: &[u8]| text.iter().take_while(|byte| signs.contains(byte)).count();
    let mut rest = words.get(skip(words, b"*_#([> \t\r\n-")..)?;
    let mut named = false;
    let mut diagram = false;
    // "Solution to exercise 7"
    for _ in 0..3 {
        let length = rest
            .iter()
            .take_while(|byte| byte.is_ascii_alphabetic())
            .count();
        let (word, behind) = rest.split_at_checked(length)?;
        let lower = word.to_ascii_lowercase();
        let known = WORDS.contains(&lower.as_slice());
        let joins = named && matches!(lower.as_slice(), b"to" | b"of");
        if !(known || joins) {
            break;
        }
        named = true;
        diagram |= lower.starts_with(b"diag");
        rest = behind.get(skip(behind, b". \t#")..)?;
    }
    let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let (number, behind) = rest.split_at_checked(digits)?;
    let number = std::str::from_utf8(number).ok()?.parse().ok()?;
    let ends = match behind {
        [] => true,
        // "7. Rd8 mate" is a move of a game, and "7.Rd8" too; "7. 1.Rd8" and "7. The key" are not.
        [b'.', blank, ..] if blank.is_ascii_whitespace() => named || !is_move(behind.get(1..)?),
        [b'.'] => true,
        [b')' | b':' | b']', ..] => true,
        [b'.', b'*' | b'_', ..] | [b'*' | b'_', ..] => true,
        [blank, ..] => named && blank.is_ascii_whitespace(),
    };
    let closing = behind
        .iter()
        .take_while(|byte| b".):]*_ ".contains(byte))
        .count();
    ends.then_some(Label {
        number,
        diagram,
        length: words.len() - behind.len() + closing,
    })
}

/// Whether a move of English letters comes next.
fn is_move(text: &[u8]) -> bool {
    let text = text.trim_ascii_start();
    if text.starts_with(b".") {
        return true;
    }
    let length = text
        .iter()
        .take_while(|byte| !byte.is_ascii_whitespace())
        .count();
    let word = text.get(..length).unwrap_or_default();
    let end = word
        .iter()
        .rposition(|byte| !b"!?.,;:".contains(byte))
        .map_or(0, |at| at + 1);
    let word = word.get(..end).unwrap_or_default();
    gainsay_notation::parse_move(word, gainsay_notation::Language::English).is_some()
}

/// Whether a heading stands over solutions.
pub(crate) fn is_of_solutions(words: &[u8]) -> bool {
    const WORDS: [&str; 10] = [
        "solution",
        "answers",
        "answer key",
        "lösung",
        "soluci",
        "corrigé",
        "réponses",
        "решени",
        "ответ",
        "respuestas",
    ];
    let lower = gainsay_notation::decode(words).to_lowercase();
    WORDS.iter().any(|word| lower.contains(word))
}

/// Whether a heading stands at the end of a book.
pub(crate) fn closes_a_book(words: &[u8]) -> bool {
    const WORDS: [&str; 6] = [
        "index",
        "bibliography",
        "epilogue",
        "afterword",
        "the end",
        "list of games",
    ];
    let lower = gainsay_notation::decode(words).trim().to_lowercase();
    WORDS.iter().any(|word| lower.starts_with(word)) || is_of_solutions(words)
}

/// Whether a heading numbers a chapter, "Chapter II", and if so whether it is the first one.
pub(crate) fn numbers_a_chapter(words: &[u8]) -> Option<bool> {
    const WORDS: [&str; 6] = ["chapter", "part", "lesson", "unit", "section", "worksheet"];
    let lower = gainsay_notation::decode(words).to_lowercase();
    let mut words = lower.split(|letter: char| !letter.is_alphanumeric());
    let mut words = words.by_ref().filter(|word| !word.is_empty());
    let (first, number) = (words.next()?, words.next()?);
    let numbered = number.bytes().all(|byte| byte.is_ascii_digit())
        || number.bytes().all(|byte| b"ivxl".contains(&byte))
        || matches!(number, "one" | "two" | "three" | "four" | "five" | "six");
    (WORDS.contains(&first) && numbered).then_some(matches!(number, "1" | "i" | "one"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_exercises_are_no_moves() {
        for (words, number) in [
            ("7. White to move.", Some(7)),
            ("7) 1.Rd8#", Some(7)),
            ("7. 1.Rd8#", Some(7)),
            ("**7.** 1.Rd8#", Some(7)),
            ("Exercise 12", Some(12)),
            ("Solution to exercise 3: 1.Rd8#", Some(3)),
            ("Diagram 4. The idea", Some(4)),
            ("No. 9", Some(9)),
            ("7. Rd8 mates.", None),
            ("7.Rd8 mates.", None),
            ("7. ... Rd8 mates.", None),
            ("1990 was a good year", None),
            ("Solutions", None),
            ("To 7", None),
        ] {
            let found = numbered(words.as_bytes()).map(|label| label.number);
            assert_eq!(found, number, "{words}");
        }
    }

    #[test]
    fn headings_tell_where_a_book_begins_and_ends() {
        for (words, closes, first) in [
            ("Solutions", true, None),
            ("Index of players", true, None),
            ("CHAPTER II. SIX IDEAS", false, Some(false)),
            ("Chapter 1", false, Some(true)),
            ("Part One", false, Some(true)),
            ("Parting shots", false, None),
            ("Part of the plan", false, None),
        ] {
            let words = words.as_bytes();
            assert_eq!(
                (closes_a_book(words), numbers_a_chapter(words)),
                (closes, first)
            );
        }
    }

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
