//! What is true of a sentence as a whole: that it asks, or tells of another game.

use gainsay_notation::{Glyph, GlyphMeaning};

use super::around::TELLING;
use super::maker::{Maker, REACH};
use crate::chunks::{ChunkKind, Sentence};
use crate::claim::Prose;
use crate::entry::Entry;
use crate::set::Set;

impl Maker<'_> {
    /// Looks at the sentence as a whole; whether it is a question.
    pub(super) fn begin_sentence(&mut self, prose: &Prose, sentence: &Sentence) -> bool {
        let there = &sentence.there;
        // What is longer than any sentence is taken for a list without sense.
        let length = sentence.chunks.len();
        let within = length < 4 * REACH;
        let from = sentence.chunks.start;
        let end = from + length.min(4 * REACH);
        let has = |set: Set| sentence.sets & set.bit() != 0;
        self.lines = there.has_line();
        self.telling = sentence.sets & TELLING != 0;
        self.away = has(Set::Book) || has(Set::Adjacent) && self.points_away(from, end);
        self.elsewhere |= has(Set::Alter) && self.alters(from);
        if there.has_number() || sentence.pause || has(Set::Game) {
            self.elsewhere |= self.tells_of_another_game(from, end);
        }
        let asked = sentence.asked && within;
        asked || (sentence.glyph || has(Set::Reply)) && self.asks_inside(prose, from, end)
    }

    /// "In a blitz game", "In another game" at the beginning.
    fn begins_in_a_game(&self, from: usize) -> bool {
        const WORDS: usize = 5;
        let words = (from..from + WORDS)
            .take_while(|&at| matches!(self.kind(at), Some(ChunkKind::Word { .. })));
        let mut words = words.map(|at| self.sense(at));
        let opens = words.next().is_some_and(|sense| sense.is(Set::Points));
        opens
            && words.next().is_some_and(|sense| sense.is(Set::Det))
            && words.any(|sense| sense.is(Set::Game))
    }

    /// Whether a sentence asks before its end.
    fn asks_inside(&self, prose: &Prose, from: usize, end: usize) -> bool {
        let opens = (from..from + 3).any(|at| self.sense(at).is(Set::Question));
        let chunks = self.chunks.get(from..end).unwrap_or_default();
        chunks
            .iter()
            .zip(from + 1..)
            .any(|(chunk, next)| match chunk.kind {
                // "Can Black play 24...Kh8?" ends in a glyph.
                ChunkKind::Glyph(glyph) if glyph.meaning() == Some(GlyphMeaning::PoorMove) => opens,
                // "A threat of 24...Qg2#? No" is answered.
                ChunkKind::Line(line) if self.sense(next).is(Set::Reply) => {
                    prose.lines.get(line as usize).is_some_and(|line| {
                        let last = prose.moves_of(line).last();
                        last.is_some_and(|cited| cited.glyph.is_some_and(Glyph::has_question_mark))
                    })
                }
                _ => false,
            })
    }

    /// "In the next exercise", "last week".
    fn points_away(&self, from: usize, end: usize) -> bool {
        (from..end).any(|at| self.sense(at).is(Set::Adjacent) && self.sense(at + 1).is(Set::Place))
    }

    /// "Now put the black king on g7": from here on another position is meant.
    fn alters(&self, from: usize) -> bool {
        let first = from + usize::from(self.sense(from).is(Set::Filler));
        let number = matches!(
            self.kind(first + 1),
            Some(ChunkKind::Number(_) | ChunkKind::Line(_))
        );
        self.sense(first).is(Set::Alter) && !number
    }

    /// Whether the sentence of chunks `from..end` tells of another game: by a year, a
    /// pair of names, or "the fourth match game".
    fn tells_of_another_game(&self, from: usize, end: usize) -> bool {
        if self.begins_in_a_game(from) {
            return true;
        }
        (from..end)
            .filter(|&at| !self.is_of_pointer(at))
            .any(|at| match self.kind(at) {
                Some(ChunkKind::Number(1500..=2100)) => true,
                Some(ChunkKind::Word { capital: true }) if self.is_unknown(at) => {
                    matches!(self.kind(at + 1), Some(ChunkKind::Pause))
                        && matches!(self.kind(at + 2), Some(ChunkKind::Word { capital: true }))
                        && self.is_unknown(at + 2)
                }
                Some(ChunkKind::Word { .. }) if self.sense(at).is(Set::Game) => {
                    let number = |at: usize| {
                        matches!(self.kind(at), Some(ChunkKind::Number(_)))
                            || self.sense(at).number.is_some()
                            || self.sense(at).ordinal.is_some()
                    };
                    number(at + 1)
                        || at.checked_sub(1).is_some_and(|before| {
                            number(before)
                                || self.sense(before).is(Set::Game) && self.sense(at).is(Set::Game)
                        })
                }
                _ => false,
            })
    }

    /// Whether no language knows the word of chunk `at`.
    pub(super) fn is_unknown(&self, at: usize) -> bool {
        let chunk = self.chunks.get(at);
        chunk.is_some_and(|chunk| chunk.entry == Entry::UNKNOWN)
    }
}
