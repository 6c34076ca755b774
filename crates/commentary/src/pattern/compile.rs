//! The text of patterns to [`Patterns`].

use super::slots::{MOST_LISTS, MOST_SLOTS};
use super::{Candidate, Element, Lists, Needs, Pattern, Patterns, Presence, Slot};
use crate::lang::Rule;
use crate::sense::Entry;

/// Turns the text of patterns into [`Patterns`].
#[derive(Default)]
pub(crate) struct Compiler {
    patterns: Vec<Pattern>,
}

/// What patterns ask of a word of the language.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct KnownWord {
    /// The sets it belongs to, one bit each.
    pub(crate) sets: u128,
    /// About how often it stands in prose, where a rare word counts 1.
    pub(crate) frequency: u32,
}

impl Compiler {
    /// Adds a pattern.
    pub(crate) fn compile(
        &mut self,
        rule: &'static Rule,
        sets: &[String],
        entry: &mut dyn FnMut(&str) -> Entry,
    ) -> Result<(), String> {
        for text in rule.patterns.split(';') {
            let mut elements = Vec::new();
            for part in text.split_whitespace() {
                let element = element(part, sets, entry);
                elements.push(element.map_err(|mistake| format!("{mistake} in `{text}`"))?);
            }
            if elements.iter().all(|element| element.optional) {
                return Err(format!("nothing is required in `{text}`"));
            }
            let slots = elements.iter().filter_map(|element| element.slot);
            let lists = slots.clone().filter(|slot| *slot == Slot::Targets);
            if slots.count() > MOST_SLOTS || lists.count() > MOST_LISTS {
                return Err(format!("too many slots in `{text}`"));
            }
            self.patterns.push(Pattern {
                first: first_of(&elements),
                next: next_of(&elements),
                elements,
                rule,
            });
        }
        Ok(())
    }

    /// Sorts the patterns by the element that the fewest sentences hold.
    pub(crate) fn finish(self, known: &[KnownWord]) -> Patterns {
        let mut members = vec![Vec::new(); u128::BITS as usize];
        for (index, word) in known.iter().enumerate() {
            let mut sets = word.sets;
            while sets != 0 {
                if let Some(members) = members.get_mut(sets.trailing_zeros() as usize) {
                    members.push(index);
                }
                sets &= sets - 1;
            }
        }
        let words_of = |element: &Element| {
            let mut words: Vec<usize> = element.words.iter().map(|word| word.index()).collect();
            let mut sets = element.any.sets();
            while sets != 0 {
                words.extend(
                    members
                        .get(sets.trailing_zeros() as usize)
                        .into_iter()
                        .flatten(),
                );
                sets &= sets - 1;
            }
            words
        };
        // About how often something is there that fills an element.
        let frequency = |element: &Element| -> u32 {
            let words = words_of(element);
            let words = words.iter().filter_map(|&word| known.get(word));
            words.map(|word| word.frequency).sum::<u32>() + element.slot.map_or(0, Slot::frequency)
        };
        let mut needs = Needs::default();
        let mut of_words = vec![Vec::new(); known.len()];
        let mut of_slots = vec![Vec::new(); Slot::COUNT];
        for (pattern, index) in self.patterns.iter().zip(0..) {
            let required = pattern.elements.iter().filter(|element| !element.optional);
            let mut required: Vec<(u32, &Element)> = required
                .map(|element| (frequency(element), element))
                .collect();
            required.sort_by_key(|&(frequency, _)| frequency);
            let mut required = required.into_iter().map(|(_, element)| element);
            let Some(rarest) = required.next() else {
                continue;
            };
            let candidate = Candidate {
                needs: std::array::from_fn(|_| {
                    required
                        .next()
                        .map_or(0, |element| needs.place(element.any))
                }),
                pattern: index,
            };
            if let Some(slot) = rarest.slot {
                of_slots[slot as usize].push(candidate);
            }
            for word in words_of(rarest) {
                if let Some(list) = of_words.get_mut(word) {
                    list.push(candidate);
                }
            }
        }
        let finding = of_slots.iter().zip(0..);
        let finding = finding.filter(|(list, _)| !list.is_empty());
        Patterns {
            finding: finding.fold(0, |slots, (_, slot)| slots | 1 << slot),
            patterns: self.patterns,
            of_words: Lists::new(of_words, &needs),
            of_slots: Lists::new(of_slots, &needs),
            needs,
        }
    }
}

/// One element; else what is wrong with it.
fn element(
    text: &str,
    sets: &[String],
    entry: &mut dyn FnMut(&str) -> Entry,
) -> Result<Element, String> {
    let (text, optional) = match text.strip_suffix('?') {
        Some(text) => (text, true),
        None => (text, false),
    };
    let mut element = Element {
        any: Presence::NONE,
        words: Vec::new(),
        slot: Slot::named(text),
        optional,
    };
    if let Some(slot) = element.slot {
        element.any.add_slot(slot);
        return Ok(element);
    }
    for alternative in text.split('|') {
        if let Some(set) = alternative.strip_prefix('@') {
            let bit = sets.iter().position(|name| name == set);
            let bit = bit.and_then(|bit| u32::try_from(bit).ok());
            element
                .any
                .add_set(bit.ok_or_else(|| format!("no set {alternative}"))?);
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
    let required = elements.iter().position(|element| !element.optional);
    let beginnings = elements.iter().take(required.map_or(0, |first| first + 1));
    beginnings.fold(Presence::default(), |any, element| any.or(&element.any))
}

/// What must stand right behind the beginning of a pattern, but for fillers.
fn next_of(elements: &[Element]) -> Presence {
    let mut required = (elements.iter().enumerate()).filter(|(_, element)| !element.optional);
    let (Some((first, _)), Some((second, _))) = (required.next(), required.next()) else {
        return Presence::EVERYWHERE;
    };
    if (elements.iter().take(first + 1)).any(|element| element.slot == Some(Slot::Targets)) {
        return Presence::EVERYWHERE;
    }
    let behind = elements.iter().take(second + 1).skip(1);
    behind.fold(Presence::default(), |any, element| any.or(&element.any))
}
