//! The patterns of a language, and those of a sentence that match.

use super::element::Pattern;
use super::found::{Alive, Lists};
use super::matcher::{FILLERS, Matcher};
use super::phrase::Phrase;
use super::slots::{Filled, Slots};
use crate::chunks::Chunk;
use crate::entry::Entry;
use crate::presence::Presence;
use crate::sense::{Sense, Senses};

/// The patterns of one language.
#[derive(Debug, Default)]
pub(crate) struct Patterns {
    pub(super) patterns: Vec<Pattern>,
    /// The words of the sets that they name, in the order of their bits.
    pub(super) sets: Vec<Vec<Entry>>,
    /// For every word, or what stands for words of its kind, the patterns whose rarest
    /// element it can be.
    pub(super) lists: Lists,
}

/// A match: the phrase, and where it ends.
pub(crate) struct Match {
    pub(crate) phrase: &'static Phrase,
    pub(crate) end: usize,
    /// The index of the pattern.
    pub(super) pattern: u16,
    pub(super) filled: Filled,
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
            sense.presence = sense.presence_of(entry);
            sense.finds = !self.lists.get(entry.index()).is_empty();
        }
        for (words, number) in self.sets.iter().zip(0..) {
            let Some(bit) = Presence::of_set(number) else {
                continue;
            };
            for word in words {
                if let Some(sense) = senses.get_mut(word.index()) {
                    sense.presence.add(&bit);
                }
            }
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
            pattern.is_none_or(|pattern| !pattern.phrase.of_games)
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
        let makes_sense = |phrase: &Phrase, filled: &Filled| {
            !phrase.picky || (phrase.make)(&Slots::new(filled, chunks, senses)).is_some()
        };
        self.longest_of(chunks, at, senses, alive, &makes_sense)
    }

    pub(super) fn longest_of(
        &self,
        chunks: &[Chunk],
        at: usize,
        senses: Senses<'_>,
        alive: &Alive,
        wanted: &dyn Fn(&Phrase, &Filled) -> bool,
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
                    let first = (!pattern.phrase.of_games, index);
                    end > best.end
                        || end == best.end && first < (!best.phrase.of_games, best.pattern)
                })
                && wanted(pattern.phrase, &matcher.filled)
            {
                best = Some(Match {
                    phrase: pattern.phrase,
                    pattern: index,
                    end,
                    filled: matcher.filled,
                });
            }
        }
        best
    }
}

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
