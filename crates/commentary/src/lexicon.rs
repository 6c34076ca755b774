//! The words of every language in one table, and the phrase patterns compiled from
//! the data in [`crate::lang`].

use std::sync::LazyLock;

use crate::entry::Entry;
use crate::frame::{self, Frame};
use crate::key::WordKey;
use crate::lang::Data;
use crate::pattern::{Compiler, KnownWord, Patterns};
use crate::sense::{PieceWord, Sense, Senses};
use crate::set::{SET_NAMES, Set};
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
    senses: [Vec<Sense>; Tongue::COUNT],
    /// Two words that are reviewed together, in order, language by language.
    twos: [Vec<((Entry, Entry), Frame)>; Tongue::COUNT],
    patterns: [Patterns; Tongue::COUNT],
    /// Mistakes in the data, found by a test.
    #[cfg_attr(not(test), allow(dead_code))]
    // Kept in every build so that building has no mode.
    pub(crate) mistakes: Vec<String>,
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
        Senses::new(&self.senses[tongue as usize], &self.twos[tongue as usize])
    }

    /// The patterns of a language.
    pub(crate) const fn patterns(&self, tongue: Tongue) -> &Patterns {
        &self.patterns[tongue as usize]
    }

    fn build() -> Self {
        let mut builder = Builder::default();
        builder.senses.resize(Entry::FIRST_WORD, Default::default());
        let mut names: Vec<Vec<String>> = Vec::new();
        for tongue in Tongue::ALL {
            names.push(builder.words(tongue, tongue.data()));
        }
        let patterns = Tongue::ALL.map(|tongue| {
            let set_names = names.get(tongue as usize).map_or(&[][..], Vec::as_slice);
            builder.patterns(tongue, tongue.data(), set_names)
        });
        let twos = Tongue::ALL.map(|tongue| builder.frames(tongue));
        let mut lexicon = Self {
            slots: vec![Default::default(); (builder.entries.len() * 2).next_power_of_two()],
            senses: Tongue::ALL.map(|tongue| {
                let of_entry = builder.senses.iter();
                of_entry.map(|senses| senses[tongue as usize]).collect()
            }),
            twos,
            patterns,
            mistakes: builder.mistakes,
        };
        for (patterns, senses) in lexicon.patterns.iter().zip(&mut lexicon.senses) {
            patterns.mark(senses);
            for sense in senses {
                sense.opens_noun =
                    sense.is_any(OPENS_NOUN) || sense.piece.is_some() || sense.number.is_some();
            }
        }
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
    mistakes: Vec<String>,
}

impl Builder {
    /// The entry of `word`, made where it is new.
    fn entry(&mut self, word: &str, tongue: Tongue) -> Entry {
        let key = WordKey::folded(word.as_bytes());
        if word.chars().count() > 16 || word.chars().any(|letter| letter > 'ÿ') {
            self.mistakes.push(format!(
                "`{word}` is longer than 16 letters or not in Latin-1"
            ));
        }
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

    /// Enters the words of a language; returns the names of its sets by bit.
    fn words(&mut self, tongue: Tongue, data: &Data) -> Vec<String> {
        // The most frequent words first, so that they lie together in memory.
        for word in data.common.split_whitespace() {
            self.entry(word, tongue);
        }
        let mut names: Vec<String> = SET_NAMES.iter().map(ToString::to_string).collect();
        for (name, words) in data.sets {
            let bit = names
                .iter()
                .position(|known| known == name)
                .unwrap_or_else(|| {
                    names.push((*name).to_owned());
                    names.len() - 1
                });
            let bit = u32::try_from(bit).ok();
            let Some(bit) = bit.filter(|&bit| bit < u128::BITS) else {
                self.mistakes.push(format!("one set too many: `{name}`"));
                continue;
            };
            for word in words.split_whitespace() {
                self.sense(word, tongue).sets |= 1 << bit;
            }
        }
        for (nuance, words) in data.nuances {
            for word in words.split_whitespace() {
                self.sense(word, tongue).nuances |= nuance.bit();
            }
        }
        for (word, value) in data.numbers {
            self.sense(word, tongue).number = Some(*value);
        }
        for (word, value) in data.ordinals {
            self.sense(word, tongue).ordinal = Some(*value);
        }
        for &(words, role, plural) in data.pieces {
            for word in words.split_whitespace() {
                self.sense(word, tongue).piece = Some(PieceWord { role, plural });
            }
        }
        names
    }

    /// Enters the reviewed words of a language; returns those that are two, in order.
    fn frames(&mut self, tongue: Tongue) -> Vec<((Entry, Entry), Frame)> {
        let mut twos = Vec::new();
        let mistakes = frame::parse(frame::source(tongue), |frame, word, next| match next {
            Some(next) => {
                self.sense(word, tongue).begins_two = true;
                twos.push(((self.entry(word, tongue), self.entry(next, tongue)), frame));
            }
            None => self.sense(word, tongue).frame = frame,
        });
        let mistakes = mistakes.into_iter();
        self.mistakes
            .extend(mistakes.map(|mistake| format!("{tongue:?} lexicon, {mistake}")));
        twos.sort_unstable();
        twos
    }

    fn patterns(&mut self, tongue: Tongue, data: &Data, names: &[String]) -> Patterns {
        let mut compiler = Compiler::default();
        for phrase in data.phrases.iter().copied().flatten() {
            let compiled = compiler.compile(phrase, names, &mut |word| self.entry(word, tongue));
            if let Err(mistake) = compiled {
                self.mistakes.push(mistake);
            }
        }
        // By Zipf's law the n-th word of a language stands an n-th time as often as the first.
        let mut frequencies = vec![1; self.senses.len()];
        for (word, rank) in data.common.split_whitespace().zip(1..) {
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
    fn the_data_has_no_mistakes() {
        assert_eq!(LEXICON.mistakes, Vec::<String>::new());
    }
}
