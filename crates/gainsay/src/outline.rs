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
use shakmaty::Chess;

use crate::{
    chapters::{Chapter, Numbered, Paragraph, Reading, Solution},
    drawn,
    ends::Ends,
    label::is_move,
    matching::{Key, matched},
    numbering::{Note, Written, notes},
    pieces::{Block, Excerpt, Layout, Piece, REACH},
    resolve::{Resolution, resolve},
    tasks::Genre,
};

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
    /// By the place of a piece of prose, the paragraphs that give a task to several blocks.
    shared: BTreeMap<usize, Vec<usize>>,
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
    /// By the place of a piece, what the moves in all pieces up to it add up to.
    moves: Vec<u64>,
}

impl Outline {
    /// The outline of a text as it is read, cut into pieces.
    pub(crate) fn of(text: &[u8], pieces: &[Piece]) -> Self {
        let reading = Reading::of(text, pieces);
        let mut outline = Self {
            captioned: reading.blocks.iter().any(|block| block.caption.is_some()),
            blocks: reading.blocks,
            ends: reading.ends,
            moves: sums(pieces),
            ..Self::default()
        };
        outline.lay_out(&reading.chapters);
        for (from, place) in reading.ties {
            outline.tie(from, place);
        }
        for (piece, start) in reading.shared {
            outline.shared.entry(piece).or_default().push(start);
        }
        outline.solutions.extend(reading.below);
        let solutions = outline.name(text, pieces, reading.solutions);
        let numbered = reading.exercises.iter().chain(&solutions);
        outline.exercises = numbered.map(|written| written.number).collect();
        for (written, note) in notes(&reading.exercises, &solutions) {
            let Written {
                number,
                piece,
                span,
                ..
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

    /// Finds the exercises of solutions, and returns the numbers of solutions that are some.
    fn name(
        &mut self,
        text: &[u8],
        pieces: &[Piece],
        mut solutions: Vec<Solution>,
    ) -> Vec<Written> {
        let labelled = self.blocks.iter().any(|block| block.exercise.is_some());
        let exercises: Vec<(usize, Key)> = (self.blocks.iter().enumerate())
            .filter_map(|(place, block)| {
                let (series, number) = match labelled {
                    true => block.exercise?,
                    false => (0, Some(self.diagram(block)).filter(|&number| number > 0)?),
                };
                let piece = block.at;
                Some((
                    place,
                    Key {
                        series,
                        number,
                        piece,
                    },
                ))
            })
            .collect();
        let keys: Vec<Key> = exercises.iter().map(|(_, key)| *key).collect();
        let places = |solutions: &[Solution]| {
            let own: Vec<Key> = solutions
                .iter()
                .map(|solution| solution.written.key())
                .collect();
            let found = matched(&keys, &own).into_iter();
            let place = |nth: usize| exercises.get(nth).map(|(place, _)| *place);
            found.map(|nth| place(nth?)).collect::<Vec<_>>()
        };
        let mut found = places(&solutions);
        if solutions.iter().any(|solution| solution.bare) {
            let of = |(piece, words): (usize, Range<usize>)| {
                let start = pieces.get(piece).map_or(0, |piece| piece.range.start);
                text.get(start + words.start..start + words.end)
            };
            let fits = |(solution, place): (&Solution, &Option<usize>)| {
                let block = self.blocks.get((*place)?)?;
                let piece = pieces.get(block.at)?;
                let positions = drawn::positions(piece.kind, text.get(piece.range.clone())?);
                let words = of((solution.from.0, solution.words.clone()))?;
                Some(
                    positions
                        .iter()
                        .any(|position| begins_there(words, position)),
                )
            };
            let bare = || {
                solutions
                    .iter()
                    .zip(&found)
                    .filter(|(solution, _)| solution.bare)
            };
            let fitting = bare().filter(|one| fits(*one) == Some(true)).count();
            // A number is not that of a move where the moves can be played in their exercises.
            if fitting < 2 || 4 * fitting < 3 * bare().count() {
                solutions.retain(|solution| !solution.bare);
                found = places(&solutions);
            }
        }
        for (solution, place) in solutions.iter().zip(found) {
            let Some(place) = place else {
                continue;
            };
            self.tie(solution.from, place);
            let words = (solution.from.0, solution.words.clone());
            self.solutions.entry(place).or_insert(words);
        }
        let of_list = solutions.into_iter().filter(|solution| !solution.bare);
        of_list.map(|solution| solution.written).collect()
    }

    /// The bytes of the solution of a block, by its place among the blocks.
    fn solution(&self, pieces: &[Piece], place: usize) -> Option<Range<usize>> {
        let (piece, words) = self.solutions.get(&place)?;
        let start = pieces.get(*piece)?.range.start;
        Some(start + words.start..start + words.end)
    }

    /// The place among the blocks of a position that shares the task of others, and the bytes of its
    /// task.
    fn task(&self, pieces: &[Piece], at: usize) -> Option<(usize, Range<usize>)> {
        let place = (self.blocks.binary_search_by_key(&at, |block| block.at)).ok()?;
        let (piece, words) = self.blocks.get(place)?.task.as_ref()?;
        let start = pieces.get(*piece)?.range.start;
        Some((place, start + words.start..start + words.end))
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
            shared: self.shared.get(&at).cloned().unwrap_or_default(),
            task: None,
        };
        let block = |place: usize| {
            let numbered = self.blocks.get(place)?;
            let piece = pieces.get(numbered.at)?;
            Some(Block {
                range: piece.range.clone(),
                kind: piece.kind,
                number: self.diagram(numbered),
                exercise: numbered.exercise.map(|(_, number)| number),
                solution: self.solution(pieces, place),
                genre: numbered.genre,
                solutions: numbered.solutions,
            })
        };
        if piece.is_position()
            && let Some((place, words)) = self.task(pieces, at)
        {
            excerpt.task = Some((words, block(place)?));
        }
        if piece.kind == SectionKind::Prose {
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
                (None, Some((_, number))) => ("exercise", Some(number)),
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

    /// What the headings tell of where the text begins and ends.
    pub(crate) const fn ends(&self) -> Ends {
        self.ends
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
        let sum = |at: usize| {
            let before = at.checked_sub(1).and_then(|at| self.moves.get(at));
            before.copied().unwrap_or_default()
        };
        let earlier = || sum(at).wrapping_sub(sum(thread(pieces, at)));
        let task = self.task(pieces, at);
        let told = near
            .clone()
            .map(|block| (block.exercise, block.genre, block.solutions));
        Ties {
            moves: if numbered { earlier() } else { 0 },
            told: told.collect(),
            task: task.and_then(|(place, words)| {
                let own = self.solution(pieces, place).and_then(|own| view.get(own));
                Some((view.get(words)?.to_vec(), own.unwrap_or_default().to_vec()))
            }),
            shared: self.shared.get(&at).cloned().unwrap_or_default(),
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
    pieces.partition_point(|piece| piece.range.start + PAGES < start)
}

/// The sums of fingerprints of the moves in pieces, each with those in the one before it, since their
/// order counts.
fn sums(pieces: &[Piece]) -> Vec<u64> {
    let mut sum = 0_u64;
    let mut before = 0;
    let moves = pieces.iter().map(|piece| piece.moves);
    moves
        .map(|moves| {
            let pair = moves.rotate_left(17) ^ before;
            before = moves;
            sum = sum.wrapping_add(pair.wrapping_mul(0x9e37_79b9_7f4a_7c15));
            sum
        })
        .collect()
}

/// Whether the move that words begin with can be played.
fn begins_there(words: &[u8], position: &Chess) -> bool {
    let words = words.trim_ascii_start();
    let end = words
        .iter()
        .position(u8::is_ascii_whitespace)
        .unwrap_or(words.len());
    let word = words.get(..end).unwrap_or_default();
    let closes = |byte: &u8| !b"!?.,;:*_".contains(byte);
    let end = word.iter().rposition(closes).map_or(0, |at| at + 1);
    let word = word.get(..end).unwrap_or_default();
    is_move(word)
        && gainsay_notation::parse_move(word, gainsay_notation::Language::English)
            .is_some_and(|written| matches!(resolve(position, &written), Resolution::Legal(..)))
}

/// The number of an exercise, what it asks for that is not proved, and how many solutions it has.
type Told = (Option<(u16, u32)>, Option<Genre>, Option<u32>);

/// See [`Outline::ties`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ties {
    /// A fingerprint of the moves from which its lines can go on.
    moves: u64,
    layout: Layout,
    /// What prose calls the blocks within reach.
    numbers: Vec<u32>,
    /// What the text says of them as exercises.
    told: Vec<Told>,
    /// For a position, the task that it shares with others, and its solution.
    task: Option<(Vec<u8>, Vec<u8>)>,
    shared: Vec<usize>,
    solutions: Vec<Vec<u8>>,
    named: Vec<(usize, Option<u64>)>,
    notes: Vec<(u32, Range<usize>, Note)>,
}
