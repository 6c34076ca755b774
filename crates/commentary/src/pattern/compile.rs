//! [`PatternText`] to [`Patterns`].

use super::element::{Element, Pattern};
use super::found::{Candidate, Lists};
use super::patterns::Patterns;
use super::phrase::Phrase;
use super::text::{ElementText, PatternText};
use crate::entry::Entry;
use crate::presence::Presence;
use crate::sense::Sense;
use crate::slot::Slot;

/// Turns patterns as they are written into [`Patterns`].
pub(crate) struct Compiler<'s> {
    patterns: Vec<Pattern>,
    /// The words of all sets of the language.
    sets: &'s [Vec<Entry>],
    /// The sets that the patterns name, in the order of their bits.
    named: Vec<usize>,
}

/// What patterns ask of a word of the language.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KnownWord<'w> {
    /// What it means.
    pub(crate) sense: &'w Sense,
    /// About how often it stands in prose, where a rare word counts 1.
    pub(crate) frequency: u32,
}

impl<'s> Compiler<'s> {
    /// For a language whose sets have these words.
    pub(crate) const fn new(sets: &'s [Vec<Entry>]) -> Self {
        Self {
            patterns: Vec::new(),
            sets,
            named: Vec::new(),
        }
    }

    /// Adds a pattern of a phrase.
    pub(crate) fn compile(
        &mut self,
        text: &PatternText,
        phrase: &'static Phrase,
        entry: &mut dyn FnMut(&str) -> Entry,
    ) {
        let elements = text.elements.iter();
        let elements: Vec<Element> = elements.map(|text| self.element(text, entry)).collect();
        self.patterns.push(Pattern {
            first: first_of(&elements),
            next: next_of(&elements),
            elements,
            phrase,
        });
    }

    fn element(&mut self, text: &ElementText, entry: &mut dyn FnMut(&str) -> Entry) -> Element {
        let mut element = Element {
            any: Presence::NONE,
            sets: Presence::NONE,
            words: text.words.iter().map(|word| entry(word)).collect(),
            slot: text.slot,
            optional: text.optional,
        };
        if let Some(slot) = text.slot {
            element.any.add(&Presence::of_slot(slot));
        }
        for &set in text.sets {
            match self.bit(set) {
                Some(bit) => element.sets.add(&bit),
                None => {
                    let words = self.sets.get(set).into_iter().flatten();
                    element.words.extend(words);
                }
            }
        }
        element.words.sort_unstable();
        element.words.dedup();
        element.any.add(&element.sets);
        for &word in &element.words {
            element.any.add(&Presence::of_entry(word));
        }
        element
    }

    /// The bit of a set, if there is one for it; the words of further sets count one by one.
    fn bit(&mut self, set: usize) -> Option<Presence> {
        let number = self.named.iter().position(|&known| known == set);
        let number = number.unwrap_or(self.named.len());
        let bit = Presence::of_set(number)?;
        if number == self.named.len() {
            self.named.push(set);
        }
        Some(bit)
    }

    /// Sorts the patterns by the element that the fewest sentences hold.
    pub(crate) fn finish(self, known: &[KnownWord<'_>]) -> Patterns {
        let named = self.named.iter().map(|&set| self.sets.get(set));
        let named: Vec<&[Entry]> = named
            .map(|words| words.map_or(&[][..], Vec::as_slice))
            .collect();
        let presences = known.iter().zip((0..).map(Entry::from_index));
        let presences = presences.map(|(word, entry)| word.sense.presence_of(entry));
        let of_slots = by_bits(presences.map(|presence| presence.slots()));
        let words_of = |element: &Element| {
            let sets = named.iter().zip(0..);
            let sets = sets.filter(|&(_, number)| {
                Presence::of_set(number).is_some_and(|bit| bit.has_any(&element.sets))
            });
            let words = sets.flat_map(|(words, _)| *words).chain(&element.words);
            let slots = bits(element.any.slots()).filter_map(|bit| of_slots.get(bit));
            let words = words.map(|word| word.index());
            let mut words: Vec<usize> = words.chain(slots.flatten().copied()).collect();
            words.sort_unstable();
            words.dedup();
            words
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
        let sets = named.into_iter().map(<[Entry]>::to_vec).collect();
        Patterns {
            patterns: self.patterns,
            sets,
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
