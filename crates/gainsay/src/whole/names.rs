//! Names of one person that are spelled two ways.

use std::{collections::BTreeMap, ops::Range};

use super::{
    remark::{Remark, What},
    text::Whole,
};

/// Longer texts are collections, in which different people have names that are alike.
const LONGEST: usize = 1 << 20;

/// Shorter names are alike by chance.
const LEAST_LETTERS: usize = 5;

/// So often a name must be spelled one way before another way is told.
const LEAST: usize = 3;

/// Where both spellings stand so near to each other, two people are meant.
const NEAR: usize = 100;

/// Words with a capital letter that are no first names.
const NO_NAMES: [&str; 24] = [
    "The", "A", "An", "In", "At", "On", "And", "But", "When", "If", "After", "With", "White",
    "Black", "Mr", "Mrs", "Miss", "Ms", "Dr", "Prof", "Herr", "Frau", "Sir", "Game",
];

/// A word that begins with a capital letter.
#[derive(Clone, Debug)]
struct Word<'t> {
    text: &'t str,
    span: Range<usize>,
}

/// A first name or its initial, and a family name.
#[derive(Clone, Debug)]
struct Person<'t> {
    given: &'t str,
    family: Word<'t>,
}

/// Names that stand once, where another that differs by one letter stands often.
pub(super) fn remarks(whole: &Whole<'_>) -> Vec<Remark> {
    if whole.view.len() > LONGEST {
        return Vec::new();
    }
    let words = capitals(whole.view);
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for word in &words {
        places.entry(word.text).or_default().push(word.span.start);
    }
    let people = people(whole.view, &words);
    // Names that are alike begin with the same letter.
    let mut often: BTreeMap<char, BTreeMap<&str, Vec<&str>>> = BTreeMap::new();
    for person in &people {
        let family = person.family.text;
        if places
            .get(family)
            .is_some_and(|places| places.len() >= LEAST)
            && let Some(first) = family.chars().next()
        {
            let given = often.entry(first).or_default().entry(family).or_default();
            given.push(person.given);
        }
    }
    let mut found = Vec::new();
    for person in &people {
        let family = person.family.text;
        let once = places.get(family).is_some_and(|places| places.len() == 1);
        let first = family.chars().next();
        let Some(known) = first.and_then(|first| often.get(&first)).filter(|_| once) else {
            continue;
        };
        let same = |(name, given): &(&&str, &Vec<&str>)| {
            given.iter().any(|given| is_same_given(given, person.given)) && is_alike(name, family)
        };
        let mut alike = known.iter().filter(same);
        let (Some((name, _)), None) = (alike.next(), alike.next()) else {
            continue;
        };
        let here = person.family.span.start;
        let places = places.get(name).map_or(&[][..], Vec::as_slice);
        if places.iter().all(|place| place.abs_diff(here) > NEAR) {
            found.push(Remark {
                span: person.family.span.clone(),
                what: What::OtherSpelling {
                    name: (*name).to_owned(),
                    times: places.len(),
                },
            });
        }
    }
    found
}

/// The words of a text that begin with a capital letter.
fn capitals(text: &[u8]) -> Vec<Word<'_>> {
    let is_letter = |byte: u8| byte.is_ascii_alphabetic() || byte >= 0x80;
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(&byte) = text.get(at) {
        if !is_letter(byte) {
            at += 1;
            continue;
        }
        let rest = text.get(at..).unwrap_or_default();
        let length = rest.iter().take_while(|&&byte| is_letter(byte)).count();
        let word = rest.get(..length).unwrap_or_default();
        if (byte.is_ascii_uppercase() || byte >= 0x80)
            && let Ok(word) = std::str::from_utf8(word)
            && word.starts_with(char::is_uppercase)
            && word.chars().all(char::is_alphabetic)
        {
            found.push(Word {
                text: word,
                span: at..at + length,
            });
        }
        at += length;
    }
    found
}

/// The people that are named in full: "Agnes Tellovar", "A. Tellovar", "Tellovar, Agnes" in a tag.
fn people<'t>(text: &[u8], words: &[Word<'t>]) -> Vec<Person<'t>> {
    let mut found = Vec::new();
    for pair in words.windows(2) {
        let [one, other] = pair else { continue };
        let between = text.get(one.span.end..other.span.start).unwrap_or_default();
        let initial = one.text.chars().count() == 1;
        let (given, family) = match between {
            b" " | b"\n" if !initial => (one, other),
            b". " | b"." | b".\n" if initial => (one, other),
            b", " if is_quoted(text, one.span.start) => (other, one),
            _ => continue,
        };
        let capitals = |word: &str| word.chars().skip(1).any(char::is_uppercase);
        if NO_NAMES.contains(&given.text) && !initial
            || family.text.chars().count() < LEAST_LETTERS
            || capitals(family.text)
            || capitals(given.text)
        {
            continue;
        }
        found.push(Person {
            given: given.text,
            family: family.clone(),
        });
    }
    found
}

/// Whether a quotation mark stands before this place, as in the value of a tag.
fn is_quoted(text: &[u8], at: usize) -> bool {
    at.checked_sub(1).and_then(|at| text.get(at)) == Some(&b'"')
}

/// Whether two first names can be one: the same, or an initial of the other.
fn is_same_given(one: &str, other: &str) -> bool {
    let initial = |name: &str| name.chars().count() == 1;
    one == other || (initial(one) || initial(other)) && one.chars().next() == other.chars().next()
}

/// Whether two family names differ by one letter, and not by an ending.
fn is_alike(one: &str, other: &str) -> bool {
    let (short, long) = match one.len() <= other.len() {
        true => (one, other),
        false => (other, one),
    };
    let ending = long.strip_prefix(short);
    let declined = ending.is_some_and(|ending| matches!(ending, "s" | "a") || !ending.is_ascii());
    // In Cyrillic the last letter is the case.
    let stems = [one, other].map(|name| {
        let mut letters = name.chars();
        letters
            .next_back()
            .filter(|last| !last.is_ascii())
            .map(|_| letters.as_str())
    });
    let case = stems[0].is_some() && stems[0] == stems[1];
    !declined && !case && strsim::osa_distance(one, other) == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn endings_are_no_other_spelling() {
        for (one, other, alike) in [
            ("Tellovar", "Telovar", true),
            ("Bexley", "Bexely", true),
            ("Rubin", "Rub\u{ed}n", true),
            ("Marlow", "Marlowe", true),
            ("Karlov", "Karlova", false),
            ("Marlow", "Marlows", false),
            (
                "\u{41a}\u{430}\u{440}\u{43f}\u{430}",
                "\u{41a}\u{430}\u{440}\u{43f}\u{443}",
                false,
            ),
            ("Marlow", "Marler", false),
        ] {
            assert_eq!(is_alike(one, other), alike, "{one} {other}");
        }
    }

    #[test]
    fn people_are_named_in_full() {
        let text = "The Knight met Agnes Tellovar and T. Bexley.\n[White \"Osk, Ida\"] [Black \"Moreau, Eva\"]\nWELL DONE, White Queen!";
        let words = capitals(text.as_bytes());
        let people = people(text.as_bytes(), &words);
        let told: Vec<_> = people
            .iter()
            .map(|one| (one.given, one.family.text))
            .collect();
        assert_eq!(
            told,
            [("Agnes", "Tellovar"), ("T", "Bexley"), ("Eva", "Moreau")]
        );
    }
}
