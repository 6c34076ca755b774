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
use crate::lexicon::{Entry, Sense, Senses, Set};
use crate::{Noun, Target};
pub(crate) use compile::{Compiler, KnownWord};
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

    /// About how often something is there that fills it, as [`KnownWord::frequency`].
    const fn frequency(self) -> u32 {
        match self {
            Self::File => 5,
            Self::Number => 10,
            Self::Square => 20,
            Self::Line => 40,
            Self::Piece | Self::Targets | Self::Side => 80,
        }
    }

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
    /// What it can begin with.
    first: Presence,
    /// What must stand right behind the beginning, but for fillers.
    next: Presence,
    /// What must be in a sentence for the required elements to match, but for the two that
    /// fewest sentences hold: by these the pattern is found.
    needs: Vec<Presence>,
    elements: Vec<Element>,
    rule: &'static Rule,
}

/// What kinds of chunk are there: in a passage, or as alternatives of an element.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Presence {
    sets: u128,
    /// A bit for every slot, and the others for words, each shared by many.
    others: u128,
}

impl Presence {
    /// What is there everywhere, as a slot that no chunk fills.
    pub(crate) const EVERYWHERE: Self = Self {
        sets: 0,
        others: 1 << Slot::COUNT,
    };

    /// Adds a word.
    #[inline]
    pub(crate) const fn add_word(&mut self, sense: &Sense) {
        self.sets |= sense.sets;
        self.others |= sense.others;
    }

    /// Adds a chunk that is no word.
    pub(crate) const fn add_kind(&mut self, kind: &ChunkKind) {
        self.others |= Self::of_kind(kind).others;
    }

    /// What a chunk is.
    #[inline]
    fn of(chunk: &Chunk, senses: Senses<'_>) -> Self {
        match &chunk.kind {
            ChunkKind::Word { entry, .. } => {
                let sense = senses.of(*entry);
                Self {
                    sets: sense.sets,
                    others: sense.others,
                }
            }
            kind => Self::of_kind(kind),
        }
    }

    /// The slots that a chunk can fill by its kind.
    const fn of_kind(kind: &ChunkKind) -> Self {
        let others = match kind {
            ChunkKind::Number(_) => Slot::Number.bit(),
            ChunkKind::Line(_) => Slot::Line.bit(),
            ChunkKind::Noun(_) => Slot::Piece.bit() | Slot::Targets.bit(),
            ChunkKind::Square(_) => Slot::Square.bit() | Slot::Targets.bit(),
            ChunkKind::File(_) => Slot::File.bit(),
            ChunkKind::Side(_) | ChunkKind::He(_) | ChunkKind::Opponent => Slot::Side.bit(),
            _ => 0,
        };
        Self { sets: 0, others }
    }

    /// Whether a word of the set is there.
    pub(crate) const fn has(&self, set: Set) -> bool {
        self.sets & set.bit() != 0
    }

    /// Whether a cited line or a noun phrase for a piece is there.
    pub(crate) const fn has_line_or_noun(&self) -> bool {
        self.others & (Slot::Line.bit() | Slot::Piece.bit()) != 0
    }

    /// Whether a word of one of the sets is there.
    pub(crate) const fn has_any_of(&self, sets: u128) -> bool {
        self.sets & sets != 0
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

    /// What is in one or the other.
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

/// The patterns of one language.
#[derive(Debug, Default)]
pub(crate) struct Patterns {
    patterns: Vec<Pattern>,
    /// For every entry, the patterns whose rarest element it can be.
    of_words: Lists,
    /// The same for every slot.
    of_slots: Lists,
}

/// A pattern where it is found by its rarest element.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    /// What its next rarest element asks for.
    need: Presence,
    pattern: u16,
}

/// Lists of candidates, one behind the other.
#[derive(Debug, Default)]
struct Lists {
    ends: Vec<u32>,
    candidates: Vec<Candidate>,
}

impl Lists {
    fn new(lists: &[Vec<Candidate>]) -> Self {
        let mut out = Self::default();
        out.ends.push(0);
        for list in lists {
            out.candidates.extend(list);
            out.ends
                .push(u32::try_from(out.candidates.len()).unwrap_or(u32::MAX));
        }
        out
    }

    #[inline]
    fn get(&self, index: usize) -> &[Candidate] {
        match self.ends.get(index..index + 2) {
            Some(&[start, end]) => self
                .candidates
                .get(start as usize..end as usize)
                .unwrap_or_default(),
            _ => &[],
        }
    }
}

/// The patterns that can match somewhere in a sentence.
#[derive(Debug, Default)]
pub(crate) struct Alive {
    patterns: Vec<u16>,
    /// A bit for each of them.
    bits: Vec<u64>,
    /// What one of them can begin with.
    first: Presence,
}

/// A match: the rule, where it ends, and its slots.
pub(crate) struct Match {
    pub(crate) rule: &'static Rule,
    pub(crate) end: usize,
    pub(crate) slots: Slots,
}

impl Patterns {
    /// Tells the words of the language what patterns ask of them.
    pub(crate) fn mark(&self, senses: &mut [Sense]) {
        let entries = (0..).map(Entry::from_index);
        for (sense, entry) in senses.iter_mut().zip(entries) {
            sense.others = Presence::word(entry);
            if sense.number.is_some() {
                sense.others |= Slot::Number.bit();
            }
            sense.finds = !self.of_words.get(entry.index()).is_empty();
        }
    }

    /// Finds the patterns that can match in a sentence with the words `finders`, where all
    /// that is in it is `there`.
    pub(crate) fn find(&self, finders: &[Entry], there: &Presence, alive: &mut Alive) {
        alive.clear();
        alive.bits.resize(self.patterns.len().div_ceil(64), 0);
        for entry in finders {
            self.add(self.of_words.get(entry.index()), there, alive);
        }
        let mut slots = there.others & ((1 << Slot::COUNT) - 1);
        while slots != 0 {
            self.add(
                self.of_slots.get(slots.trailing_zeros() as usize),
                there,
                alive,
            );
            slots &= slots - 1;
        }
        if alive.patterns.len() > 1 {
            alive.patterns.sort_unstable();
        }
    }

    #[inline]
    fn add(&self, list: &[Candidate], there: &Presence, alive: &mut Alive) {
        for candidate in list {
            if there.has_any(&candidate.need)
                && let Some(pattern) = self.patterns.get(usize::from(candidate.pattern))
                && pattern.needs.iter().all(|need| there.has_any(need))
                && alive.insert(candidate.pattern)
            {
                alive.first = alive.first.or(pattern.first);
            }
        }
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
        let first = Presence::of(chunks.get(at)?, senses);
        if !first.has_any(&alive.first) {
            return None;
        }
        self.longest_of(chunks, at, senses, alive, &first)
    }

    fn longest_of(
        &self,
        chunks: &[Chunk],
        at: usize,
        senses: Senses<'_>,
        alive: &Alive,
        first: &Presence,
    ) -> Option<Match> {
        let mut best: Option<Match> = None;
        let mut next = Presence::EVERYWHERE;
        for chunk in chunks.iter().skip(at + 1).take(FILLERS + 1) {
            next = next.or(Presence::of(chunk, senses));
            if !is_filler(chunk, senses) {
                break;
            }
        }
        for &index in &alive.patterns {
            let Some(pattern) = self.patterns.get(usize::from(index)) else {
                continue;
            };
            if !first.has_any(&pattern.first) || !next.has_any(&pattern.next) {
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
        best
    }
}

impl Alive {
    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        self.patterns.is_empty()
    }

    /// Empties it.
    fn clear(&mut self) {
        for &index in &self.patterns {
            if let Some(bits) = self.bits.get_mut(usize::from(index) / 64) {
                *bits = 0;
            }
        }
        self.patterns.clear();
        self.first = Presence::default();
    }

    /// Adds a pattern; whether it is new.
    fn insert(&mut self, index: u16) -> bool {
        let Some(bits) = self.bits.get_mut(usize::from(index) / 64) else {
            return false;
        };
        let new = *bits >> (index % 64) & 1 == 0;
        if new {
            *bits |= 1 << (index % 64);
            self.patterns.push(index);
        }
        new
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
            let Some(chunk) = self.chunks.get(start) else {
                break;
            };
            for want in &element.wants {
                if !self.fits(want, chunk) {
                    continue;
                }
                // Only slots leave something behind that a failed attempt must take back.
                let Want::Slot(slot) = want else {
                    if let Some(end) = self.run(rest, start + 1, false) {
                        return Some(end);
                    }
                    continue;
                };
                let saved = self.slots.clone();
                if let Some(end) = self.fill(*slot, start, chunk)
                    && let Some(end) = self.run(rest, end, false)
                {
                    return Some(end);
                }
                self.slots = saved;
            }
            if first || !is_filler(chunk, self.senses) {
                break;
            }
        }
        if element.optional {
            return self.run(rest, at, first);
        }
        None
    }

    /// Whether a chunk is what an alternative asks for.
    fn fits(&self, want: &Want, chunk: &Chunk) -> bool {
        let ChunkKind::Word { entry, .. } = chunk.kind else {
            return matches!(want, Want::Slot(slot) if Presence::of_kind(&chunk.kind).others & slot.bit() != 0);
        };
        match want {
            Want::Word(wanted) => *wanted == entry,
            Want::Set(bit) => self.senses.of(entry).sets >> bit & 1 != 0,
            Want::Slot(Slot::Number) => self.senses.of(entry).number.is_some(),
            Want::Slot(_) => false,
        }
    }

    /// Fills a slot with the chunk at `at`, which fits it; returns the chunk behind.
    fn fill(&mut self, slot: Slot, at: usize, chunk: &Chunk) -> Option<usize> {
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
            (Slot::Side, _) => self.slots.side = Some(at),
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
