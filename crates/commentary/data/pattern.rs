//! The patterns of phrases: `@threat mate|checkmate in N move/n?`.

use super::inflect::Inflections;
use super::mistake::What;
use super::words::folded;
use crate::slot::{MOST_SLOTS, Slot};

/// A row of elements.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Pattern {
    /// The number of the claim that it makes.
    pub(crate) claim: usize,
    /// The line that it stands in.
    pub(crate) line: usize,
    /// As it is written.
    pub(crate) text: String,
    pub(crate) elements: Vec<Element>,
}

/// What a pattern asks of one place of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Element {
    /// A slot, which has no alternatives.
    pub(crate) slot: Option<Slot>,
    /// Whether it can be left out.
    pub(crate) optional: bool,
    /// The numbers of the sets among its alternatives, in order.
    pub(crate) sets: Vec<usize>,
    /// The words among them, in order.
    pub(crate) words: Vec<String>,
}

/// The elements of a pattern, whose sets have the given names.
pub(crate) fn elements(
    text: &str,
    sets: &[&str],
    inflections: &Inflections,
) -> Result<Vec<Element>, What> {
    let parts = text.split_whitespace();
    let elements = parts.map(|part| element(part, sets, inflections));
    let elements = elements.collect::<Result<Vec<_>, _>>()?;
    if elements.iter().all(|element| element.optional) {
        return Err(What::NothingRequired(text.to_owned()));
    }
    let slots = elements.iter().filter(|element| element.slot.is_some());
    if slots.count() > MOST_SLOTS {
        return Err(What::TooManySlots {
            text: text.to_owned(),
            most: MOST_SLOTS,
        });
    }
    Ok(elements)
}

fn element(text: &str, names: &[&str], inflections: &Inflections) -> Result<Element, What> {
    let (text, optional) = match text.strip_suffix('?') {
        Some(text) => (text, true),
        None => (text, false),
    };
    let mut element = Element {
        slot: slot(text),
        optional,
        sets: Vec::new(),
        words: Vec::new(),
    };
    if element.slot.is_some() {
        return Ok(element);
    }
    for alternative in text.split('|') {
        let twice = || What::WordTwice(alternative.to_owned());
        if let Some(name) = alternative.strip_prefix('@') {
            let set = names.iter().position(|known| *known == name);
            let set = set.ok_or_else(|| What::UnknownSet(name.to_owned()))?;
            if element.sets.contains(&set) {
                return Err(twice());
            }
            element.sets.push(set);
            continue;
        }
        for word in inflections.expand(alternative)? {
            let plain = folded(&word);
            plain.map_err(|_| What::NoAlternative(alternative.to_owned()))?;
            if element.words.contains(&word) {
                return Err(twice());
            }
            element.words.push(word);
        }
    }
    element.sets.sort_unstable();
    element.words.sort_unstable();
    Ok(element)
}

/// The slot that patterns call by this name.
fn slot(name: &str) -> Option<Slot> {
    Some(match name {
        "N" => Slot::Number,
        "ORD" => Slot::Ordinal,
        "TIMES" => Slot::Times,
        "LINE" => Slot::Line,
        "PIECE" => Slot::Piece,
        "TARGETS" => Slot::Targets,
        "SQUARE" => Slot::Square,
        "FILE" => Slot::File,
        "SIDE" => Slot::Side,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Result<Vec<Element>, String> {
        let elements = elements(text, &["threat", "is"], &Inflections::default());
        elements.map_err(|what| what.to_string())
    }

    #[test]
    fn a_pattern_is_a_row_of_elements() {
        let word = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
        let empty = Element {
            slot: None,
            optional: false,
            sets: Vec::new(),
            words: Vec::new(),
        };
        let wanted = vec![
            Element {
                sets: vec![0],
                words: word(&["danger"]),
                ..empty.clone()
            },
            Element {
                slot: Some(Slot::Number),
                optional: true,
                ..empty.clone()
            },
            Element {
                words: word(&["can't", "mate"]),
                ..empty
            },
        ];
        assert_eq!(told("@threat|danger N? mate|can't"), Ok(wanted));
    }

    #[test]
    fn mistakes_are_told() {
        for (text, message) in [
            (
                "@menace mate",
                "no set is called `menace`: add `set menace: words`, or use words with `|` between",
            ),
            (
                "mate? N?",
                "nothing is required in `mate? N?`: an element without `?` is needed",
            ),
            ("N N N N N N", "too many slots in `N N N N N N`: 5 at most"),
            (
                "mate Läufer",
                "`Läufer` is no alternative: write a word in small letters, `@set`, `word/v`, or a slot alone",
            ),
            (
                "mate||draw",
                "`` is no alternative: write a word in small letters, `@set`, `word/v`, or a slot alone",
            ),
            ("mate|mate", "`mate` stands here twice: leave one out"),
            ("@is|@is", "`@is` stands here twice: leave one out"),
        ] {
            assert_eq!(told(text), Err(message.to_owned()), "{text}");
        }
    }
}
