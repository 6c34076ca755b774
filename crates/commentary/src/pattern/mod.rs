//! Phrase patterns, and how they are matched. How they are written in the files of the languages
//! is told in `lang/README.md`; `build.rs` reads them.
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
mod text;

pub(crate) use self::compile::{Compiler, KnownWord};
pub(crate) use self::found::Alive;
pub(crate) use self::patterns::{Match, Patterns};
pub(crate) use self::phrase::{Phrase, Tie, Who};
pub(crate) use self::slots::Slots;
pub(crate) use self::text::{ElementText, PatternText};

#[cfg(test)]
mod tests {
    use gainsay_notation::Span;
    use shakmaty::{Color, File, Square};

    use super::element::Element;
    use super::slots::Filled;
    use super::*;
    use crate::chunks::Chunk;
    use crate::chunks::ChunkKind;
    use crate::data::{Claims, Language};
    use crate::entry::Entry;
    use crate::lexicon::LEXICON;
    use crate::noun::{Noun, Owner, Traits};
    use crate::presence::Presence;
    use crate::sense::{Adjectives, Meanings, Sense, Senses};
    use crate::slot::Slot;
    use crate::tongue::Tongue;

    /// A chunk that an element asks for.
    fn chunk(element: &Element, senses: Senses<'_>) -> Chunk {
        let kind = match element.slot {
            None => {
                let mut words = (0..).map(Entry::from_index);
                let member = |&word: &Entry| element.fits(word, senses.of(word));
                return Chunk {
                    span: Span::default(),
                    entry: words.find(member).expect("an element has words"),
                    kind: ChunkKind::Word { capital: false },
                };
            }
            Some(Slot::Number | Slot::Ordinal) => ChunkKind::Number(2),
            Some(Slot::Times) => {
                let mut words = (0..).map(Entry::from_index);
                let says = |&word: &Entry| senses.of(word).times.is_some();
                return Chunk {
                    span: Span::default(),
                    entry: words.find(says).expect("a word says how often"),
                    kind: ChunkKind::Word { capital: false },
                };
            }
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
                apposed: false,
            }),
            Some(Slot::Targets | Slot::Square) => ChunkKind::Square(Square::E4),
            Some(Slot::File) => ChunkKind::File(File::E),
            Some(Slot::Side) => ChunkKind::Side(Color::White),
        };
        Chunk::new(Span::default(), kind)
    }

    /// What `build.rs` makes of the patterns of a file.
    fn texts(language: &Language) -> Vec<PatternText> {
        let words = |words: &[String]| -> &'static [&'static str] {
            let words = words.iter().map(|word| &*word.clone().leak());
            words.collect::<Vec<_>>().leak()
        };
        let patterns = language.patterns.iter();
        let text = patterns.map(|pattern| {
            let elements = pattern.elements.iter().map(|element| ElementText {
                slot: element.slot,
                optional: element.optional,
                sets: element.sets.clone().leak(),
                words: words(&element.words),
            });
            PatternText {
                phrase: pattern.claim,
                elements: elements.collect::<Vec<_>>().leak(),
            }
        });
        text.collect()
    }

    #[test]
    fn a_language_may_have_any_number_of_sets() {
        const SETS: usize = 300;
        let name = |number: usize| {
            let letter = |value: usize| char::from(b'a' + (value % 26) as u8);
            format!("{}{}", letter(number / 26), letter(number))
        };
        let mut text = "adjectives: before\ngame: game\nabove: above\nbelow: below\n".to_owned();
        for number in 0..SETS {
            let (name, next) = (name(number), name((number + 1) % SETS));
            text += &format!("set {name}: w{name} w{next}\nclaim mate:\n    @{name} mate\n");
        }
        let (claims, mistakes) = Claims::parse("claims.txt", "mate = mate-now\n");
        assert_eq!(mistakes, []);
        let (language, mistakes) = Language::parse("xx.txt", &text, &claims);
        assert_eq!(mistakes, []);

        let mut known = vec!["mate".to_owned()];
        let mut entry = |word: &str| {
            let at = known.iter().position(|known| known == word);
            let at = at.unwrap_or_else(|| {
                known.push(word.to_owned());
                known.len() - 1
            });
            Entry::from_index(u16::try_from(Entry::FIRST_WORD + at).unwrap())
        };
        let sets: Vec<Vec<Entry>> = (language.sets.iter())
            .map(|set| set.words.iter().map(|word| entry(word)).collect())
            .collect();
        let mut compiler = Compiler::new(&sets);
        for text in texts(&language) {
            compiler.compile(&text, &crate::lang::PHRASES[0], &mut entry);
        }
        let mut senses = vec![Sense::NONE; Entry::FIRST_WORD + SETS + 1];
        let frequency = 1;
        let words: Vec<KnownWord<'_>> = senses
            .iter()
            .map(|sense| KnownWord { sense, frequency })
            .collect();
        let patterns = compiler.finish(&words);
        patterns.mark(&mut senses);
        let meanings = Meanings::dense(senses);
        let senses = Senses::new((Adjectives::Before, false), &meanings, &[]);
        let word = |entry: Entry| Chunk {
            span: Span::default(),
            entry,
            kind: ChunkKind::Word { capital: false },
        };
        let mate = entry("mate");
        for (set, words) in sets.iter().enumerate() {
            for other in [0, set, SETS - 1] {
                let chunks = [word(words[1]), word(mate)];
                let mut there = Presence::EVERYWHERE;
                for chunk in &chunks {
                    there.add(&senses.sense(chunk).presence);
                }
                let mut alive = Alive::default();
                patterns.find(&chunks, &[0, 1], &there, senses, &mut alive);
                let any = |_: &Phrase, _: &Filled| true;
                alive.patterns.retain(|&found| usize::from(found) == other);
                let found = patterns.longest_of(&chunks, 0, senses, &alive, &any);
                // The second word of a set is the first of the next.
                let has = other == set || other == (set + 1) % SETS;
                assert_eq!(found.is_some(), has, "set {set}, pattern {other}");
            }
        }
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
                    pattern.phrase.name
                );
                let any = |_: &Phrase, _: &Filled| true;
                let longest = patterns.longest_of(&chunks, 0, senses, &alive, &any);
                assert_eq!(
                    longest.map(|found| found.end),
                    Some(chunks.len()),
                    "{:?} does not match",
                    pattern.phrase.name
                );
            }
        }
    }
}
