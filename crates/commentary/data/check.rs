//! What is missing in the data, or stands there in vain. It stops no build: the tests below tell.

use std::collections::BTreeSet;

use super::blocks::blocks;
use super::claims::{Claim, Claims};
use super::language::Language;
use super::mistake::Mistakes;
use super::pattern::{Element, Pattern};
use crate::set::SET_NAMES;
use crate::slot::Slot;

/// Names that a language does not have, of claims or of sets.
type Names = BTreeSet<String>;

/// The claims that a language has no words for, and the sets of the code that it does not have.
fn missing(language: &Language, claims: &Claims) -> [Names; 2] {
    let worded: BTreeSet<usize> = language.patterns.iter().map(|one| one.claim).collect();
    let unworded = claims.0.iter().zip(0..);
    let unworded = unworded.filter(|(_, number)| !worded.contains(number));
    let had = |name: &&str| language.sets.iter().any(|set| set.name == *name);
    let sets = SET_NAMES.iter().filter(|name| !had(name));
    [
        unworded.map(|(claim, _)| claim.name.clone()).collect(),
        sets.map(|&name| name.to_owned()).collect(),
    ]
}

/// The gaps that `lang/gaps.txt` says a language has.
fn known_gaps(text: &str, code: &str) -> [Names; 2] {
    let mut mistakes = Mistakes::of("lang/gaps.txt");
    let blocks = blocks(text, &mut mistakes);
    assert_eq!(mistakes.found, []);
    ["claims", "sets"].map(|kind| {
        let of_kind = blocks.iter();
        let of_kind = of_kind.filter(|block| (block.keyword, block.name) == (code, kind));
        let names = of_kind.flat_map(|block| block.words());
        names.map(|(_, name)| name.to_owned()).collect()
    })
}

/// What an element can be: a slot, or one of some words.
#[derive(Debug, PartialEq)]
enum Choice<'d> {
    Slot(Slot),
    Words(BTreeSet<&'d str>),
}

impl<'d> Choice<'d> {
    fn of(element: &'d Element, language: &'d Language) -> Self {
        if let Some(slot) = element.slot {
            return Self::Slot(slot);
        }
        let sets = element
            .sets
            .iter()
            .filter_map(|&set| language.sets.get(set));
        let words = sets.flat_map(|set| &set.words).chain(&element.words);
        Self::Words(words.map(String::as_str).collect())
    }

    /// Whether it is there wherever the other is.
    fn covers(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Words(all), Self::Words(some)) => some.is_subset(all),
            _ => self == other,
        }
    }
}

/// The rows of elements that a pattern can be, as what can be left out is there or not.
fn rows(pattern: &Pattern) -> Vec<Vec<&Element>> {
    let mut rows = vec![Vec::new()];
    for element in &pattern.elements {
        let without = if element.optional {
            rows.clone()
        } else {
            Vec::new()
        };
        for row in &mut rows {
            row.push(element);
        }
        rows.extend(without);
    }
    rows
}

/// The patterns that never count, because patterns in front of them match whatever they match.
fn shadowed(language: &Language, claims: &Claims) -> Vec<String> {
    let claim = |pattern: &Pattern| -> Option<&Claim> { claims.0.get(pattern.claim) };
    let mut front: Vec<(Vec<Choice<'_>>, &Pattern)> = Vec::new();
    let mut found = Vec::new();
    for pattern in &language.patterns {
        let of_games = claim(pattern).is_some_and(|claim| claim.of_games);
        let choices: Vec<Vec<Choice<'_>>> = rows(pattern)
            .into_iter()
            .map(|row| {
                let choices = row.into_iter();
                choices
                    .map(|element| Choice::of(element, language))
                    .collect()
            })
            .collect();
        let beats = |row: &[Choice<'_>]| {
            front.iter().find(|(other, by)| {
                let also_of_games = claim(by).is_some_and(|claim| claim.of_games);
                other.len() == row.len()
                    && of_games == also_of_games
                    && other.iter().zip(row).all(|(all, some)| all.covers(some))
            })
        };
        let beaten: Option<Vec<_>> = choices.iter().map(|row| beats(row)).collect();
        if let Some(&(_, by)) = beaten.and_then(|beaten| beaten.last().copied()) {
            found.push(format!(
                "line {}: `{}` never counts: `{}` in line {} stands in front",
                pattern.line, pattern.text, by.text, by.line
            ));
        }
        // Where a picky claim makes nothing of its slots, others are read.
        if !claim(pattern).is_some_and(|claim| claim.picky) {
            front.extend(choices.into_iter().map(|row| (row, pattern)));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The codes and files of the languages.
    const FILES: [(&str, &str); 5] = [
        ("en", include_str!("../lang/en.txt")),
        ("de", include_str!("../lang/de.txt")),
        ("es", include_str!("../lang/es.txt")),
        ("fr", include_str!("../lang/fr.txt")),
        ("ru", include_str!("../lang/ru.txt")),
    ];

    fn claims() -> Claims {
        let (claims, mistakes) = Claims::parse("claims.txt", include_str!("../lang/claims.txt"));
        assert_eq!(mistakes, []);
        claims
    }

    fn language(code: &str, text: &str, claims: &Claims) -> Language {
        let (language, mistakes) = Language::parse(code, text, claims);
        assert_eq!(mistakes, []);
        language
    }

    #[test]
    fn every_gap_of_a_language_is_known() {
        let (claims, gaps) = (claims(), include_str!("../lang/gaps.txt"));
        let mut told = Vec::new();
        for (code, text) in FILES {
            let found = missing(&language(code, text, &claims), &claims);
            let known = known_gaps(gaps, code);
            for ((found, known), kind) in found.iter().zip(&known).zip(["claims", "sets"]) {
                let new = found.difference(known);
                told.extend(new.map(|name| {
                    format!(
                        "{code}.txt has no `{name}`: add it, or `{code} {kind}: {name}` to gaps.txt"
                    )
                }));
                let closed = known.difference(found);
                told.extend(closed.map(|name| {
                    format!("{code}.txt has `{name}` now, or there is none: take it from gaps.txt")
                }));
            }
        }
        assert!(told.is_empty(), "{}", told.join("\n"));
    }

    #[test]
    fn every_claim_is_worded_in_some_language() {
        let claims = claims();
        let missing = FILES.map(|(code, text)| {
            let [names, _] = missing(&language(code, text, &claims), &claims);
            names
        });
        let everywhere = missing.into_iter().reduce(|all, its| &all & &its);
        assert_eq!(everywhere, Some(Names::new()));
    }

    #[test]
    fn no_pattern_stands_there_in_vain() {
        let claims = claims();
        for (code, text) in FILES {
            let found = shadowed(&language(code, text, &claims), &claims);
            assert!(found.is_empty(), "lang/{code}.txt\n{}", found.join("\n"));
        }
    }

    #[test]
    fn what_is_in_vain_or_missing_is_found() {
        let (claims, mistakes) = Claims::parse(
            "claims.txt",
            "mate = mate-now\ncheck = checks\ndraw = drawn\nwon = game-won, of games\nhas = has, picky\n",
        );
        assert_eq!(mistakes, []);
        let text = "adjectives: before\ngame: game\nabove: above\nbelow: below\nset is: is was\n\
            claim has:\n    SIDE @is\n\
            claim mate:\n    @is now? mate|mated\n    SIDE @is\n\
            claim check:\n    is mated\n    is mate check\n    was|were mate\n    is now mate\n\
            claim won:\n    is mated\n";
        let language = language("xx.txt", text, &claims);
        assert_eq!(
            shadowed(&language, &claims),
            [
                "line 12: `is mated` never counts: `@is now? mate|mated` in line 9 stands in front",
                "line 15: `is now mate` never counts: `@is now? mate|mated` in line 9 stands in front",
            ]
        );
        let [unworded, sets] = missing(&language, &claims);
        assert_eq!(unworded, Names::from(["draw".to_owned()]));
        assert!(sets.contains("not") && !sets.contains("is"));
    }
}
