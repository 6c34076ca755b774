//! What the headings of a text tell of where it begins and ends.

use crate::tasks::is_of_solutions;

/// What headings tell of where a text begins and ends.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Ends {
    /// Whether one of them stands at the end of a book.
    pub(crate) closes: bool,
    /// How many of them number a chapter, and whether the first of them has the number 1.
    chapters: u32,
    begins: bool,
}

impl Ends {
    /// Takes note of a heading.
    pub(crate) fn hear(&mut self, words: &[u8]) {
        self.closes |= closes_a_book(words);
        if let Some(first) = numbers_a_chapter(words) {
            self.begins |= first && self.chapters == 0;
            self.chapters += 1;
        }
    }

    /// Whether the headings number one chapter alone, or do not begin with the first.
    pub(crate) const fn is_one_chapter(&self) -> bool {
        self.chapters == 1 || self.chapters > 1 && !self.begins
    }
}

/// Whether a heading stands at the end of a book.
fn closes_a_book(words: &[u8]) -> bool {
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
fn numbers_a_chapter(words: &[u8]) -> Option<bool> {
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
}
