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
mod element;
mod found;
mod matcher;
mod patterns;
mod phrase;
mod slots;

pub(crate) use self::compile::{Compiler, KnownWord};
pub(crate) use self::found::Alive;
pub(crate) use self::patterns::{Match, Patterns};
pub(crate) use self::phrase::{Phrase, Tie, Who};
pub(crate) use self::slots::Slots;

#[cfg(test)]
mod tests {
    use gainsay_notation::Span;
    use shakmaty::{Color, File, Square};

    use super::element::Element;
    use super::slots::Filled;
    use super::*;
    use crate::chunks::Chunk;
    use crate::chunks::ChunkKind;
    use crate::entry::Entry;
    use crate::lexicon::LEXICON;
    use crate::noun::{Noun, Owner, Traits};
    use crate::presence::Presence;
    use crate::sense::Senses;
    use crate::slot::Slot;
    use crate::tongue::Tongue;

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
                wording: crate::wording::Wording::default(),
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
                    pattern.phrase.patterns
                );
                let any = |_: &Phrase, _: &Filled| true;
                let longest = patterns.longest_of(&chunks, 0, senses, &alive, &any);
                assert_eq!(
                    longest.map(|found| found.end),
                    Some(chunks.len()),
                    "{:?} does not match",
                    pattern.phrase.patterns
                );
            }
        }
    }
}
