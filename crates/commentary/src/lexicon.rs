//! The words of every language in one table, and the phrase patterns compiled from
//! the tables in [`crate::lang`].

use std::sync::LazyLock;

use crate::entry::Entry;
use crate::frame::{self, Frame};
use crate::key::WordKey;
use crate::lang::{Data, PHRASES};
use crate::pattern::{Compiler, KnownWord, Patterns};
use crate::sense::{Meanings, PieceWord, Sense, Senses};
use crate::set::Set;
use crate::tongue::Tongue;

/// The sets of the words that a noun phrase can begin with, pieces and numbers aside.
const OPENS_NOUN: u128 = Set::White.bit()
    | Set::Black.bit()
    | Set::Light.bit()
    | Set::Dark.bit()
    | Set::His.bit()
    | Set::Enemy.bit()
    | Set::Opponent.bit()
    | Set::Both.bit()
    | Set::Det.bit()
    | Set::Adjective.bit();

/// A word as the lexicon knows it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Word {
    pub(crate) entry: Entry,
    /// A bit for each language that knows it.
    pub(crate) tongues: u8,
}

/// All words and patterns.
pub(crate) struct Lexicon {
    /// Open addressing; the length is a power of two.
    slots: Vec<(WordKey, Word)>,
    /// What the entries mean, language by language.
    senses: [Meanings; Tongue::COUNT],
    /// Two words that are reviewed together, in order, language by language.
    twos: [Vec<((Entry, Entry), Frame)>; Tongue::COUNT],
    patterns: [Patterns; Tongue::COUNT],
}

/// The one lexicon, built at first use.
pub(crate) static LEXICON: LazyLock<Lexicon> = LazyLock::new(Lexicon::build);

impl Lexicon {
    /// What is known of a word.
    #[inline]
    pub(crate) fn word(&self, key: &WordKey) -> Word {
        let mask = self.slots.len() - 1;
        let mut slot = key.hash();
        while let Some((known, word)) = self.slots.get(slot & mask) {
            if known == key {
                return *word;
            }
            if !word.entry.is_known() {
                break;
            }
            slot += 1;
        }
        Word::default()
    }

    /// Whether any language knows the word.
    pub(crate) fn knows(&self, key: &WordKey) -> bool {
        self.word(key).entry.is_known()
    }

    /// What words mean in a language.
    pub(crate) fn senses(&self, tongue: Tongue) -> Senses<'_> {
        Senses::new(
            (tongue.data().adjectives, tongue.data().free_order),
            &self.senses[tongue as usize],
            &self.twos[tongue as usize],
        )
    }

    /// The patterns of a language.
    pub(crate) const fn patterns(&self, tongue: Tongue) -> &Patterns {
        &self.patterns[tongue as usize]
    }

    fn build() -> Self {
        let mut builder = Builder::default();
        builder.senses.resize(Entry::FIRST_WORD, Default::default());
        let sets = Tongue::ALL.map(|tongue| builder.words(tongue, tongue.data()));
        let patterns = Tongue::ALL.map(|tongue| {
            let sets = &sets[tongue as usize];
            builder.patterns(tongue, tongue.data(), sets)
        });
        let twos = Tongue::ALL.map(|tongue| builder.frames(tongue));
        let mut lexicon = Self {
            slots: vec![Default::default(); (builder.entries.len() * 2).next_power_of_two()],
            senses: Tongue::ALL.map(|tongue| {
                let of_entry = builder.senses.iter();
                let mut senses: Vec<Sense> =
                    of_entry.map(|senses| senses[tongue as usize]).collect();
                patterns[tongue as usize].mark(&mut senses);
                for sense in &mut senses {
                    sense.opens_noun =
                        sense.is_any(OPENS_NOUN) || sense.piece.is_some() || sense.number.is_some();
                }
                match tongue {
                    Tongue::English => Meanings::dense(senses),
                    _ => Meanings::sparse(&senses),
                }
            }),
            twos,
            patterns,
        };
        // The most frequent words first, so that they are found at once.
        let mut words: Vec<(Entry, WordKey)> = (builder.entries.into_iter())
            .map(|(key, entry)| (entry, key))
            .collect();
        words.sort_unstable();
        let mask = lexicon.slots.len() - 1;
        for (entry, key) in words {
            let mut slot = key.hash();
            while lexicon.slots[slot & mask].1.entry.is_known() {
                slot += 1;
            }
            let tongues = tongues(&builder.senses[entry.index()]);
            lexicon.slots[slot & mask] = (key, Word { entry, tongues });
        }
        lexicon
    }
}

fn tongues(senses: &[Sense; Tongue::COUNT]) -> u8 {
    Tongue::ALL
        .into_iter()
        .filter(|&tongue| senses[tongue as usize].known)
        .fold(0, |bits, tongue| bits | 1 << tongue as u8)
}

/// How many times as often as a rare word the first of a language stands.
const FIRST_WORD: u32 = 500;

#[derive(Default)]
struct Builder {
    entries: std::collections::BTreeMap<WordKey, Entry>,
    senses: Vec<[Sense; Tongue::COUNT]>,
}

impl Builder {
    /// The entry of `word`, made where it is new.
    fn entry(&mut self, word: &str, tongue: Tongue) -> Entry {
        let key = WordKey::folded(word.as_bytes());
        let next = Entry::from_index(u16::try_from(self.senses.len()).unwrap_or(0));
        let entry = *self.entries.entry(key).or_insert(next);
        if entry == next {
            self.senses.push(Default::default());
        }
        if let Some(senses) = self.senses.get_mut(entry.index()) {
            senses[tongue as usize].known = true;
        }
        entry
    }

    fn sense(&mut self, word: &str, tongue: Tongue) -> &mut Sense {
        let entry = self.entry(word, tongue);
        &mut self.senses[entry.index()][tongue as usize]
    }

    /// Enters the words of a language; returns those of each of its sets.
    fn words(&mut self, tongue: Tongue, data: &Data) -> Vec<Vec<Entry>> {
        // The most frequent words first, so that they lie together in memory.
        for word in data.common {
            self.entry(word, tongue);
        }
        let mut sets = Vec::new();
        for set in data.sets {
            for word in set.words {
                self.sense(word, tongue).sets |= set.known.map_or(0, |bit| 1 << bit);
            }
            let words = set.words.iter();
            sets.push(words.map(|word| self.entry(word, tongue)).collect());
        }
        for (nuance, words) in data.nuances {
            for word in *words {
                self.sense(word, tongue).nuances |= nuance.bit();
            }
        }
        for (word, value) in data.numbers {
            self.sense(word, tongue).number = Some(*value);
        }
        for (word, value) in data.ordinals {
            self.sense(word, tongue).ordinal = Some(*value);
        }
        for (word, value) in data.times {
            self.sense(word, tongue).times = Some(*value);
        }
        for &(word, role, plural) in data.pieces {
            self.sense(word, tongue).piece = Some(PieceWord { role, plural });
        }
        sets
    }

    /// Enters the reviewed words of a language; returns those that are two, in order.
    fn frames(&mut self, tongue: Tongue) -> Vec<((Entry, Entry), Frame)> {
        let mut twos = Vec::new();
        // A test of `frame` finds mistakes.
        for source in frame::sources(tongue) {
            frame::parse(source, |frame, word, next| match next {
                Some(next) => {
                    self.sense(word, tongue).begins_two = true;
                    twos.push(((self.entry(word, tongue), self.entry(next, tongue)), frame));
                }
                None => self.sense(word, tongue).frame = frame,
            });
        }
        twos.sort_unstable();
        twos
    }

    fn patterns(&mut self, tongue: Tongue, data: &Data, sets: &[Vec<Entry>]) -> Patterns {
        let mut compiler = Compiler::new(sets);
        for text in data.patterns {
            if let Some(phrase) = PHRASES.get(text.phrase) {
                compiler.compile(text, phrase, &mut |word| self.entry(word, tongue));
            }
        }
        // By Zipf's law the n-th word of a language stands an n-th time as often as the first.
        let mut frequencies = vec![1; self.senses.len()];
        for (word, rank) in data.common.iter().zip(1..) {
            let entry = self.entry(word, tongue);
            if let Some(frequency) = frequencies.get_mut(entry.index()) {
                *frequency = 1 + FIRST_WORD / rank;
            }
        }
        let words = self.senses.iter().zip(frequencies);
        let words: Vec<KnownWord<'_>> = words
            .map(|(senses, frequency)| KnownWord {
                sense: &senses[tongue as usize],
                frequency,
            })
            .collect();
        compiler.finish(&words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_has_a_number_of_its_own() {
        let known = LEXICON
            .slots
            .iter()
            .filter(|(_, word)| word.entry.is_known());
        let mut words: Vec<usize> = known.map(|(_, word)| word.entry.index()).collect();
        words.sort_unstable();
        assert!(
            words
                .first()
                .is_some_and(|&first| first >= Entry::FIRST_WORD)
        );
        assert!(words.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(
            words
                .last()
                .is_some_and(|&last| last < usize::from(u16::MAX))
        );
    }
}
