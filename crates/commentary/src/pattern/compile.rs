//! The text of patterns to [`Patterns`].

use super::element::{Element, Pattern};
use super::found::{Candidate, Lists};
use super::patterns::Patterns;
use super::phrase::Phrase;
use super::slots::MOST_SLOTS;
use crate::entry::Entry;
use crate::presence::Presence;
use crate::sense::Sense;
use crate::slot::Slot;

/// Turns the text of patterns into [`Patterns`].
#[derive(Default)]
pub(crate) struct Compiler {
    patterns: Vec<Pattern>,
    /// The sets that the patterns name, by their bits.
    sets: Vec<u32>,
}

/// What patterns ask of a word of the language.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KnownWord<'w> {
    /// What it means.
    pub(crate) sense: &'w Sense,
    /// About how often it stands in prose, where a rare word counts 1.
    pub(crate) frequency: u32,
}

impl Compiler {
    /// Adds a pattern.
    pub(crate) fn compile(
        &mut self,
        phrase: &'static Phrase,
        sets: &[String],
        entry: &mut dyn FnMut(&str) -> Entry,
    ) -> Result<(), String> {
        for text in phrase.patterns.split(';') {
            let mut elements = Vec::new();
            for part in text.split_whitespace() {
                let element = element(part, sets, &mut self.sets, entry);
                elements.push(element.map_err(|mistake| format!("{mistake} in `{text}`"))?);
            }
            if elements.iter().all(|element| element.optional) {
                return Err(format!("nothing is required in `{text}`"));
            }
            let slots = elements.iter().filter(|element| element.slot.is_some());
            if slots.count() > MOST_SLOTS {
                return Err(format!("too many slots in `{text}`"));
            }
            self.patterns.push(Pattern {
                first: first_of(&elements),
                next: next_of(&elements),
                elements,
                phrase,
            });
        }
        Ok(())
    }

    /// Sorts the patterns by the element that the fewest sentences hold.
    pub(crate) fn finish(self, known: &[KnownWord<'_>]) -> Patterns {
        let of_sets = by_bits(known.iter().map(|word| word.sense.sets));
        let presences = known.iter().zip((0..).map(Entry::from_index));
        let presences = presences.map(|(word, entry)| word.sense.presence_of(entry, &[]));
        let of_slots = by_bits(presences.map(|presence| presence.slots()));
        let words_of = |element: &Element| {
            let words = element.words.iter().map(|word| word.index());
            let sets = bits(element.sets).filter_map(|bit| of_sets.get(bit));
            let slots = bits(element.any.slots()).filter_map(|bit| of_slots.get(bit));
            let members = sets.chain(slots).flatten().copied();
            words.chain(members).collect::<Vec<usize>>()
        };
        // About how often something is there that fills an element.
        let frequency = |element: &Element| -> u32 {
            match element.slot {
                Some(slot) => slot.frequency(),
                None => {
                    let words = words_of(element);
                    let words = words.iter().filter_map(|&word| known.get(word));
                    words.map(|word| word.frequency).sum()
                }
            }
        };
        let mut lists = vec![Vec::new(); known.len()];
        for (pattern, index) in self.patterns.iter().zip(0..) {
            let elements = pattern.elements.iter().enumerate();
            let required = elements.filter(|(_, element)| !element.optional);
            let mut required: Vec<(usize, &Element)> = required.collect();
            required.sort_by_key(|(_, element)| frequency(element));
            let Some(&(at, rarest)) = required.first() else {
                continue;
            };
            // What stands beside it is asked anyway.
            let further = required.iter().find(|(other, _)| other.abs_diff(at) > 1);
            let candidate = Candidate {
                before: before(&pattern.elements, at),
                behind: behind(&pattern.elements, at),
                somewhere: further.map_or(Presence::EVERYWHERE, |(_, element)| element.any),
                pattern: index,
            };
            for word in words_of(rarest) {
                if let Some(list) = lists.get_mut(word) {
                    list.push(candidate);
                }
            }
        }
        Patterns {
            patterns: self.patterns,
            sets: self.sets,
            lists: Lists::new(lists),
        }
    }
}

/// The words that have each bit.
fn by_bits(words: impl Iterator<Item = u128>) -> Vec<Vec<usize>> {
    let mut members = vec![Vec::new(); u128::BITS as usize];
    for (word, its) in words.enumerate() {
        for bit in bits(its) {
            if let Some(members) = members.get_mut(bit) {
                members.push(word);
            }
        }
    }
    members
}

/// The bits that are set.
fn bits(bits: u128) -> impl Iterator<Item = usize> {
    (0..u128::BITS as usize).filter(move |bit| bits >> bit & 1 != 0)
}

/// One element; else what is wrong with it.
fn element(
    text: &str,
    sets: &[String],
    named: &mut Vec<u32>,
    entry: &mut dyn FnMut(&str) -> Entry,
) -> Result<Element, String> {
    let (text, optional) = match text.strip_suffix('?') {
        Some(text) => (text, true),
        None => (text, false),
    };
    let mut element = Element {
        any: Presence::NONE,
        sets: 0,
        words: Vec::new(),
        slot: Slot::named(text),
        optional,
    };
    if let Some(slot) = element.slot {
        element.any.add(&Presence::of_slot(slot));
        return Ok(element);
    }
    for alternative in text.split('|') {
        if let Some(set) = alternative.strip_prefix('@') {
            let bit = sets.iter().position(|name| name == set);
            let bit = bit.and_then(|bit| u32::try_from(bit).ok());
            let bit = bit.ok_or_else(|| format!("no set {alternative}"))?;
            let number = named.iter().position(|known| *known == bit);
            let number = number.unwrap_or_else(|| {
                named.push(bit);
                named.len() - 1
            });
            let number = u32::try_from(number).ok();
            let number = number.filter(|&number| number < Presence::MOST_SETS);
            let number = number.ok_or_else(|| format!("{alternative} is one set too many"))?;
            element.any.add(&Presence::of_set(number));
            element.sets |= 1 << bit;
        } else if !alternative.is_empty()
            && alternative
                .bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte == b'\'')
        {
            let word = entry(alternative);
            element.any.add(&Presence::of_entry(word));
            element.words.push(word);
        } else {
            return Err(format!("`{alternative}` is no alternative"));
        }
    }
    Ok(element)
}

/// What a pattern can begin with.
fn first_of(elements: &[Element]) -> Presence {
    nearest(elements.iter()).unwrap_or_default()
}

/// What must stand right behind the beginning of a pattern, but for fillers.
fn next_of(elements: &[Element]) -> Presence {
    let first = elements.iter().position(|element| !element.optional);
    let beginnings = elements.iter().take(first.map_or(0, |first| first + 1));
    let mut slots = beginnings.filter_map(|element| element.slot);
    if slots.any(|slot| slot == Slot::Targets) {
        return Presence::EVERYWHERE;
    }
    // Where the first of several beginnings can be left out, another can stand behind it.
    let behind = first.and_then(|first| {
        let required = nearest(elements.iter().skip(first + 1))?;
        let optional = elements.iter().take(first + 1).skip(1);
        Some(optional.fold(required, |any, element| any.or(&element.any)))
    });
    behind.unwrap_or(Presence::EVERYWHERE)
}

/// What must stand right in front of element `at`, but for fillers.
fn before(elements: &[Element], at: usize) -> Presence {
    beside(elements, at, nearest(elements.iter().take(at).rev()))
}

/// What must stand right behind element `at`, but for fillers.
fn behind(elements: &[Element], at: usize) -> Presence {
    beside(elements, at, nearest(elements.iter().skip(at + 1)))
}

/// What must stand beside element `at`, unless nothing must, or the element is several chunks.
fn beside(elements: &[Element], at: usize, needed: Option<Presence>) -> Presence {
    let slot = elements.get(at).and_then(|element| element.slot);
    let needed = needed.filter(|_| slot != Some(Slot::Targets));
    needed.unwrap_or(Presence::EVERYWHERE)
}

/// What the first of some elements that is there can be; `None` where none must be there.
fn nearest<'e>(elements: impl Iterator<Item = &'e Element>) -> Option<Presence> {
    let mut any = Presence::NONE;
    for element in elements {
        any.add(&element.any);
        if !element.optional {
            return Some(any);
        }
    }
    None
}
