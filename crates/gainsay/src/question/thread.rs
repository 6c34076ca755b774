//! The thread of a book: the positions that the text before a paragraph leads to.
//!
//! Chapters tell one variation over many paragraphs: "2. d4 exd4" in one is followed by "After 3. c3
//! Black can take" in the next. Nobody says from where such moves go on; the latest position with that
//! number from which all of them can be played is taken to be meant.

use std::{collections::BTreeMap, sync::Arc};

use gainsay_commentary::CitedMove;
use gainsay_notation::{Language, Run, Span, WrittenMove, runs};
use shakmaty::Chess;

use super::play::{Attempt, Numbers, expected, play};
use crate::{
    memory::Digest,
    scene::{Step, count},
    show,
};

/// The positions that a text leads to, from the start of every game on.
#[derive(Debug)]
pub(crate) struct Thread {
    /// In the order of the text.
    positions: Vec<Chess>,
    /// The places of positions by their counts.
    counted: BTreeMap<u32, Vec<usize>>,
    /// By the offsets of its runs of moves, how far it had come before.
    before: Vec<(usize, Mark)>,
    end: Mark,
}

/// How far a thread has come.
#[derive(Clone, Copy, Debug)]
struct Mark {
    /// How many positions there are.
    length: usize,
    /// A fingerprint of them.
    print: Digest,
}

/// More positions are not kept.
const MOST: usize = 1 << 13;

/// So many positions with one count are tried.
const TRIED: usize = 16;

impl Thread {
    /// The thread of a text.
    pub(crate) fn of(text: &[u8], language: Language) -> Self {
        let mut thread = Self {
            positions: Vec::new(),
            counted: BTreeMap::new(),
            before: Vec::new(),
            end: Mark {
                length: 0,
                print: Digest::default(),
            },
        };
        thread.add(Chess::default());
        for run in runs(text, language) {
            thread.before.push((run.start, thread.end));
            thread.follow(&run);
        }
        thread
    }

    fn add(&mut self, position: Chess) {
        if self.positions.len() < MOST {
            let places = self.counted.entry(count(&position)).or_default();
            places.push(self.positions.len());
            let told = show::fen(&position);
            self.positions.push(position);
            self.end = Mark {
                length: self.positions.len(),
                print: Digest::of(&[self.end.print.bytes(), told.as_bytes()]),
            };
        }
    }

    /// Plays moves from where they go on, if they do.
    fn follow(&mut self, run: &Run) {
        let Some(wanted) = expected(run.number) else {
            return;
        };
        let moves: Vec<CitedMove> = run.moves.iter().map(cited).collect();
        // One move that begins a game may begin the solution of an exercise as well.
        if wanted == 2 && moves.len() == 1 {
            return;
        }
        let steps = self.readings(self.end.length, wanted, &moves);
        for step in steps.unwrap_or_default() {
            self.add(step.after);
        }
    }

    /// The moves, all of them, from the latest of the first `length` positions that has this count and
    /// lets them be played.
    fn readings(&self, length: usize, wanted: u32, moves: &[CitedMove]) -> Option<Vec<Step>> {
        let places = self.counted.get(&wanted)?.iter().rev();
        let places = places.filter(|&&place| place < length);
        let mut tried: Vec<&Chess> = Vec::new();
        for position in places.filter_map(|&place| self.positions.get(place)) {
            if tried.contains(&position) {
                continue;
            }
            if let Attempt::Whole(steps) = play(position, moves, Numbers::Count) {
                return Some(steps);
            }
            tried.push(position);
            if tried.len() == TRIED {
                break;
            }
        }
        None
    }

    /// What it has come to where a paragraph begins.
    pub(crate) fn at(self: &Arc<Self>, offset: usize) -> Reached {
        let behind = self.before.partition_point(|(start, _)| *start < offset);
        let mark = self.before.get(behind).map_or(self.end, |(_, mark)| *mark);
        Reached {
            thread: Arc::clone(self),
            mark,
        }
    }
}

/// A thread as far as a reader knows it.
#[derive(Clone, Debug)]
pub(crate) struct Reached {
    thread: Arc<Thread>,
    mark: Mark,
}

impl Reached {
    /// The moves, all of them, from the latest position with this count that lets them be played.
    pub(crate) fn readings(&self, wanted: u32, moves: &[CitedMove]) -> Option<Vec<Step>> {
        self.thread.readings(self.mark.length, wanted, moves)
    }

    /// A fingerprint of what is known.
    pub(crate) const fn print(&self) -> &Digest {
        &self.mark.print
    }
}

/// A move as prose would cite it.
fn cited(written: &WrittenMove) -> CitedMove {
    CitedMove {
        span: Span::default(),
        number: None,
        number_span: None,
        written: *written,
        glyph: None,
        mate_word: false,
        loose: false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moves_go_on_from_the_latest_position_that_lets_them_be_played() {
        let text = b"1. e4 e5 2. d4 exd4 is open.\n\nAfter 3. c3 Black can take, but not so after 2. Nf3. \
                     He has 3... dxc3, and 3. Nxd4 is another thing.";
        let thread = Arc::new(Thread::of(text, Language::English));
        let moves = |words: &str| -> Vec<CitedMove> {
            let run = runs(words.as_bytes(), Language::English);
            run.iter().flat_map(|run| &run.moves).map(cited).collect()
        };
        let played = |offset: usize, wanted: u32, words: &str| {
            let steps = thread.at(offset).readings(wanted, &moves(words))?;
            Some(show::fen(&steps.last()?.after))
        };
        let gambit = "rnbqkbnr/pppp1ppp/8/8/4P3/2p5/PP3PPP/RNBQKBNR w KQkq - 0 4";
        assert_eq!(played(text.len(), 7, "3... dxc3").as_deref(), Some(gambit));
        // At the second paragraph nobody knows yet of 3. c3.
        assert_eq!(played(30, 7, "3... dxc3"), None);
        assert!(played(30, 6, "3. c3").is_some());
        assert_eq!(played(text.len(), 6, "3. Nxd4"), None);
        assert_ne!(thread.at(0).print(), thread.at(30).print());
    }
}
