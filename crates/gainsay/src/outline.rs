//! What belongs to what: the blocks of games and positions of a text, their numbers, and which of
//! them the prose between them speaks of.
//!
//! Between two blocks a paragraph may speak of the one that it follows or of the one that it
//! introduces. That is a matter of the author's layout, which shows at the ends of chapters: where
//! the first block of a chapter has no text above and the last has text below, texts follow their
//! blocks; where it is the other way round, they introduce them. Where nothing tells, both are
//! possible. In a chapter of solutions a paragraph that begins with a number speaks of the exercise
//! of that number.

use std::{collections::BTreeMap, ops::Range};

use gainsay_notation::SectionKind;

use crate::{
    drawn,
    numbering::{Note, Written, notes},
    pieces::{Block, Excerpt, Layout, Piece, REACH},
    prose::{
        Heading, Label, Parts, closes_a_book, is_of_solutions, numbered, numbers_a_chapter, parts,
    },
};

/// A block among the pieces of a text.
#[derive(Clone, Copy, Debug)]
struct Numbered {
    /// Its place among the pieces.
    at: usize,
    /// The number of its caption.
    caption: Option<u32>,
    /// Its number among the positions; 0 for games.
    ordinal: u32,
    /// The number that the text beside gives to it as an exercise.
    exercise: Option<u32>,
    /// Whether it stands among the solutions.
    of_solutions: bool,
}

/// A position with the number that prose calls it by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NumberedBlock {
    /// The place of its piece.
    pub(crate) at: usize,
    /// What it is called.
    pub(crate) noun: &'static str,
    /// `None` where nothing that is read gives it one.
    pub(crate) number: Option<u32>,
}

/// The blocks of a text, with what speaks of them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Outline {
    blocks: Vec<Numbered>,
    /// By the place of a piece of prose, the layout that holds there.
    layouts: BTreeMap<usize, Layout>,
    /// By the place of a piece of prose, the paragraphs that name their block by its number.
    named: BTreeMap<usize, Vec<(usize, usize)>>,
    /// By the place of a block, its solution: a piece, and bytes of it.
    solutions: BTreeMap<usize, (usize, Range<usize>)>,
    /// What is wrong with numbers of exercises, by the place of their piece: the number, where it
    /// stands in the piece, and what it is.
    notes: BTreeMap<usize, Vec<(u32, Range<usize>, Note)>>,
    /// Whether diagrams have captions with numbers.
    captioned: bool,
    /// The numbers of exercises and solutions, whether they belong to anything or not.
    exercises: Vec<u32>,
    ends: Ends,
}

/// What the headings tell of where a text begins and ends.
#[derive(Clone, Copy, Debug, Default)]
struct Ends {
    /// Whether one of them stands at the end of a book.
    closes: bool,
    /// How many of them number a chapter, and whether the first of them has the number 1.
    chapters: u32,
    begins: bool,
}

/// A chapter while it is read.
#[derive(Debug, Default)]
struct Chapter {
    /// The pieces of prose that begin in it.
    passages: Vec<usize>,
    blocks: u32,
    /// Whether text stands above its first block, and below its last one.
    above: bool,
    below: bool,
}

impl Chapter {
    fn vote(&self) -> Layout {
        match (self.blocks, self.above, self.below) {
            (1.., true, false) => Layout::Above,
            (1.., false, true) => Layout::Below,
            _ => Layout::Unknown,
        }
    }
}

/// What a text is being read for its outline.
#[derive(Debug)]
struct Reading {
    outline: Outline,
    chapters: Vec<Chapter>,
    /// Paragraphs under a heading of solutions that begin with a number.
    solutions: Vec<Solution>,
    of_solutions: bool,
    /// The number for the next exercise, and the paragraph that gives it, if it is no heading.
    label: Option<(Written, Option<Paragraph>)>,
    /// The numbers of exercises, in the order of the blocks that have them.
    exercises: Vec<Written>,
    /// Whether captions stand above their diagrams; `None` before the first.
    captions_above: Option<bool>,
    /// Whether the last exercise has its number below.
    labels_below: bool,
    /// The caption for the next diagram.
    caption: Option<(u32, Paragraph)>,
    positions: u32,
}

/// A paragraph of solutions that begins with a number.
#[derive(Clone, Debug)]
struct Solution {
    from: Paragraph,
    number: u32,
    /// What stands behind the number, in bytes of the piece.
    words: Range<usize>,
}

/// A paragraph: the place of its piece, and where it begins there.
type Paragraph = (usize, usize);

/// A longer paragraph that begins with the number of a diagram speaks of it and is no caption.
const LONGEST_CAPTION: usize = 120;

impl Reading {
    /// A game or a position.
    fn block(&mut self, at: usize, piece: &Piece, own: &[u8]) {
        let position = piece.is_position();
        self.positions += u32::from(position);
        let caption = self.caption.take().filter(|_| position);
        let drawn = drawn::number(piece.kind, own);
        let label = self.label.take();
        let place = self.outline.blocks.len();
        self.outline.blocks.push(Numbered {
            at,
            caption: drawn.or(caption.map(|(number, _)| number)),
            ordinal: if position { self.positions } else { 0 },
            exercise: label.as_ref().map(|(written, _)| written.number),
            of_solutions: self.of_solutions,
        });
        let (written, from) = label.unzip();
        self.exercises.extend(written.filter(|_| position));
        let paragraphs = from.flatten().into_iter();
        for from in paragraphs.chain(caption.map(|(_, from)| from)) {
            self.outline.tie(from, place);
        }
        if let Some(chapter) = self.chapters.last_mut() {
            chapter.blocks += 1;
            chapter.below = false;
        }
    }

    fn passage(&mut self, at: usize, parts: &Parts<'_>) {
        if let Some(chapter) = self.chapters.last_mut() {
            chapter.passages.push(at);
        }
        let mut headings = parts.headings.iter().peekable();
        for (nth, paragraph) in parts.paragraphs.iter().enumerate() {
            while let Some(heading) = headings.next_if(|heading| heading.paragraphs <= nth) {
                self.heading(at, heading);
            }
            let here = (at, paragraph.start);
            let behind_block = nth == 0 && paragraph.headings == 0;
            match numbered(paragraph.text) {
                Some(label) if self.of_solutions => {
                    let end = paragraph.start + paragraph.text.len();
                    self.solutions.push(Solution {
                        from: here,
                        number: label.number,
                        words: (paragraph.start + label.length).min(end)..end,
                    });
                }
                Some(label) if label.diagram && paragraph.text.len() <= LONGEST_CAPTION => {
                    self.captioned(label.number, here, behind_block);
                    continue;
                }
                Some(label) if !label.diagram => {
                    let alone = parts.paragraphs.len() == 1 || self.labels_below;
                    let alone = behind_block && alone;
                    self.labelled(Written::of(label, at, paragraph.start), here, alone);
                }
                _ => {}
            }
            if let Some(chapter) = self.chapters.last_mut() {
                chapter.above |= chapter.blocks == 0;
                chapter.below |= chapter.blocks > 0;
            }
        }
        for heading in headings {
            self.heading(at, heading);
        }
    }

    /// A heading, with which a chapter begins.
    fn heading(&mut self, piece: usize, heading: &Heading<'_>) {
        let words = heading.words;
        let ends = &mut self.outline.ends;
        ends.closes |= closes_a_book(words);
        if let Some(first) = numbers_a_chapter(words) {
            ends.begins |= first && ends.chapters == 0;
            ends.chapters += 1;
        }
        self.chapters.push(Chapter::default());
        let label = numbered(words);
        let written = |label: Label| Written::of(label, piece, heading.start);
        self.label = label.map(|label| (written(label), None));
        // "Exercise 7" may be a heading among the solutions.
        self.of_solutions = is_of_solutions(words) || self.of_solutions && label.is_some();
    }

    /// The block before a passage, if it is a position that stands in this chapter.
    fn block_before(&mut self, piece: usize) -> Option<(usize, &mut Numbered)> {
        let last = self.outline.blocks.len().checked_sub(1)?;
        let block = self.outline.blocks.last_mut()?;
        (block.at < piece && block.ordinal > 0).then_some((last, block))
    }

    /// A caption stands below its diagram or above it, as the first of the text does.
    fn captioned(&mut self, number: u32, from: Paragraph, behind_block: bool) {
        let above = *self.captions_above.get_or_insert(!behind_block);
        let before = self.block_before(from.0).filter(|_| behind_block && !above);
        match before.filter(|(_, block)| block.caption.is_none()) {
            Some((place, block)) => {
                block.caption = Some(number);
                self.outline.tie(from, place);
            }
            None => self.caption = Some((number, from)),
        }
    }

    /// The number of an exercise belongs to the position below, or to the one above that has none if
    /// the paragraph stands there `alone`, or others before it had theirs below.
    fn labelled(&mut self, written: Written, from: Paragraph, alone: bool) {
        let before = self.block_before(from.0).filter(|_| alone);
        match before.filter(|(_, block)| block.exercise.is_none()) {
            Some((place, block)) => {
                block.exercise = Some(written.number);
                self.labels_below = true;
                self.exercises.push(written);
                self.outline.tie(from, place);
            }
            None => {
                self.labels_below = false;
                self.label = Some((written, Some(from)));
            }
        }
    }
}

impl Outline {
    /// The outline of a text as it is read, cut into pieces.
    pub(crate) fn of(text: &[u8], pieces: &[Piece]) -> Self {
        let mut reading = Reading {
            outline: Self::default(),
            chapters: vec![Chapter::default()],
            solutions: Vec::new(),
            of_solutions: false,
            label: None,
            exercises: Vec::new(),
            captions_above: None,
            labels_below: false,
            caption: None,
            positions: 0,
        };
        let mut behind_block = false;
        for (at, piece) in pieces.iter().enumerate() {
            let own = text.get(piece.range.clone()).unwrap_or_default();
            match piece.kind {
                SectionKind::Prose => {
                    reading.passage(at, &parts(own, behind_block));
                    behind_block = false;
                }
                _ if piece.is_block => {
                    reading.block(at, piece, own);
                    behind_block = true;
                }
                _ => {}
            }
        }
        let mut outline = reading.outline;
        outline.captioned = outline.blocks.iter().any(|block| block.caption.is_some());
        outline.lay_out(&reading.chapters);
        outline.name(&reading.solutions);
        let solutions: Vec<Written> = (reading.solutions.iter())
            .map(|solution| Written {
                number: solution.number,
                piece: solution.from.0,
                span: solution.from.1..solution.words.start,
            })
            .collect();
        let numbered = reading.exercises.iter().chain(&solutions);
        outline.exercises = numbered.map(|written| written.number).collect();
        for (written, note) in notes(&reading.exercises, &solutions) {
            let Written {
                number,
                piece,
                span,
            } = written;
            let of_piece = outline.notes.entry(piece).or_default();
            of_piece.push((number, span, note));
        }
        outline
    }

    /// A paragraph speaks of the block with this place among the blocks.
    fn tie(&mut self, (piece, start): Paragraph, place: usize) {
        self.named.entry(piece).or_default().push((start, place));
    }

    /// What prose calls a block: by its caption, or counted where none has one; 0 for games.
    fn diagram(&self, block: &Numbered) -> u32 {
        let counted = if self.captioned { 0 } else { block.ordinal };
        block.caption.unwrap_or(counted)
    }

    fn lay_out(&mut self, chapters: &[Chapter]) {
        let votes = |layout| {
            chapters
                .iter()
                .filter(|chapter| chapter.vote() == layout)
                .count()
        };
        let whole = match (votes(Layout::Above), votes(Layout::Below)) {
            (0, 1..) => Layout::Below,
            (1.., 0) => Layout::Above,
            _ => Layout::Unknown,
        };
        for chapter in chapters {
            let layout = match chapter.vote() {
                Layout::Unknown => whole,
                own => own,
            };
            for &passage in &chapter.passages {
                self.layouts.insert(passage, layout);
            }
        }
    }

    /// Finds the exercises of solutions. A number that two exercises have names none.
    fn name(&mut self, solutions: &[Solution]) {
        let labelled = self.blocks.iter().any(|block| block.exercise.is_some());
        let mut by_number: BTreeMap<u32, Option<usize>> = BTreeMap::new();
        for (place, block) in self.blocks.iter().enumerate() {
            let number = match labelled {
                true => block.exercise,
                false => Some(self.diagram(block)).filter(|&number| number > 0),
            };
            if let Some(number) = number {
                let known = by_number.contains_key(&number);
                by_number.insert(number, (!known).then_some(place));
            }
        }
        for solution in solutions {
            if let Some(&Some(place)) = by_number.get(&solution.number) {
                self.tie(solution.from, place);
                let words = (solution.from.0, solution.words.clone());
                self.solutions.entry(place).or_insert(words);
            }
        }
    }

    /// The bytes of the solution of a block, by its place among the blocks.
    fn solution(&self, pieces: &[Piece], place: usize) -> Option<Range<usize>> {
        let (piece, words) = self.solutions.get(&place)?;
        let start = pieces.get(*piece)?.range.start;
        Some(start + words.start..start + words.end)
    }

    /// A piece with what stands around it.
    pub(crate) fn around(&self, pieces: &[Piece], at: usize) -> Option<Excerpt> {
        let piece = pieces.get(at)?;
        let mut excerpt = Excerpt {
            range: piece.range.clone(),
            kind: piece.kind,
            thread: pieces
                .get(thread(pieces, at))
                .map_or(0, |first| first.range.start),
            near: [None, None],
            others: Vec::new(),
            layout: self.layouts.get(&at).copied().unwrap_or_default(),
            named: Vec::new(),
        };
        if piece.kind == SectionKind::Prose {
            let block = |place: usize| {
                let numbered = self.blocks.get(place)?;
                let piece = pieces.get(numbered.at)?;
                Some(Block {
                    range: piece.range.clone(),
                    kind: piece.kind,
                    number: self.diagram(numbered),
                    exercise: numbered.exercise,
                    solution: self.solution(pieces, place),
                })
            };
            let split = self.blocks.partition_point(|block| block.at < at);
            let mut before = (0..split).rev();
            let mut behind = split..self.blocks.len();
            excerpt.near = [before.next().and_then(block), behind.next().and_then(block)];
            let others = before.take(REACH).chain(behind.take(REACH));
            excerpt.others = others.filter_map(block).collect();
            let named = self.named.get(&at).into_iter().flatten();
            excerpt.named = named
                .filter_map(|&(start, place)| Some((start, block(place)?)))
                .collect();
        }
        Some(excerpt)
    }

    /// The positions with what prose calls them, but for those of solutions.
    pub(crate) fn numbered_blocks(&self) -> impl Iterator<Item = NumberedBlock> {
        let positions = self.blocks.iter().filter(|block| block.ordinal > 0);
        positions.filter(|block| !block.of_solutions).map(|block| {
            let (noun, number) = match (block.caption, block.exercise) {
                (None, Some(number)) => ("exercise", Some(number)),
                (number, _) => ("diagram", number),
            };
            NumberedBlock {
                at: block.at,
                noun,
                number,
            }
        })
    }

    /// The numbers of diagrams that have captions.
    pub(crate) fn diagrams(&self) -> impl Iterator<Item = u32> {
        self.blocks.iter().filter_map(|block| block.caption)
    }

    /// The numbers of exercises and of solutions.
    pub(crate) fn exercises(&self) -> impl Iterator<Item = u32> {
        self.exercises.iter().copied()
    }

    /// Whether a heading is one that stands at the end of a book.
    pub(crate) const fn closes(&self) -> bool {
        self.ends.closes
    }

    /// Whether the headings number one chapter alone, or do not begin with the first.
    pub(crate) const fn is_one_chapter(&self) -> bool {
        self.ends.chapters == 1 || self.ends.chapters > 1 && !self.ends.begins
    }

    /// What is wrong with numbers of exercises in a piece of prose; offsets are its own.
    pub(crate) fn notes(&self, at: usize) -> &[(u32, Range<usize>, Note)] {
        self.notes.get(&at).map_or(&[], Vec::as_slice)
    }

    /// What the questions of a piece of prose are read from beside its near blocks: where it changes,
    /// they are to be asked again.
    pub(crate) fn ties(&self, view: &[u8], pieces: &[Piece], at: usize) -> Ties {
        let block = |place: usize| {
            let piece = pieces.get(self.blocks.get(place)?.at)?;
            Some(piece.id.0)
        };
        let named = self.named.get(&at).into_iter().flatten();
        let split = self.blocks.partition_point(|block| block.at < at);
        let near = split.saturating_sub(REACH + 1)..(split + REACH + 1).min(self.blocks.len());
        let near = self.blocks.get(near).unwrap_or_default().iter();
        let beside = [split.checked_sub(1), Some(split)].into_iter().flatten();
        let of_others = self.named.get(&at).into_iter().flatten();
        let places = beside.chain(of_others.map(|&(_, place)| place));
        let solutions = places.filter_map(|place| view.get(self.solution(pieces, place)?));
        // What has no number in it goes on from nowhere.
        let own = pieces
            .get(at)
            .and_then(|piece| view.get(piece.range.clone()));
        let numbered = own.is_some_and(|own| own.iter().any(u8::is_ascii_digit));
        let first = if numbered { thread(pieces, at) } else { at };
        let earlier = pieces.get(first..at).unwrap_or_default();
        Ties {
            moves: earlier.iter().map(|piece| piece.moves).collect(),
            numbers: near.map(|block| self.diagram(block)).collect(),
            layout: self.layouts.get(&at).copied().unwrap_or_default(),
            solutions: solutions.map(<[u8]>::to_vec).collect(),
            named: named.map(|&(start, place)| (start, block(place))).collect(),
            notes: self.notes(at).to_vec(),
        }
    }
}

/// The first of the pieces from whose moves the lines of a piece of prose can go on: as many as stand
/// within some pages before it.
fn thread(pieces: &[Piece], at: usize) -> usize {
    const PAGES: usize = 64 << 10;
    let start = pieces.get(at).map_or(0, |piece| piece.range.start);
    let near = |piece: &Piece| start - piece.range.start.min(start) <= PAGES;
    let before = pieces.get(..at).unwrap_or_default();
    at - before.iter().rev().take_while(|piece| near(piece)).count()
}

/// See [`Outline::ties`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ties {
    /// Fingerprints of the moves from which its lines can go on.
    moves: Vec<u64>,
    layout: Layout,
    /// What prose calls the blocks within reach.
    numbers: Vec<u32>,
    solutions: Vec<Vec<u8>>,
    named: Vec<(usize, Option<u64>)>,
    notes: Vec<(u32, Range<usize>, Note)>,
}
