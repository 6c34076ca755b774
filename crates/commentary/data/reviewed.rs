//! The files of reviewed words, as far as they are told without their classes.

use std::collections::{BTreeMap, BTreeSet};

use super::mistake::{Mistake, Mistakes, What};
use super::words::folded;

/// Looks at `class: words`, a line each: no word is unreadable, and none stands twice.
pub(crate) fn check_reviewed(file: &str, text: &str) -> Vec<Mistake> {
    let mut mistakes = Mistakes::of(file);
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for (text, line) in text.lines().zip(1..) {
        let text = text.trim();
        if text.is_empty() || text.starts_with('#') {
            continue;
        }
        let Some((_, words)) = text.split_once(':') else {
            mistakes.add(line, What::NoClass(text.to_owned()));
            continue;
        };
        for word in words.split_whitespace() {
            for part in word.splitn(2, '_') {
                mistakes.keep(line, folded(part));
            }
            if let Some(first) = seen.insert(word, line) {
                let name = word.to_owned();
                mistakes.add(line, What::Twice { name, first });
            }
        }
    }
    mistakes.found
}

/// The words of such a file, two that stand behind each other as they are written there.
pub(crate) fn reviewed_words(text: &str) -> BTreeSet<&str> {
    numbered(text).map(|(_, word)| word).collect()
}

/// Looks for words of a file that `others`, each a file and its words, know already: they keep
/// the meaning that they have there.
pub(crate) fn check_known(
    file: &str,
    text: &str,
    others: &[(&str, BTreeSet<&str>)],
) -> Vec<Mistake> {
    let mut mistakes = Mistakes::of(file);
    for (line, word) in numbered(text) {
        for (other, _) in others.iter().filter(|(_, words)| words.contains(word)) {
            let (name, file) = (word.to_owned(), (*other).to_owned());
            mistakes.add(line, What::Known { name, file });
        }
    }
    mistakes.found
}

/// The words, each with the number of its line.
fn numbered(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let lines = text.lines().zip(1..);
    let lines = lines.filter(|(text, _)| !text.trim_start().starts_with('#'));
    let lines = lines.filter_map(|(text, line)| Some((line, text.split_once(':')?.1)));
    lines.flat_map(|(line, words)| words.split_whitespace().map(move |word| (line, word)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_adverbs_are_made_as_their_review_says() {
        let made = reviewed_words(include_str!("../lang/en.adverbs.txt"));
        let review = include_str!("../lang/en.adverbs.review.txt");
        let of_verdict = |verdict: &str| -> BTreeSet<&str> {
            let lines = review.lines().filter(|line| line.starts_with(verdict));
            lines.flat_map(reviewed_words).collect()
        };
        let (taken, left_out) = (of_verdict("in "), of_verdict("out "));
        assert!(taken.len() > 100 && left_out.len() > 500);
        let lost: Vec<_> = taken.difference(&made).collect();
        assert!(lost.is_empty(), "run make_adverbs.py, or strike {lost:?}");
        assert!(left_out.is_disjoint(&made), "run make_adverbs.py");
    }

    #[test]
    fn words_that_are_known_already_are_told() {
        let known = reviewed_words("# clause: boldly\nplain: calmly far_from\n");
        let text = "# head: calmly\n\nplain: ably boldly\nplain: calmly\n";
        let mistakes = check_known("en.adverbs.txt", text, &[("en.reviewed.txt", known)]);
        let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "en.adverbs.txt:4: `calmly` has its meaning in en.reviewed.txt already: leave it out here"
            ]
        );
    }

    #[test]
    fn mistakes_are_told_with_their_lines() {
        let text = "# head\nplain: calmly far_from\ncalmly\nclause: Éclat\nplain: so calmly\n";
        let mistakes = check_reviewed("en.reviewed.txt", text);
        let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "en.reviewed.txt:3: `calmly` has no class: write `plain: words`, `clause: words` or the like",
                "en.reviewed.txt:4: `Éclat` cannot be read: write small letters without accents (`laufer`, `dont` as `don't`), 16 at most",
                "en.reviewed.txt:5: `calmly` stands in line 2 already: add to that line",
            ]
        );
    }
}
