//! Phrase patterns: how they are written, and how they are matched.
//!
//! A pattern is a row of elements with spaces between. An element is one or more
//! alternatives with `|` between, and may end in `?` where it can be left out:
//!
//! | alternative | matches |
//! |---|---|
//! | `mate` | the word |
//! | `@threat` | a word of the set |
//! | `N` | a number, in digits or in words |
//! | `LINE` | a cited line |
//! | `PIECE` | a noun phrase for a piece |
//! | `TARGETS` | pieces and squares, with "and" between |
//! | `SQUARE` | a square |
//! | `FILE` | a file |
//! | `SIDE` | a colour, a player, "he" |
//!
//! Fillers and articles may stand between any two elements.

mod compile;

use crate::chunk::{Chunk, ChunkKind};
use crate::lang::Rule;
use crate::lexicon::{Entry, Senses, Set};
use crate::{Noun, Target};
pub(crate) use compile::Compiler;
use shakmaty::{File, Square};

/// What a pattern asks of one chunk.
#[derive(Clone, Debug)]
enum Want {
    Word(Entry),
    Set(u32),
    Slot(Slot),
}

/// A place in a pattern that is filled from the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Slot {
    Number,
    Line,
    Piece,
    Targets,
    Square,
    File,
    Side,
}

impl Slot {
    const COUNT: usize = 7;

    const fn bit(self) -> u128 {
        1 << self as u32
    }
}

#[derive(Clone, Debug)]
struct Element {
    wants: Vec<Want>,
    optional: bool,
}

#[derive(Debug)]
struct Pattern {
    elements: Vec<Element>,
    rule: &'static Rule,
    /// What must be in a sentence for the required elements behind the first to match,
    /// what fewest sentences hold first.
    needs: Vec<Presence>,
}

/// What kinds of chunk are there: in a passage, or as alternatives of an element.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Presence {
    sets: u128,
    /// A bit for every slot, and the others for words, each shared by many.
    others: u128,
}

impl Presence {
    /// Adds what a chunk is.
    #[inline]
    pub(crate) fn add(&mut self, chunk: &Chunk, senses: Senses<'_>) {
        if let ChunkKind::Word { entry, .. } = chunk.kind {
            let sense = senses.of(entry);
            self.sets |= sense.sets;
            self.others |= Self::word(entry);
            if sense.number.is_some() {
                self.others |= Slot::Number.bit();
            }
        }
        for slot in slots_of(chunk.kind) {
            self.others |= slot.bit();
        }
    }

    /// What is there everywhere, as a slot that no chunk fills.
    pub(crate) const EVERYWHERE: Self = Self {
        sets: 0,
        others: 1 << Slot::COUNT,
    };

    /// Whether a word of the set is there.
    pub(crate) const fn has(&self, set: Set) -> bool {
        self.sets & set.bit() != 0
    }

    /// Whether a number is there, in digits or in words.
    pub(crate) const fn has_number(&self) -> bool {
        self.others & Slot::Number.bit() != 0
    }

    const fn word(entry: Entry) -> u128 {
        1 << (8 + entry.index() % 120)
    }

    fn wanted(element: &Element) -> Self {
        let mut any = Self::default();
        for want in &element.wants {
            match want {
                Want::Word(entry) => any.others |= Self::word(*entry),
                Want::Set(bit) => any.sets |= 1 << bit,
                Want::Slot(slot) => any.others |= slot.bit(),
            }
        }
        any
    }

    const fn or(self, other: Self) -> Self {
        Self {
            sets: self.sets | other.sets,
            others: self.others | other.others,
        }
    }

    /// Whether one of the alternatives of `need` is there.
    #[inline]
    const fn has_any(&self, need: &Self) -> bool {
        self.sets & need.sets | self.others & need.others != 0
    }
}

/// The slots that a chunk can fill.
const fn slots_of(kind: ChunkKind) -> &'static [Slot] {
    match kind {
        ChunkKind::Number(_) => &[Slot::Number],
        ChunkKind::Line(_) => &[Slot::Line],
        ChunkKind::Noun(_) => &[Slot::Piece, Slot::Targets],
        ChunkKind::Square(_) => &[Slot::Square, Slot::Targets],
        ChunkKind::File(_) => &[Slot::File],
        ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent => &[Slot::Side],
        _ => &[],
    }
}

/// What the slots of a matched pattern were filled with.
#[derive(Clone, Debug, Default)]
pub(crate) struct Slots {
    pub(crate) number: Option<u32>,
    pub(crate) number2: Option<u32>,
    pub(crate) line: Option<u32>,
    pub(crate) line2: Option<u32>,
    pub(crate) pieces: Vec<Noun>,
    pub(crate) targets: Vec<Target>,
    pub(crate) square: Option<Square>,
    pub(crate) file: Option<File>,
    pub(crate) side: Option<usize>,
}

/// The patterns of one language, sorted by what they begin with.
#[derive(Debug, Default)]
pub(crate) struct Patterns {
    patterns: Vec<Pattern>,
    /// For every entry, the patterns that can begin with it.
    by_word: Vec<Vec<Candidate>>,
    by_slot: [Vec<Candidate>; Slot::COUNT],
    /// For every entry, whether a pattern can begin with it: a small table for what is asked
    /// of every word.
    begins: Vec<bool>,
}

/// A pattern that can begin with something.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    /// What must stand right behind the beginning, but for fillers: the quickest way to
    /// rule the pattern out.
    next: Presence,
    pattern: u16,
}

/// A match: the rule, where it ends, and its slots.
pub(crate) struct Match {
    pub(crate) rule: &'static Rule,
    pub(crate) end: usize,
    pub(crate) slots: Slots,
}

impl Patterns {
    /// Whether any pattern begins with a chunk of this kind: what most words fail.
    pub(crate) fn may_begin(&self, chunk: &Chunk) -> bool {
        match chunk.kind {
            ChunkKind::Word { entry, .. } => self.begins.get(entry.index()) == Some(&true),
            kind => !slots_of(kind).is_empty(),
        }
    }

    /// The longest match that begins at chunk `at`.
    pub(crate) fn longest(
        &self,
        chunks: &[Chunk],
        at: usize,
        senses: Senses<'_>,
        there: &Presence,
    ) -> Option<Match> {
        let chunk = chunks.get(at)?;
        let mut best: Option<Match> = None;
        let mut next = Presence::EVERYWHERE;
        for chunk in chunks.iter().skip(at + 1).take(FILLERS + 1) {
            next.add(chunk, senses);
            if !is_filler(chunk, senses) {
                break;
            }
        }
        let mut consider = |list: &[Candidate]| {
            for candidate in list {
                if !next.has_any(&candidate.next) {
                    continue;
                }
                let Some(pattern) = self.patterns.get(usize::from(candidate.pattern)) else {
                    continue;
                };
                if !pattern.needs.iter().all(|need| there.has_any(need)) {
                    continue;
                }
                let mut matcher = Matcher {
                    chunks,
                    senses,
                    slots: Slots::default(),
                };
                if let Some(end) = matcher.run(&pattern.elements, at, true)
                    && best.as_ref().is_none_or(|best| end > best.end)
                {
                    best = Some(Match {
                        rule: pattern.rule,
                        end,
                        slots: matcher.slots,
                    });
                }
            }
        };
        if let ChunkKind::Word { entry, .. } = chunk.kind {
            if let Some(list) = self.by_word.get(entry.index()) {
                consider(list);
            }
            if senses.of(entry).number.is_some() {
                consider(&self.by_slot[Slot::Number as usize]);
            }
        } else {
            for &slot in slots_of(chunk.kind) {
                consider(&self.by_slot[slot as usize]);
            }
        }
        best
    }
}

/// Targets in one list, at most.
const MOST_TARGETS: usize = 6;

/// Fillers between two elements, at most.
const FILLERS: usize = 4;

/// Whether a chunk may stand between any two elements.
fn is_filler(chunk: &Chunk, senses: Senses<'_>) -> bool {
    match chunk.kind {
        ChunkKind::Word { entry, .. } => {
            senses.of(entry).sets & (Set::Filler.bit() | Set::Det.bit()) != 0
        }
        _ => false,
    }
}

struct Matcher<'a> {
    chunks: &'a [Chunk],
    senses: Senses<'a>,
    slots: Slots,
}

impl Matcher<'_> {
    /// Matches all `elements` from chunk `at` on; the depth of the recursion is the
    /// number of elements.
    fn run(&mut self, elements: &[Element], at: usize, first: bool) -> Option<usize> {
        let Some((element, rest)) = elements.split_first() else {
            return Some(at);
        };
        for start in at..=at + FILLERS {
            for want in &element.wants {
                // Only slots leave something behind that a failed attempt must take back.
                let saved = matches!(want, Want::Slot(_)).then(|| self.slots.clone());
                if let Some(end) = self.one(want, start)
                    && let Some(end) = self.run(rest, end, false)
                {
                    return Some(end);
                }
                if let Some(saved) = saved {
                    self.slots = saved;
                }
            }
            let filler = self.chunks.get(start);
            if first || !filler.is_some_and(|chunk| is_filler(chunk, self.senses)) {
                break;
            }
        }
        if element.optional {
            return self.run(rest, at, first);
        }
        None
    }

    /// Matches one alternative; returns the chunk behind it.
    fn one(&mut self, want: &Want, at: usize) -> Option<usize> {
        let chunk = self.chunks.get(at)?;
        match (want, &chunk.kind) {
            (Want::Word(wanted), ChunkKind::Word { entry, .. }) => {
                (wanted == entry).then_some(at + 1)
            }
            (Want::Set(bit), ChunkKind::Word { .. }) => {
                (self.senses.sense(chunk).sets >> bit & 1 != 0).then_some(at + 1)
            }
            (Want::Slot(slot), _) => self.slot(*slot, at),
            _ => None,
        }
    }

    fn slot(&mut self, slot: Slot, at: usize) -> Option<usize> {
        let chunk = self.chunks.get(at)?;
        match (slot, &chunk.kind) {
            (Slot::Number, ChunkKind::Number(value)) => self.number(*value),
            (Slot::Number, ChunkKind::Word { .. }) => {
                let value = self.senses.sense(chunk).number?;
                self.number(u32::from(value));
            }
            (Slot::Line, ChunkKind::Line(line)) => {
                if self.slots.line.is_none() {
                    self.slots.line = Some(*line);
                } else {
                    self.slots.line2 = Some(*line);
                }
            }
            (Slot::Piece, ChunkKind::Noun(noun)) => self.slots.pieces.push(*noun),
            (Slot::Square, ChunkKind::Square(square)) => self.slots.square = Some(*square),
            (Slot::File, ChunkKind::File(file)) => self.slots.file = Some(*file),
            (Slot::Side, ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent) => {
                self.slots.side = Some(at);
            }
            (Slot::Targets, _) => return self.targets(at),
            _ => return None,
        }
        Some(at + 1)
    }

    fn number(&mut self, value: u32) {
        if self.slots.number.is_none() {
            self.slots.number = Some(value);
        } else {
            self.slots.number2 = Some(value);
        }
    }

    /// Pieces and squares with commas and "and" between them.
    fn targets(&mut self, mut at: usize) -> Option<usize> {
        let mut end = None;
        for _ in 0..MOST_TARGETS {
            match self.chunks.get(at).map(|chunk| &chunk.kind) {
                Some(ChunkKind::Noun(noun)) => self.slots.targets.push(Target::Piece(*noun)),
                Some(ChunkKind::Square(square)) => self.slots.targets.push(Target::Square(*square)),
                _ => return end,
            }
            at += 1;
            end = Some(at);
            while self.chunks.get(at).is_some_and(|chunk| match chunk.kind {
                ChunkKind::Comma => true,
                ChunkKind::Word { .. } => {
                    let sense = self.senses.sense(chunk);
                    sense.is(Set::And) && !sense.is(Set::Or) || sense.is(Set::Both)
                }
                _ => false,
            }) {
                at += 1;
            }
        }
        end
    }
}
