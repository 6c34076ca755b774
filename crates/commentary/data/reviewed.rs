//! The files of reviewed words, as far as they are told without their classes.

use std::collections::BTreeMap;

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

#[cfg(test)]
mod tests {
    use super::*;

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
