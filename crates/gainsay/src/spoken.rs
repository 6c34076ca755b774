//! What words let a reader see on a board, before anything is settled: the moves that they
//! cite, each as it is played, and the positions that they speak of.

use std::{ops::Range, sync::Arc};

use shakmaty::{Chess, Move};

use crate::{
    question::{Comment, Resolved},
    scene::Step,
};

/// A move that is cited in words, as it is played.
///
/// ```
/// use gainsay::{Document, Format, Settings, show};
/// let text = b"1. e4 {Better is 1. d4 d5.} e5 *\n";
/// let text = Document::open(text, Format::Pgn);
/// let cited = text.questions(0, &Settings::default()).cited();
/// assert_eq!(&text.text()[cited[1].whole.clone()], b"d5");
/// assert_eq!(show::san(&cited[1].before, cited[1].played.unwrap()), "d5");
/// assert_eq!((cited[0].line, cited[1].line), (0, 0));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CitedStep {
    /// The number of its line among all, from 0.
    pub line: u32,
    /// The move with its sign, in bytes of what the questions were asked of.
    pub span: Range<usize>,
    /// The same with the number in front, if one is written.
    pub whole: Range<usize>,
    /// The position that it is played in.
    pub before: Chess,
    /// The move; `None` for a pass.
    pub played: Option<Move>,
    /// The position behind it.
    pub after: Chess,
    /// Whether every way to read its line plays the same move here, with its own numbers, and the
    /// whole line can be played.
    pub sure: bool,
}

/// What a paragraph of prose speaks of.
///
/// ```
/// use gainsay::{Document, Format, Settings, show};
/// let text = b"1. e4 e5 2. Nf3 *\n\nAfter 1...e5 White mates in one.\n";
/// let text = Document::open(text, Format::Text);
/// let spoken = text.questions(1, &Settings::default()).spoken_of();
/// assert_eq!(spoken[0].mv.as_deref(), Some("1...e5"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpokenOf {
    /// Where the paragraph begins, in bytes of what the questions were asked of.
    pub start: usize,
    /// The position.
    pub position: Chess,
    /// The move of a game in front of it, with its number.
    pub mv: Option<String>,
}

/// The moves that are cited in a comment. `beside` is the same comment as it is read beside
/// each neighbour, the likeliest first: a line is taken from the first where it can be played.
pub(crate) fn steps(beside: &[&Arc<Comment>], steps: &mut Vec<CitedStep>) {
    let Some(first) = beside.first() else {
        return;
    };
    let number = steps.last().map_or(0, |last| last.line + 1);
    for (at, (line, number)) in first.prose.lines.iter().zip(number..).enumerate() {
        let resolved = || beside.iter().filter_map(|comment| comment.lines.get(at));
        let whole = |line: &&Resolved| !line.readings.is_empty();
        let Some(played) = resolved().find(whole).or_else(|| resolved().next()) else {
            continue;
        };
        // As far as it can be played.
        let played = (played.readings.first())
            .or(played.renumbered.as_ref())
            .or(played.broken.as_ref().map(|broken| &broken.steps));
        let moves = first.prose.moves_of(line).iter();
        let all: Vec<_> = resolved().flat_map(|line| &line.readings).collect();
        let doubtful = resolved().any(|line| line.ambiguous);
        let same = |at: usize, step: &Step| {
            let mut others = all.iter().map(|steps| steps.get(at));
            others.all(|other| other.is_some_and(|other| other.mv == step.mv))
        };
        steps.extend(moves.zip(played.into_iter().flatten()).enumerate().map(
            |(place, (cited, step))| {
                let at = |offset: u32| first.base + offset as usize;
                let span = at(cited.span.start)..at(cited.span.end);
                let start = (cited.number_span).map_or(span.start, |number| at(number.start));
                CitedStep {
                    line: number,
                    whole: span.start.min(start)..span.end,
                    span,
                    before: step.before.clone(),
                    played: step.mv,
                    after: step.after.clone(),
                    sure: !all.is_empty() && !doubtful && same(place, step),
                }
            },
        ));
    }
}
