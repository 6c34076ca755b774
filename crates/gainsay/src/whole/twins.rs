//! Positions that a text prints under two numbers: the same, mirrored, or with colours reversed.

use std::collections::BTreeMap;

use shakmaty::{Board, Color, Position};

use super::{
    mention::{DIAGRAM, Mention, NOUNS, Role},
    remark::{How, Remark, What},
    text::Whole,
};
use crate::{boards, drawn};

/// A position with a number.
struct Printed<'t> {
    board: Board,
    /// Who is to move, if that is told.
    turn: Option<Color>,
    castles: bool,
    noun: &'static str,
    number: u32,
    /// The bytes that are marked.
    span: std::ops::Range<usize>,
    /// The words around it, in small letters.
    around: std::ops::Range<usize>,
    mentions: &'t [Mention],
}

/// How far around a position its words are looked for.
const NEAR: usize = 400;

/// Fewer men are alike by chance.
const LEAST: usize = 3;

/// The same for positions that are mirrored or reversed.
const LEAST_OTHERWISE: usize = 6;

/// Words that tell of a repetition, which is meant.
const REPEATS: [&[u8]; 16] = [
    b"again",
    b"once more",
    b"repeat",
    b"same",
    b"earlier",
    b"saw ",
    b"seen ",
    b"already",
    b"return",
    b"familiar",
    b"known",
    b"revisit",
    b"mirror",
    b"reversed",
    b"variation",
    b"compare",
];

pub(super) fn remarks(whole: &Whole<'_>, mentions: &[Mention]) -> Vec<Remark> {
    let mut seen: BTreeMap<String, Printed<'_>> = BTreeMap::new();
    let mut found = Vec::new();
    for printed in printed(whole, mentions) {
        let men = printed.board.occupied().count();
        if men < LEAST || printed.board == Board::default() {
            continue;
        }
        let twin = How::ALL.into_iter().find_map(|how| {
            let other = seen.get(&key(&how.of(&printed.board)))?;
            let plain = how == How::Same;
            let enough = plain || men >= LEAST_OTHERWISE && !printed.castles && !other.castles;
            let turns = match (printed.turn, other.turn) {
                (Some(own), Some(other)) if how.swaps() => own != other,
                (Some(own), Some(other)) => own == other,
                _ => plain,
            };
            let meant = printed.points_at(other) || other.points_at(&printed);
            (enough && turns && !meant && !printed.repeats(whole.view)).then_some((how, other))
        });
        if let Some((how, other)) = twin {
            found.push(Remark {
                span: printed.span.clone(),
                what: What::SameDiagram {
                    noun: other.noun,
                    number: other.number,
                    how,
                },
            });
        }
        seen.entry(key(&printed.board)).or_insert(printed);
    }
    found
}

fn key(board: &Board) -> String {
    board.to_string()
}

impl Printed<'_> {
    /// Whether the words around it name the other one.
    fn points_at(&self, other: &Self) -> bool {
        let from = self
            .mentions
            .partition_point(|one| one.span.start < self.around.start);
        let near = self.mentions.iter().skip(from);
        let mut near = near.take_while(|one| one.span.end <= self.around.end);
        near.any(|one| {
            one.role != Role::Prints && one.number == other.number && NOUNS[one.noun] == other.noun
        })
    }

    /// Whether the words around it tell that it was there before.
    fn repeats(&self, text: &[u8]) -> bool {
        let around = text.get(self.around.clone()).unwrap_or_default();
        let around = around.to_ascii_lowercase();
        let has = |words: &&[u8]| memchr::memmem::find(&around, words).is_some();
        REPEATS.iter().any(has)
    }
}

/// The positions of a text that have numbers, in their order, solutions left out.
fn printed<'t>(whole: &Whole<'_>, mentions: &'t [Mention]) -> Vec<Printed<'t>> {
    let around = |span: &std::ops::Range<usize>| {
        span.start.saturating_sub(NEAR)..(span.end + NEAR).min(whole.view.len())
    };
    let mut all: Vec<Printed<'t>> = Vec::new();
    for block in whole.outline.numbered_blocks() {
        let Some(piece) = whole.pieces.get(block.at) else {
            continue;
        };
        let own = whole.view.get(piece.range.clone()).unwrap_or_default();
        let hidden = || titled(whole.text, piece.range.end, mentions);
        let Some(number) = block.number.or_else(hidden) else {
            continue;
        };
        let positions = drawn::positions(piece.kind, own);
        let Some(position) = positions.first() else {
            continue;
        };
        let start = piece.range.start + (own.len() - own.trim_ascii_start().len());
        let span = start..piece.range.start + own.trim_ascii_end().len();
        all.push(Printed {
            board: position.board().clone(),
            turn: (positions.len() == 1).then(|| position.turn()),
            castles: position.castles().any(),
            noun: block.noun,
            number,
            around: around(&span),
            span,
            mentions,
        });
    }
    let captions = mentions
        .iter()
        .filter(|one| one.noun == DIAGRAM && one.role == Role::Prints && one.shown);
    for caption in captions {
        if let Some(board) = woven(whole.view, caption.span.start) {
            all.push(Printed {
                board,
                turn: None,
                castles: false,
                noun: NOUNS[DIAGRAM],
                number: caption.number,
                span: caption.span.clone(),
                around: around(&caption.span),
                mentions,
            });
        }
    }
    all.sort_by_key(|printed| printed.span.start);
    all
}

/// The number in a title that is not read, behind a position on its line:
/// `![8/8/… w - - 0 1](a.png "Diagram 3")`.
fn titled(text: &[u8], end: usize, mentions: &[Mention]) -> Option<u32> {
    let first = mentions.partition_point(|one| one.span.start < end);
    let title = mentions.get(first)?;
    let between = text.get(end..title.span.start)?;
    (title.noun == DIAGRAM && !title.shown && !between.contains(&b'\n')).then_some(title.number)
}

/// The board that is printed in the comment of a game right before this place.
fn woven(text: &[u8], at: usize) -> Option<Board> {
    /// A drawn board takes as much room as it takes in the file.
    const LONGEST: usize = 2_000;
    const MARK: &[u8] = b"[%printed ";
    let before = text.get(at.saturating_sub(LONGEST)..at)?;
    let before = before.trim_ascii_end().strip_suffix(b"]")?;
    let start = memchr::memmem::rfind(before, MARK)? + MARK.len();
    let words = before.get(start..)?;
    (!words.contains(&b']'))
        .then(|| boards::board(words))
        .flatten()
}
