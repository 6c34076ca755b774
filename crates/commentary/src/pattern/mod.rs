//! Phrase patterns: how they are written, and how they are matched.
//!
//! A pattern is a row of elements with spaces between. An element is one or more
//! alternatives with `|` between, and may end in `?` where it can be left out. Words and
//! sets have alternatives, slots have none:
//!
//! | alternative | matches |
//! |---|---|
//! | `mate` | the word |
//! | `@threat` | a word of the set |
//! | `N` | a number, in digits or in words |
//! | `ORD` | an ordinal, in digits or in words |
//! | `LINE` | a cited line |
//! | `PIECE` | a noun phrase for a piece |
//! | `TARGETS` | pieces and squares, with "and" between |
//! | `SQUARE` | a square |
//! | `FILE` | a file |
//! | `SIDE` | a colour, a player, "he" |
//!
//! Fillers and articles may stand between any two elements.
//!
//! A sentence is not tried with every pattern. Each pattern is filed under the required
//! element that the fewest sentences hold. It is looked at where that element stands, dropped
//! where something else stands in front of it or behind it than the pattern asks for, and only
//! then matched.

mod compile;
mod found;
mod matcher;
mod presence;
mod slots;

pub(crate) use compile::{Compiler, KnownWord};
pub(crate) use found::Alive;
use found::{Candidate, Lists};
use matcher::Matcher;
pub(crate) use presence::Presence;
use slots::Filled;
pub(crate) use slots::Slots;

use crate::chunk::Chunk;
use crate::lang::Rule;
use crate::sense::{Entry, Sense, Senses};

/// A place in a pattern that is filled from the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Slot {
    Number,
    Ordinal,
    Line,
    Piece,
    Targets,
    Square,
    File,
    Side,
}

impl Slot {
    const COUNT: usize = 8;

    /// The slot that patterns call by this name.
    fn named(name: &str) -> Option<Self> {
        Some(match name {
            "N" => Self::Number,
            "ORD" => Self::Ordinal,
            "LINE" => Self::Line,
            "PIECE" => Self::Piece,
            "TARGETS" => Self::Targets,
            "SQUARE" => Self::Square,
            "FILE" => Self::File,
            "SIDE" => Self::Side,
            _ => return None,
        })
    }

    /// About how often something is there that fills it, as [`KnownWord::frequency`].
    const fn frequency(self) -> u32 {
        match self {
            Self::File => 5,
            Self::Number | Self::Ordinal => 10,
            Self::Square => 20,
            Self::Line => 40,
            Self::Piece | Self::Targets | Self::Side => 80,
        }
    }

    const fn bit(self) -> u128 {
        1 << self as u32
    }
}

/// What a pattern asks of one chunk.
#[derive(Clone, Debug)]
struct Element {
    /// All alternatives. A set or a slot fits where it is there; a word may share its bit
    /// with others.
    any: Presence,
    /// The sets among them, one bit each.
    sets: u128,
    /// The words among them.
    words: Vec<Entry>,
    /// Or the slot, which has no alternatives.
    slot: Option<Slot>,
    optional: bool,
}

#[derive(Debug)]
struct Pattern {
    /// What it can begin with.
    first: Presence,
    /// What must stand right behind the beginning, but for fillers.
    next: Presence,
    elements: Vec<Element>,
    rule: &'static Rule,
}

/// The patterns of one language.
#[derive(Debug, Default)]
pub(crate) struct Patterns {
    patterns: Vec<Pattern>,
    /// The sets that they name, by their bits.
    sets: Vec<u32>,
    /// For every word, or what stands for words of its kind, the patterns whose rarest
    /// element it can be.
    lists: Lists,
}

/// A match: the rule, and where it ends.
pub(crate) struct Match {
    pub(crate) rule: &'static Rule,
    pub(crate) end: usize,
    /// The index of the pattern.
    pattern: u16,
    filled: Filled,
}

impl Match {
    /// What the slots were filled with.
    #[inline]
    pub(crate) fn slots(&self, chunks: &[Chunk], senses: Senses<'_>) -> Slots {
        Slots::new(&self.filled, chunks, senses)
    }
}

impl Patterns {
    /// Tells the words of the language what patterns ask of them.
    pub(crate) fn mark(&self, senses: &mut [Sense]) {
        let entries = (0..).map(Entry::from_index);
        for (sense, entry) in senses.iter_mut().zip(entries) {
            sense.presence = Presence::of_word(entry, sense, &self.sets);
            sense.finds = !self.lists.get(entry.index()).is_empty();
        }
    }

    /// Finds the patterns that can match in a sentence. The chunks `finders` are all by which
    /// patterns are found, and `there` is all that is in it.
    pub(crate) fn find(
        &self,
        chunks: &[Chunk],
        finders: &[usize],
        there: &Presence,
        senses: Senses<'_>,
        alive: &mut Alive,
    ) {
        alive.clear();
        for &at in finders {
            let (front, rest) = chunks.split_at_checked(at).unwrap_or_default();
            let Some((chunk, back)) = rest.split_first() else {
                continue;
            };
            let before = beside(front.iter().rev(), senses);
            let behind = beside(back.iter(), senses);
            let blocks = self.lists.get(chunk.entry.index());
            alive.add(blocks, &before, &behind, there);
        }
        alive.thin_out();
        for &index in &alive.patterns {
            if let Some(pattern) = self.patterns.get(usize::from(index)) {
                alive.first.add(&pattern.first);
            }
        }
    }

    /// Leaves out the patterns that tell of other games only.
    pub(crate) fn leave_out_games(&self, alive: &mut Alive) {
        alive.retain(|index| {
            let pattern = self.patterns.get(usize::from(index));
            pattern.is_none_or(|pattern| !pattern.rule.of_games)
        });
    }

    /// The longest match that begins at chunk `at`, of equally long ones the first in the
    /// language's file.
    #[inline]
    pub(crate) fn longest(
        &self,
        chunks: &[Chunk],
        at: usize,
        senses: Senses<'_>,
        alive: &Alive,
    ) -> Option<Match> {
        let first = &senses.sense(chunks.get(at)?).presence;
        if !first.has_any(&alive.first) {
            return None;
        }
        // A phrase that makes no sense of its pieces leaves the words to shorter ones.
        let makes_sense = |rule: &Rule, filled: &Filled| {
            !rule.picky || (rule.make)(&Slots::new(filled, chunks, senses)).is_some()
        };
        self.longest_of(chunks, at, senses, alive, &makes_sense)
    }

    fn longest_of(
        &self,
        chunks: &[Chunk],
        at: usize,
        senses: Senses<'_>,
        alive: &Alive,
        wanted: &dyn Fn(&Rule, &Filled) -> bool,
    ) -> Option<Match> {
        let first = &senses.sense(chunks.get(at)?).presence;
        let mut best: Option<Match> = None;
        let next = beside(chunks.iter().skip(at + 1), senses);
        for &index in &alive.patterns {
            let Some(pattern) = self.patterns.get(usize::from(index)) else {
                continue;
            };
            // Either may fail: asked as one, they are foretold better.
            if !(first.has_any(&pattern.first) & next.has_any(&pattern.next)) {
                continue;
            }
            let mut matcher = Matcher {
                chunks,
                senses,
                filled: Filled::new(),
            };
            if let Some(end) = matcher.run(&pattern.elements, at, true)
                && best.as_ref().is_none_or(|best| {
                    let first = (!pattern.rule.of_games, index);
                    end > best.end || end == best.end && first < (!best.rule.of_games, best.pattern)
                })
                && wanted(pattern.rule, &matcher.filled)
            {
                best = Some(Match {
                    rule: pattern.rule,
                    pattern: index,
                    end,
                    filled: matcher.filled,
                });
            }
        }
        best
    }
}

/// Fillers between two elements, at most.
const FILLERS: usize = 4;

/// What stands beside an element: the nearest of some chunks, and others as long as fillers
/// are between.
#[inline]
fn beside<'c>(chunks: impl Iterator<Item = &'c Chunk>, senses: Senses<'_>) -> Presence {
    let mut all = Presence::EVERYWHERE;
    for chunk in chunks.take(FILLERS + 1) {
        let sense = senses.sense(chunk);
        all.add(&sense.presence);
        if !sense.is_filler() {
            break;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use gainsay_notation::Span;
    use shakmaty::{Color, File, Square};

    use super::*;
    use crate::chunk::ChunkKind;
    use crate::lexicon::LEXICON;
    use crate::tongue::Tongue;
    use crate::{Noun, Owner, Traits};

    /// A chunk that an element asks for.
    fn chunk(element: &Element, senses: Senses<'_>) -> Chunk {
        let kind = match element.slot {
            None => {
                let mut words = (0..).map(Entry::from_index);
                let member = |&word: &Entry| {
                    element.words.contains(&word) || senses.of(word).is_any(element.sets)
                };
                return Chunk {
                    span: Span::default(),
                    entry: words.find(member).expect("an element has words"),
                    kind: ChunkKind::Word { capital: false },
                };
            }
            Some(Slot::Number | Slot::Ordinal) => ChunkKind::Number(2),
            Some(Slot::Line) => ChunkKind::Line(0),
            Some(Slot::Piece) => ChunkKind::Noun(Noun {
                span: Span::default(),
                role: None,
                owner: Owner::Anyone,
                square: None,
                file: None,
                plural: false,
                count: None,
                traits: Traits::default(),
                determined: false,
                wording: crate::Wording::default(),
                bare: Span::default(),
            }),
            Some(Slot::Targets | Slot::Square) => ChunkKind::Square(Square::E4),
            Some(Slot::File) => ChunkKind::File(File::E),
            Some(Slot::Side) => ChunkKind::Side(Color::White),
        };
        Chunk::new(Span::default(), kind)
    }

    #[test]
    fn every_pattern_is_found_in_the_shortest_sentence_that_it_matches() {
        for tongue in Tongue::ALL {
            let (patterns, senses) = (LEXICON.patterns(tongue), LEXICON.senses(tongue));
            let mut alive = Alive::default();
            for (index, pattern) in patterns.patterns.iter().enumerate() {
                let required = pattern.elements.iter().filter(|element| !element.optional);
                let chunks: Vec<Chunk> = required.map(|element| chunk(element, senses)).collect();
                let finds = |&at: &usize| senses.sense(&chunks[at]).finds;
                let finders: Vec<usize> = (0..chunks.len()).filter(finds).collect();
                let mut there = Presence::EVERYWHERE;
                for chunk in &chunks {
                    there.add(&senses.sense(chunk).presence);
                }
                patterns.find(&chunks, &finders, &there, senses, &mut alive);
                assert!(
                    alive
                        .patterns
                        .iter()
                        .any(|&found| usize::from(found) == index),
                    "{:?} is not found",
                    pattern.rule.patterns
                );
                let any = |_: &Rule, _: &Filled| true;
                let longest = patterns.longest_of(&chunks, 0, senses, &alive, &any);
                assert_eq!(
                    longest.map(|found| found.end),
                    Some(chunks.len()),
                    "{:?} does not match",
                    pattern.rule.patterns
                );
            }
        }
    }
}
