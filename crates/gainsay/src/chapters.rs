//! Reads the prose of a text for its outline: chapters, captions, exercises, and what is said of them.

use std::ops::Range;

use gainsay_notation::SectionKind;

use crate::{
    drawn,
    ends::Ends,
    label::{Label, numbered, numbered_behind, numbered_move},
    numbering::Written,
    pieces::{Layout, Piece},
    prose::{Heading, Parts, parts},
    tasks::{self, Genre},
};

/// A paragraph: the place of its piece, and where it begins there.
pub(crate) type Paragraph = (usize, usize);

/// A block among the pieces of a text.
#[derive(Clone, Debug)]
pub(crate) struct Numbered {
    /// Its place among the pieces.
    pub(crate) at: usize,
    /// The number of its caption.
    pub(crate) caption: Option<u32>,
    /// Its number among the positions; 0 for games.
    pub(crate) ordinal: u32,
    /// The number that the text beside gives to it as an exercise, with its series.
    pub(crate) exercise: Option<(u16, u32)>,
    /// What it asks for that is not proved.
    pub(crate) genre: Option<Genre>,
    /// How many solutions its words say that it has.
    pub(crate) solutions: Option<u32>,
    /// The task that it shares with others: a piece, and bytes of it.
    pub(crate) task: Option<(usize, Range<usize>)>,
    /// Whether it stands among the solutions.
    pub(crate) of_solutions: bool,
    /// Whether words beside it may give it a task of its own.
    tasked: bool,
}

/// A paragraph of solutions.
#[derive(Clone, Debug)]
pub(crate) struct Solution {
    pub(crate) from: Paragraph,
    /// Where its number stands.
    pub(crate) written: Written,
    /// What stands behind the number, in bytes of the piece.
    pub(crate) words: Range<usize>,
    /// Whether its number could be that of a move as well.
    pub(crate) bare: bool,
}

/// A chapter while it is read.
#[derive(Debug, Default)]
pub(crate) struct Chapter {
    /// The pieces of prose that begin in it.
    pub(crate) passages: Vec<usize>,
    blocks: u32,
    /// Whether text stands above its first block, and below its last one.
    above: bool,
    below: bool,
}

impl Chapter {
    pub(crate) const fn vote(&self) -> Layout {
        match (self.blocks, self.above, self.below) {
            (1.., true, false) => Layout::Above,
            (1.., false, true) => Layout::Below,
            _ => Layout::Unknown,
        }
    }
}

/// What is read in the prose of a text.
#[derive(Debug, Default)]
pub(crate) struct Reading {
    pub(crate) blocks: Vec<Numbered>,
    /// Which paragraphs and headings speak of which block.
    pub(crate) ties: Vec<(Paragraph, usize)>,
    /// The paragraphs that give a task to several blocks.
    pub(crate) shared: Vec<Paragraph>,
    pub(crate) chapters: Vec<Chapter>,
    pub(crate) solutions: Vec<Solution>,
    /// The solutions that stand below their blocks: a block, and bytes of a piece.
    pub(crate) below: Vec<(usize, (usize, Range<usize>))>,
    /// The numbers of exercises, in the order of the blocks that have them.
    pub(crate) exercises: Vec<Written>,
    pub(crate) ends: Ends,
    /// The level of the heading under which solutions stand.
    of_solutions: Option<u8>,
    /// Whose solution the next paragraph is, under a heading that says so.
    awaited: Option<Awaited>,
    /// The number for the next exercise, and the paragraph or heading that gives it.
    label: Option<(Written, Paragraph)>,
    /// Whether captions stand above their diagrams; `None` before the first.
    captions_above: Option<bool>,
    /// Whether the last exercise has its number below.
    labels_below: bool,
    /// The caption for the next diagram.
    caption: Option<(u32, Paragraph)>,
    positions: u32,
    /// The task of several blocks: the level of its heading, and where its words stand.
    group: Option<(u8, usize, Range<usize>)>,
    /// A heading that may give a task: where its words stand, and the blocks below it.
    titled: Option<(usize, Range<usize>, Vec<usize>)>,
    /// What headings, and words above all blocks of a chapter, say that is asked, by level.
    genres: Vec<(u8, Genre)>,
    /// What the words since the last block or heading say of the next block.
    said: Said,
    level: u8,
}

/// What words say of the next block.
#[derive(Clone, Copy, Debug, Default)]
struct Said {
    genre: Option<Genre>,
    solutions: Option<u32>,
    tasked: bool,
}

/// Whose solution is awaited.
#[derive(Clone, Debug)]
enum Awaited {
    /// That of the exercise with this number.
    Numbered(Written),
    /// That of the block above.
    Below,
}

/// A longer paragraph that begins with the number of a diagram speaks of it and is no caption.
const LONGEST_CAPTION: usize = 120;

/// Headings whose depth nobody knows stand so deep: those with the number of an exercise, and others.
const DEEP: u8 = 9;
const CHAPTER: u8 = 1;

impl Reading {
    /// Reads a text, cut into pieces.
    pub(crate) fn of(text: &[u8], pieces: &[Piece]) -> Self {
        let mut reading = Self {
            chapters: vec![Chapter::default()],
            ..Self::default()
        };
        let mut behind_block = false;
        for (at, piece) in pieces.iter().enumerate() {
            let own = text.get(piece.range.clone()).unwrap_or_default();
            match piece.kind {
                SectionKind::Prose => {
                    let behind = pieces.get(at + 1..).unwrap_or_default().iter();
                    let mut behind =
                        behind.filter(|piece| piece.is_block || piece.kind == SectionKind::Prose);
                    let leads = behind.next().is_some_and(|piece| piece.is_block);
                    reading.passage(at, own, (behind_block, leads));
                    behind_block = false;
                }
                _ if piece.is_block => {
                    reading.block(at, piece, own);
                    behind_block = true;
                }
                _ => {}
            }
        }
        reading.end_title();
        for block in reading.blocks.iter_mut().filter(|block| block.tasked) {
            block.task = None;
        }
        reading
    }

    /// A game or a position.
    fn block(&mut self, at: usize, piece: &Piece, own: &[u8]) {
        let position = piece.is_position();
        self.positions += u32::from(position);
        let caption = self.caption.take().filter(|_| position);
        let drawn = drawn::number(piece.kind, own);
        let label = self.label.take().filter(|(written, _)| {
            // Solutions print the diagram again.
            let solved =
                self.of_solutions.is_some() && self.is_known(written.series, written.number);
            if solved {
                self.awaited = Some(Awaited::Numbered(written.clone()));
            }
            !solved
        });
        let place = self.blocks.len();
        let said = std::mem::take(&mut self.said);
        let of_chapter = self.genres.last().map(|&(_, genre)| genre);
        self.blocks.push(Numbered {
            at,
            caption: drawn.or(caption.map(|(number, _)| number)),
            ordinal: if position { self.positions } else { 0 },
            exercise: (label.as_ref()).map(|(written, _)| (written.series, written.number)),
            genre: said.genre.or(of_chapter),
            solutions: said.solutions,
            task: (self.group.as_ref()).map(|(_, piece, range)| (*piece, range.clone())),
            of_solutions: self.of_solutions.is_some(),
            tasked: said.tasked || !position,
        });
        if let Some((.., blocks)) = &mut self.titled {
            blocks.push(place);
        }
        let (written, from) = label.unzip();
        self.exercises.extend(written.filter(|_| position));
        let froms = from.into_iter().chain(caption.map(|(_, from)| from));
        self.ties.extend(froms.map(|from| (from, place)));
        if let Some(chapter) = self.chapters.last_mut() {
            chapter.blocks += 1;
            chapter.below = false;
        }
    }

    /// A passage of prose, with whether a block stands before and behind it.
    fn passage(&mut self, at: usize, own: &[u8], (behind_block, leads): (bool, bool)) {
        let parts: Parts<'_> = parts(own, behind_block);
        if let Some(chapter) = self.chapters.last_mut() {
            chapter.passages.push(at);
        }
        let mut headings = parts.headings.iter().peekable();
        let count = parts.paragraphs.len();
        for (nth, paragraph) in parts.paragraphs.iter().enumerate() {
            while let Some(heading) = headings.next_if(|heading| heading.paragraphs <= nth) {
                self.heading(at, heading);
            }
            let first = nth == 0 && paragraph.headings == 0 && behind_block;
            // What stands in the same row of a table.
            let line = own.split(|&byte| byte == b'\n').next().unwrap_or_default();
            let row = first && paragraph.text.trim_ascii() == line.trim_ascii();
            let words = Words {
                from: (at, paragraph.start),
                text: paragraph.text,
                behind_block: first,
                row,
                only: count == 1,
                last: leads && nth + 1 == count && headings.peek().is_none(),
            };
            self.paragraph(&words);
        }
        for heading in headings {
            self.heading(at, heading);
        }
    }

    fn paragraph(&mut self, words: &Words<'_>) {
        let &Words { from, text, .. } = words;
        if tasks::is_line_of_solutions(text) {
            self.solutions_begin(DEEP, text);
            return;
        }
        let label = numbered(text);
        let tasked = tasks::has_task(text);
        // A new exercise ends them.
        let posed = |label: Label| !self.is_known(label.series, label.number);
        if label.is_some_and(posed) && words.last && tasked {
            self.of_solutions = None;
        }
        if self.of_solutions.is_some() && self.solution(words, label) {
            self.count_text();
            return;
        }
        if self.solution_below(words) {
            self.count_text();
            return;
        }
        self.hear(words, label.is_some(), tasked);
        // "… with one exception (exercise 16)" is a sentence that points at it.
        let caption = text.len() <= LONGEST_CAPTION && tasked;
        let behind = || numbered_behind(text).filter(|_| caption);
        match label.or_else(behind) {
            Some(label) if label.diagram && text.len() <= LONGEST_CAPTION => {
                return self.captioned(label.number, from, words.behind_block);
            }
            Some(label) if !label.diagram && (label.named || words.is_near() || tasked) => {
                let alone = words.behind_block && (words.only || self.labels_below);
                let written = Written::of(label, from.0, from.1);
                self.labelled(written, from, alone || words.row);
            }
            _ if words.row => {
                let place = self.block_before(from.0).map(|(place, _)| place);
                self.ties.extend(place.map(|place| (from, place)));
            }
            _ => {}
        }
        self.count_text();
    }

    fn count_text(&mut self) {
        if let Some(chapter) = self.chapters.last_mut() {
            chapter.above |= chapter.blocks == 0;
            chapter.below |= chapter.blocks > 0;
        }
    }

    /// Takes note of what a paragraph says of the blocks beside it.
    fn hear(&mut self, words: &Words<'_>, labelled: bool, tasked: bool) {
        /// In longer words a letter that closes an item, or the last move, may be anything.
        const CAPTION: usize = 200;
        let &Words { from, text, .. } = words;
        let plain = labelled || text.len() <= CAPTION;
        let genre = tasks::genre(text);
        let genre = genre.filter(|genre| plain || !matches!(genre, Genre::Other | Genre::Twins));
        let solutions = tasks::solutions(text);
        let all = !labelled && tasks::is_of_all(text);
        let tasked = tasked && !all;
        let said = &mut self.said;
        said.genre = said.genre.or(genre);
        said.solutions = said.solutions.or(solutions);
        said.tasked |= tasked;
        let level = self.level;
        let opens = self
            .chapters
            .last()
            .is_some_and(|chapter| chapter.blocks == 0);
        if let Some(genre) = genre.filter(|_| opens && !labelled) {
            self.genres.push((level, genre));
        }
        if all {
            self.group = Some((level, from.0, from.1..from.1 + text.len()));
            self.shared.push(from);
        }
        // It may speak of the one above as well.
        let in_chapter = self
            .chapters
            .last()
            .is_some_and(|chapter| chapter.blocks > 0);
        if let Some(block) = self.blocks.last_mut().filter(|_| in_chapter) {
            block.genre = block.genre.or(genre);
            block.solutions = block.solutions.or(solutions);
            block.tasked |= tasked;
        }
    }

    /// A heading, with which a chapter begins.
    fn heading(&mut self, piece: usize, heading: &Heading<'_>) {
        let words = heading.words;
        self.ends.hear(words);
        let label = numbered(words).or_else(|| numbered_behind(words));
        // A chapter may have a number, which is not that of an exercise.
        let of_exercise = label.is_some_and(|label| {
            let rest = words.get(label.length..).unwrap_or_default();
            label.named || rest.trim_ascii().is_empty() || tasks::has_task(rest)
        });
        let label = label.filter(|_| of_exercise);
        let level = heading
            .level
            .unwrap_or(if label.is_some() { DEEP } else { CHAPTER });
        self.end_title();
        self.chapters.push(Chapter::default());
        self.genres.retain(|&(other, _)| other < level);
        self.group = self.group.take().filter(|&(other, ..)| other < level);
        self.said = Said::default();
        self.level = level;
        self.awaited = None;
        let known = label.is_some_and(|label| self.is_known(label.series, label.number));
        let here = (piece, heading.start);
        if tasks::is_of_solutions(words) {
            self.label = None;
            match label {
                Some(label) => {
                    self.awaited = Some(Awaited::Numbered(Written::of(label, piece, heading.start)))
                }
                None => self.solutions_begin(level, words),
            }
            if label.is_some() && self.of_solutions.is_none() {
                self.of_solutions = Some(level);
            }
            return;
        }
        let goes_on = self
            .of_solutions
            .is_some_and(|above| level > above || level == above && known);
        // An exercise that is new is none of the solutions, however deep its heading stands.
        self.of_solutions = self
            .of_solutions
            .filter(|_| goes_on && (label.is_none() || known));
        self.label = label.map(|label| (Written::of(label, piece, heading.start), here));
        if self.of_solutions.is_some() {
            self.awaited =
                label.map(|label| Awaited::Numbered(Written::of(label, piece, heading.start)));
            return;
        }
        let genre = tasks::genre(words);
        self.genres.extend(genre.map(|genre| (level, genre)));
        self.said.solutions = tasks::solutions(words);
        if tasks::has_task(words) && label.is_none() {
            self.titled = Some((
                piece,
                heading.start..heading.start + words.len(),
                Vec::new(),
            ));
        }
    }

    /// A heading that gives a task to one block is its caption, and to several that are numbered the
    /// task of all.
    fn end_title(&mut self) {
        let Some((piece, words, places)) = self.titled.take() else {
            return;
        };
        if let [place] = places[..] {
            self.ties.push(((piece, words.start), place));
            return;
        }
        let numbered = |&place: &usize| {
            self.blocks
                .get(place)
                .is_some_and(|block| block.exercise.is_some())
        };
        if places.iter().all(numbered) {
            for place in places {
                if let Some(block) = self.blocks.get_mut(place) {
                    block.task.get_or_insert((piece, words.clone()));
                }
            }
        }
    }

    /// Solutions begin, or that of the block above.
    fn solutions_begin(&mut self, level: u8, words: &[u8]) {
        self.of_solutions = Some(self.of_solutions.map_or(level, |above| above.min(level)));
        self.awaited = tasks::is_of_one(words).then_some(Awaited::Below);
        self.label = None;
    }

    /// A paragraph among solutions; `false` for one that is no solution.
    fn solution(&mut self, words: &Words<'_>, label: Option<Label>) -> bool {
        let &Words { from, text, .. } = words;
        let end = from.1 + text.len();
        let bare = label.is_none();
        let awaited = self.awaited.take();
        if let Some(label) = label.or_else(|| numbered_move(text).filter(|_| awaited.is_none())) {
            self.solutions.push(Solution {
                from,
                written: Written::of(label, from.0, from.1),
                words: (from.1 + label.length).min(end)..end,
                bare,
            });
            return true;
        }
        match awaited {
            Some(Awaited::Numbered(written)) => {
                self.solutions.push(Solution {
                    from,
                    written,
                    words: from.1..end,
                    bare: false,
                });
            }
            Some(Awaited::Below) => return self.is_below(from, from.1..end),
            // A solution may take several paragraphs.
            None if begins_with_move(text) => {
                if let Some(last) = self.solutions.last_mut()
                    && last.from.0 == from.0
                {
                    last.words.end = end;
                }
            }
            None => {}
        }
        true
    }

    /// "Solution: 1.Qg7#" below its exercise; `false` for anything else.
    fn solution_below(&mut self, words: &Words<'_>) -> bool {
        let &Words { from, text, .. } = words;
        let Some(opening) = tasks::opens_solution(text) else {
            return false;
        };
        self.is_below(from, from.1 + opening..from.1 + text.len())
    }

    /// Whether these words are taken for the solution of the block above.
    fn is_below(&mut self, from: Paragraph, words: Range<usize>) -> bool {
        // The number of another exercise stands between.
        if self.label.is_some() {
            return false;
        }
        let Some((place, _)) = self.block_before(from.0) else {
            return false;
        };
        if self.below.iter().any(|(known, _)| *known == place) {
            return false;
        }
        self.ties.push((from, place));
        self.below.push((place, (from.0, words)));
        true
    }

    /// Whether an exercise has this number.
    fn is_known(&self, series: u16, number: u32) -> bool {
        let mut all = self.exercises.iter();
        all.any(|written| (written.series, written.number) == (series, number))
            || self.exercises.is_empty()
    }

    /// The block before a passage, if it is a position.
    fn block_before(&mut self, piece: usize) -> Option<(usize, &mut Numbered)> {
        let last = self.blocks.len().checked_sub(1)?;
        let block = self.blocks.last_mut()?;
        (block.at < piece && block.ordinal > 0).then_some((last, block))
    }

    /// A caption stands below its diagram or above it, as the first of the text does.
    fn captioned(&mut self, number: u32, from: Paragraph, behind_block: bool) {
        let above = *self.captions_above.get_or_insert(!behind_block);
        let before = self.block_before(from.0).filter(|_| behind_block && !above);
        match before.filter(|(_, block)| block.caption.is_none()) {
            Some((place, block)) => {
                block.caption = Some(number);
                self.ties.push((from, place));
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
                block.exercise = Some((written.series, written.number));
                self.labels_below = true;
                self.exercises.push(written);
                self.ties.push((from, place));
            }
            None => {
                self.labels_below = false;
                self.label = Some((written, from));
            }
        }
    }
}

/// A paragraph with where it stands.
struct Words<'t> {
    from: Paragraph,
    text: &'t [u8],
    /// Whether it is the first behind a block.
    behind_block: bool,
    /// Whether it is what goes on behind a block in its line, as in a row of a table.
    row: bool,
    /// Whether it is the only one between two blocks.
    only: bool,
    /// Whether it is the last before a block.
    last: bool,
}

impl Words<'_> {
    const fn is_near(&self) -> bool {
        self.behind_block || self.last
    }
}

/// Whether a paragraph goes on with moves: "1...Kh7 2.Rh1#", "(1...Kh7 2.Rh1#)".
fn begins_with_move(text: &[u8]) -> bool {
    let text = text.trim_ascii_start();
    let text = text.strip_prefix(b"(").unwrap_or(text);
    let digits = text.iter().take_while(|byte| byte.is_ascii_digit()).count();
    digits > 0 && text.get(digits) == Some(&b'.')
}
