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

use crate::chunk::{Chunk, ChunkKind};
use crate::lang::Rule;
use crate::lexicon::{Entry, Senses, Set};
use crate::{Noun, Target};
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
    /// the last of them first.
    needs: Vec<Presence>,
}

/// What kinds of chunk are there: in a passage, or as alternatives of an element.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Presence {
    sets: u128,
    /// A bit for every word, shared by words whose entries are equal modulo 128.
    words: u128,
    slots: u8,
}

impl Presence {
    /// What is there in a sentence.
    pub(crate) fn of(chunks: &[Chunk], senses: Senses<'_>) -> Self {
        let mut all = Self::ALL;
        for chunk in chunks {
            if let ChunkKind::Word { entry, .. } = chunk.kind {
                let sense = senses.sense(chunk);
                all.sets |= sense.sets;
                all.words |= Self::word(entry);
                if sense.number.is_some() {
                    all.slots |= 1 << Slot::Number as u8;
                }
            }
            for slot in slots_of(chunk.kind) {
                all.slots |= 1 << *slot as u8;
            }
        }
        all
    }

    /// What is there in every sentence, as a slot that no chunk fills.
    const ALL: Self = Self {
        sets: 0,
        words: 0,
        slots: 1 << 7,
    };

    const fn word(entry: Entry) -> u128 {
        1 << (entry.index() % 128)
    }

    fn wanted(element: &Element) -> Self {
        let mut any = Self::default();
        for want in &element.wants {
            match want {
                Want::Word(entry) => any.words |= Self::word(*entry),
                Want::Set(bit) => any.sets |= 1 << bit,
                Want::Slot(slot) => any.slots |= 1 << *slot as u8,
            }
        }
        any
    }

    /// Whether one of the alternatives of `need` is there.
    const fn has_any(&self, need: &Self) -> bool {
        let slots = (self.slots & need.slots) as u128;
        self.sets & need.sets | self.words & need.words | slots != 0
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
    /// The first need of every pattern: the quickest way to rule it out.
    first_needs: Vec<Presence>,
    /// For every entry, the patterns that can begin with it.
    by_word: Vec<Vec<u16>>,
    by_slot: [Vec<u16>; 7],
}

/// A match: the rule, where it ends, and its slots.
pub(crate) struct Match {
    pub(crate) rule: &'static Rule,
    pub(crate) end: usize,
    pub(crate) slots: Slots,
}

/// Turns the text of patterns into [`Patterns`].
#[derive(Default)]
pub(crate) struct Compiler {
    patterns: Vec<Pattern>,
}

impl Compiler {
    /// Adds a pattern.
    pub(crate) fn compile(
        &mut self,
        rule: &'static Rule,
        sets: &[String],
        entry: &mut dyn FnMut(&str) -> Entry,
    ) -> Result<(), String> {
        for text in rule.patterns.split(';') {
            let mut elements = Vec::new();
            for part in text.split_whitespace() {
                let (part, optional) = match part.strip_suffix('?') {
                    Some(part) => (part, true),
                    None => (part, false),
                };
                let mut wants = Vec::new();
                for alternative in part.split('|') {
                    wants.push(match alternative {
                        "N" => Want::Slot(Slot::Number),
                        "LINE" => Want::Slot(Slot::Line),
                        "PIECE" => Want::Slot(Slot::Piece),
                        "TARGETS" => Want::Slot(Slot::Targets),
                        "SQUARE" => Want::Slot(Slot::Square),
                        "FILE" => Want::Slot(Slot::File),
                        "SIDE" => Want::Slot(Slot::Side),
                        set if set.starts_with('@') => {
                            let bit = sets
                                .iter()
                                .position(|name| *name == set[1..])
                                .and_then(|bit| u32::try_from(bit).ok())
                                .ok_or_else(|| format!("no set {set} in `{text}`"))?;
                            Want::Set(bit)
                        }
                        "" => return Err(format!("empty alternative in `{text}`")),
                        word if word.bytes().all(|b| b.is_ascii_lowercase() || b == b'\'') => {
                            Want::Word(entry(word))
                        }
                        other => return Err(format!("`{other}` in `{text}` is no element")),
                    });
                }
                elements.push(Element { wants, optional });
            }
            if elements.iter().all(|element| element.optional) {
                return Err(format!("nothing is required in `{text}`"));
            }
            let first = elements.iter().position(|element| !element.optional);
            let needs: Vec<Presence> = elements
                .iter()
                .enumerate()
                .rev()
                .filter(|(at, element)| !element.optional && Some(*at) != first)
                .map(|(_, element)| Presence::wanted(element))
                .collect();
            self.patterns.push(Pattern {
                elements,
                rule,
                needs,
            });
        }
        Ok(())
    }

    /// Sorts the patterns by what they can begin with.
    pub(crate) fn finish(self, sets: &dyn Fn(Entry) -> u128, words: usize) -> Patterns {
        let mut out = Patterns {
            first_needs: self
                .patterns
                .iter()
                .map(|pattern| pattern.needs.first().copied().unwrap_or(Presence::ALL))
                .collect(),
            patterns: self.patterns,
            by_word: vec![Vec::new(); words],
            by_slot: Default::default(),
        };
        for (index, pattern) in out.patterns.iter().enumerate() {
            let index = u16::try_from(index).unwrap_or(u16::MAX);
            for element in &pattern.elements {
                for want in &element.wants {
                    match want {
                        Want::Word(entry) => {
                            if let Some(list) = out.by_word.get_mut(entry.index()) {
                                list.push(index);
                            }
                        }
                        Want::Set(bit) => {
                            for (word, list) in out.by_word.iter_mut().enumerate() {
                                let entry = u16::try_from(word).unwrap_or(0);
                                if sets(Entry::from_index(entry)) >> bit & 1 != 0 {
                                    list.push(index);
                                }
                            }
                        }
                        Want::Slot(slot) => out.by_slot[*slot as usize].push(index),
                    }
                }
                if !element.optional {
                    break;
                }
            }
        }
        for list in out.by_word.iter_mut().chain(&mut out.by_slot) {
            list.dedup();
        }
        out
    }
}

impl Patterns {
    /// Whether any pattern begins with a chunk of this kind: what most words fail.
    pub(crate) fn may_begin(&self, chunk: &Chunk, senses: Senses<'_>) -> bool {
        match chunk.kind {
            ChunkKind::Word { entry, .. } => {
                let list = self.by_word.get(entry.index());
                list.is_some_and(|list| !list.is_empty()) || senses.of(entry).number.is_some()
            }
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
        let mut consider = |list: &[u16]| {
            for &index in list {
                let index = usize::from(index);
                if !self
                    .first_needs
                    .get(index)
                    .is_some_and(|need| there.has_any(need))
                {
                    continue;
                }
                let Some(pattern) = self.patterns.get(index) else {
                    continue;
                };
                if !pattern.needs.iter().skip(1).all(|need| there.has_any(need)) {
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
            if first || !self.is_filler(start) {
                break;
            }
        }
        if element.optional {
            return self.run(rest, at, first);
        }
        None
    }

    fn is_filler(&self, at: usize) -> bool {
        self.chunks.get(at).is_some_and(|chunk| {
            matches!(chunk.kind, ChunkKind::Word { .. }) && {
                let sense = self.senses.sense(chunk);
                sense.is(Set::Filler) || sense.is(Set::Det)
            }
        })
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
