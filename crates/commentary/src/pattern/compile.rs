//! The text of patterns to [`Patterns`].

use super::slots::{MOST_LISTS, MOST_SLOTS};
use super::{Candidate, Element, Lists, Needs, Pattern, Patterns, Presence, Slot, Want};
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
                let (part, optional) = match part.strip_suffix('?') {
                    Some(part) => (part, true),
                    None => (part, false),
                };
                let mut wants = Vec::new();
                for alternative in part.split('|') {
                    wants.push(match alternative {
                        "N" => Want::Slot(Slot::Number),
                        "ORD" => Want::Slot(Slot::Ordinal),
                        "LINE" => Want::Slot(Slot::Line),
                        "PIECE" => Want::Slot(Slot::Piece),
                        "TARGETS" => Want::Slot(Slot::Targets),
                        "SQUARE" => Want::Slot(Slot::Square),
                        "FILE" => Want::Slot(Slot::File),
                        "SIDE" => Want::Slot(Slot::Side),
                        set if set.starts_with('@') => {
                            let bit = sets
                                .iter()
                                .position(|name| *name == set[1..])
                                .and_then(|bit| u32::try_from(bit).ok())
                                .ok_or_else(|| format!("no set {set} in `{text}`"))?;
                            Want::Set(bit)
                        }
                        "" => return Err(format!("empty alternative in `{text}`")),
                        word if word.bytes().all(|b| b.is_ascii_lowercase() || b == b'\'') => {
                            Want::Word(entry(word))
                        }
                        other => return Err(format!("`{other}` in `{text}` is no element")),
                    });
                }
                elements.push(Element {
                    any: Presence::wanted(&wants),
                    wants,
                    optional,
                });
            }
            if elements.iter().all(|element| element.optional) {
                return Err(format!("nothing is required in `{text}`"));
            }
            let having = |wanted: fn(&Want) -> bool| {
                let holds = |element: &&Element| element.wants.iter().any(wanted);
                elements.iter().filter(holds).count()
            };
            if having(|want| matches!(want, Want::Slot(_))) > MOST_SLOTS
                || having(|want| matches!(want, Want::Slot(Slot::Targets))) > MOST_LISTS
            {
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
        let of_want = |want: &Want| match want {
            Want::Word(entry) => vec![entry.index()],
            Want::Set(bit) => members.get(*bit as usize).cloned().unwrap_or_default(),
            Want::Slot(_) => Vec::new(),
        };
        // About how often something is there that fills an element.
        let frequency = |element: &Element| -> u32 {
            let of = |want: &Want| match want {
                Want::Slot(slot) => slot.frequency(),
                want => of_want(want)
                    .iter()
                    .filter_map(|&word| known.get(word))
                    .map(|word| word.frequency)
                    .sum(),
            };
            element.wants.iter().map(of).sum()
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
            for want in &rarest.wants {
                if let Want::Slot(slot) = want {
                    of_slots[*slot as usize].push(candidate);
                }
                for word in of_want(want) {
                    if let Some(list) = of_words.get_mut(word) {
                        list.push(candidate);
                    }
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
    let several = |want: &Want| matches!(want, Want::Slot(Slot::Targets));
    if (elements.iter().take(first + 1)).any(|element| element.wants.iter().any(several)) {
        return Presence::EVERYWHERE;
    }
    let behind = elements.iter().take(second + 1).skip(1);
    behind.fold(Presence::default(), |any, element| any.or(&element.any))
}
