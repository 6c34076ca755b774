//! The text of patterns to [`Patterns`].

use super::{Candidate, Element, Pattern, Patterns, Presence, Slot, Want};
use crate::lang::Rule;
use crate::lexicon::Entry;

/// Turns the text of patterns into [`Patterns`].
#[derive(Default)]
pub(crate) struct Compiler {
    patterns: Vec<Pattern>,
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
                elements.push(Element { wants, optional });
            }
            if elements.iter().all(|element| element.optional) {
                return Err(format!("nothing is required in `{text}`"));
            }
            let first = elements.iter().position(|element| !element.optional);
            let needs = elements
                .iter()
                .enumerate()
                .filter(|(at, element)| !element.optional && Some(*at) != first)
                .map(|(_, element)| Presence::wanted(element))
                .collect();
            self.patterns.push(Pattern {
                elements,
                rule,
                needs,
            });
        }
        Ok(())
    }

    /// Sorts the patterns by what they can begin with.
    pub(crate) fn finish(
        mut self,
        sets: &dyn Fn(Entry) -> u128,
        is_number: &dyn Fn(Entry) -> bool,
        words: usize,
    ) -> Patterns {
        let mut sizes = [0_u32; 128];
        for word in 0..words {
            let all = sets(Entry::from_index(u16::try_from(word).unwrap_or(0)));
            for (bit, size) in sizes.iter_mut().enumerate() {
                *size += (all >> bit & 1) as u32;
            }
        }
        // About how many words fill a need; what is no word counts as many.
        let breadth = |need: &Presence| {
            let sets = sizes.iter().enumerate();
            let in_sets: u32 = sets
                .filter(|(bit, _)| need.sets >> bit & 1 != 0)
                .map(|(_, size)| size)
                .sum();
            let slots = (need.others & ((1 << Slot::COUNT) - 1)).count_ones();
            in_sets + need.others.count_ones() + 9 * slots
        };
        for pattern in &mut self.patterns {
            pattern.needs.sort_by_key(breadth);
        }
        let mut out = Patterns {
            patterns: self.patterns,
            by_word: vec![Vec::new(); words],
            by_slot: Default::default(),
            begins: Vec::new(),
        };
        for (index, pattern) in out.patterns.iter().enumerate() {
            let candidate = Candidate {
                next: next_of(&pattern.elements),
                pattern: u16::try_from(index).unwrap_or(u16::MAX),
            };
            for element in &pattern.elements {
                for want in &element.wants {
                    match want {
                        Want::Word(entry) => {
                            if let Some(list) = out.by_word.get_mut(entry.index()) {
                                list.push(candidate);
                            }
                        }
                        Want::Set(bit) => {
                            for (word, list) in out.by_word.iter_mut().enumerate() {
                                let entry = u16::try_from(word).unwrap_or(0);
                                if sets(Entry::from_index(entry)) >> bit & 1 != 0 {
                                    list.push(candidate);
                                }
                            }
                        }
                        Want::Slot(slot) => out.by_slot[*slot as usize].push(candidate),
                    }
                }
                if !element.optional {
                    break;
                }
            }
        }
        for list in out.by_word.iter_mut().chain(&mut out.by_slot) {
            list.dedup_by_key(|candidate| candidate.pattern);
        }
        let entries = (0..).map(Entry::from_index);
        let lists = out.by_word.iter().zip(entries);
        out.begins = lists
            .map(|(list, entry)| !list.is_empty() || is_number(entry))
            .collect();
        out
    }
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
    behind.fold(Presence::default(), |any, element| {
        any.or(Presence::wanted(element))
    })
}
