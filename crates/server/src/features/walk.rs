//! Walking over the board: the position at a place, and the place of the next or the
//! previous move, in games, in side-lines and along the lines that words cite.

use std::ops::Range;

use gainsay::{CitedStep, Ply, Questions, Settings, View, show};
use gainsay_notation::{ElementKind, SectionKind};
use shakmaty::{Chess, Square};

use super::{
    outline::around,
    place::{Place, element_at, ply_at, shifted},
};
use crate::document::{Section, Snapshot};

/// A position at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shown {
    pub(crate) position: Chess,
    /// The squares the last move went from and to.
    pub(crate) marked: Vec<Square>,
    /// The move in front of it, with its number.
    pub(crate) name: Option<String>,
    /// The comment behind that move.
    pub(crate) comment: Option<String>,
    /// The game of the document, from 1.
    pub(crate) game: Option<usize>,
}

/// Where to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Direction {
    Next,
    Previous,
    /// The start of the line.
    Start,
    /// Its end.
    End,
}

impl Direction {
    /// By its name in the protocol.
    pub(crate) fn of(name: &str) -> Option<Self> {
        Some(match name {
            "next" => Self::Next,
            "previous" => Self::Previous,
            "start" => Self::Start,
            "end" => Self::End,
            _ => return None,
        })
    }
}

/// The moves cited in a section, each as it is played. Offsets are the section's own.
pub(crate) fn cited_in(snapshot: &Snapshot, section: Section<'_>) -> Vec<CitedStep> {
    let questions = questions(snapshot, section);
    questions.map_or_else(Vec::new, |questions| questions.cited())
}

/// What the words of a section ask, whether the author wants it settled or not.
fn questions<'s>(snapshot: &'s Snapshot, section: Section<'_>) -> Option<Questions<'s>> {
    let edition = &snapshot.text.edition;
    let at = edition.place(section.id())?;
    let settings = Settings {
        claims: true,
        ..snapshot.options.settings.clone()
    };
    Some(edition.questions(at, &settings))
}

/// The cited moves that an offset may lie in: those of a comment's game, of prose and of
/// positions. A place in movetext costs nothing.
fn cited_around(place: &Place<'_>) -> Vec<CitedStep> {
    let words = match place.section.kind {
        SectionKind::Games => place.view().is_some_and(|view| {
            element_at(&view, place.offset)
                .is_some_and(|(_, element)| matches!(element.kind, ElementKind::Comment { .. }))
        }),
        SectionKind::Epd | SectionKind::Prose => true,
        SectionKind::Board => false,
    };
    if words {
        cited_in(place.snapshot, place.section)
    } else {
        Vec::new()
    }
}

/// Which of the cited moves is meant at an offset: the one it lies in, or the last one before
/// it where it lies within their line.
fn meant(cited: &[CitedStep], offset: usize) -> Option<usize> {
    let inside = |step: &CitedStep| step.whole.start <= offset && offset <= step.span.end;
    cited.iter().rposition(inside).or_else(|| {
        let before = cited.iter().rposition(|step| step.whole.start <= offset)?;
        let line = cited.get(before)?.line;
        let goes_on = cited.get(before + 1..)?.iter();
        goes_on
            .into_iter()
            .any(|step| step.line == line)
            .then_some(before)
    })
}

/// The cited move at an offset of a comment or of prose, and its range in the document.
pub(crate) fn cited_at(place: &Place<'_>) -> Option<(CitedStep, Range<usize>)> {
    let mut cited = cited_around(place);
    let at = meant(&cited, place.offset as usize)?;
    let step = cited.swap_remove(at);
    let range = shifted(&step.whole, place.section.start);
    Some((step, range))
}

/// The squares that a cited move goes from and to.
pub(crate) fn marked(step: &CitedStep) -> Vec<Square> {
    step.played.into_iter().flat_map(show::ends).collect()
}

/// A cited move with its number, in the author's letters.
pub(crate) fn name(place: &Place<'_>, step: &CitedStep) -> String {
    let written = place.text().get(step.span.clone()).unwrap_or_default();
    let number = show::number(&step.before);
    format!("{number}{}", gainsay_notation::decode(written))
}

/// The position that an author has in mind at an offset. In prose it is that of the move
/// cited there, or the one that the paragraph speaks of, or what stands before it.
pub(crate) fn shown(snapshot: &Snapshot, offset: usize) -> Option<Shown> {
    let place = Place::at(snapshot, offset)?;
    if let Some((step, _)) = cited_at(&place) {
        return Some(Shown {
            marked: marked(&step),
            name: Some(name(&place, &step)),
            comment: None,
            game: None,
            position: step.after,
        });
    }
    let found = match place.section.kind {
        SectionKind::Games => in_game(&place),
        SectionKind::Prose => spoken_of(&place),
        SectionKind::Epd | SectionKind::Board => None,
    };
    found.or_else(|| beside(snapshot, place.section, offset))
}

fn in_game(place: &Place<'_>) -> Option<Shown> {
    let view = place.view()?;
    let index = ply_at(&view, place.offset);
    let ply = index.and_then(|index| view.replay.ply(index));
    let played = ply.and_then(|ply| ply.played).into_iter();
    Some(Shown {
        position: view.replay.at(index)?.clone(),
        marked: played.flat_map(show::ends).collect(),
        name: ply.map(|ply| view.name(ply)),
        comment: comment_behind(&view, ply.map(|ply| ply.element)),
        game: Some(games_before(place.snapshot, place.section.start) + view.index as usize),
    })
}

/// What the paragraph at a place speaks of.
fn spoken_of(place: &Place<'_>) -> Option<Shown> {
    let spoken = questions(place.snapshot, place.section)?.spoken_of();
    let spoken = spoken
        .into_iter()
        .rfind(|spoken| spoken.start <= place.offset as usize)?;
    // A blank line ends the paragraph.
    let between = place.text().get(spoken.start..place.offset as usize)?;
    let lines: Vec<&[u8]> = between.split(|byte| *byte == b'\n').collect();
    let whole = lines.get(1..lines.len() - 1).unwrap_or_default();
    let parted = whole.iter().any(|line| line.trim_ascii().is_empty());
    (!parted).then_some(Shown {
        position: spoken.position,
        marked: Vec::new(),
        name: spoken.mv,
        comment: None,
        game: None,
    })
}

/// What stands before an offset, or else behind it.
fn beside(snapshot: &Snapshot, section: Section<'_>, offset: usize) -> Option<Shown> {
    let (start, kind) = (section.start, section.kind);
    let edition = &snapshot.text.edition;
    let settings = &snapshot.options.settings;
    let moment = |offset| edition.moment(offset, settings);
    // The position that the offset lies in, or else what stands before it.
    let own = (kind == SectionKind::Epd).then_some(start + 1);
    let here = || own.and_then(moment).or_else(|| moment(offset));
    let behind = || {
        let later = edition
            .pieces()
            .iter()
            .filter(|piece| piece.range.start > start && !matches!(piece.kind, SectionKind::Prose));
        let mut starts = later.map(|piece| piece.range.start + 1);
        starts.find_map(moment)
    };
    let moment = here().or_else(behind)?;
    Some(Shown {
        marked: moment.last.into_iter().flat_map(show::ends).collect(),
        position: moment.position,
        name: moment.name,
        comment: None,
        game: None,
    })
}

/// The comment behind a move, or the one before the first move.
fn comment_behind(view: &View<'_>, element: Option<u32>) -> Option<String> {
    let first = element.map_or(0, |element| element as usize + 1);
    view.game
        .elements
        .get(first..)?
        .iter()
        .find_map(|element| match element.kind {
            ElementKind::Glyph { .. } => None,
            ElementKind::Comment { body, .. } => Some(Some(view.words(body).trim().to_owned())),
            _ => Some(None),
        })
        .flatten()
}

/// How many games stand before a section.
fn games_before(snapshot: &Snapshot, start: usize) -> usize {
    snapshot
        .sections()
        .take_while(|section| section.start < start)
        .filter_map(|section| section.found().report.as_ref())
        .map(|report| report.games as usize)
        .sum()
}

/// The place of the move to go to; `None` where the line ends.
pub(crate) fn step(snapshot: &Snapshot, offset: usize, direction: Direction) -> Option<usize> {
    let place = Place::at(snapshot, offset)?;
    let here = place.offset as usize;
    let cited = cited_around(&place);
    let target = match meant(&cited, here) {
        Some(at) => along(&cited, at, direction),
        // Prose without a game of its own: from one cited move to the next.
        None if place.section.kind == SectionKind::Games => in_line(&place, direction),
        None => {
            let before = cited.iter().rev().find(|step| step.span.end < here);
            let behind = cited.iter().find(|step| here < step.span.start);
            let step = match direction {
                Direction::Next => behind,
                Direction::Previous => before,
                Direction::Start => cited.first(),
                Direction::End => cited.last(),
            };
            step.map(|step| step.span.start)
        }
    };
    target.map(|target| target + place.section.start)
}

/// The move to go to from the cited move `at` along its line.
fn along(cited: &[CitedStep], at: usize, direction: Direction) -> Option<usize> {
    let line = cited.get(at)?.line;
    let same = |step: &&CitedStep| step.line == line;
    let (before, behind) = (cited.get(..at)?, cited.get(at + 1..)?);
    let step = match direction {
        Direction::Next => behind.iter().find(same),
        Direction::Previous => before.iter().rev().find(same),
        Direction::Start => before.iter().find(same),
        Direction::End => behind.iter().rev().find(same),
    };
    step.map(|step| step.span.start)
}

/// The place to go to in the line of a game that the offset lies in.
fn in_line(place: &Place<'_>, direction: Direction) -> Option<usize> {
    let view = place.view()?;
    let lines = around(&view, place.offset);
    let within = lines.first().copied();
    let start_of = |ply: &Ply| view.span(ply.element).start;
    let line: Vec<&Ply> = view
        .replay
        .plies
        .iter()
        .filter(|ply| {
            let inside = within.is_none_or(|(start, end)| (start..end).contains(&start_of(ply)));
            inside && ply.depth as usize == lines.len() && ply.after.is_some()
        })
        .collect();
    let count = line.partition_point(|ply| start_of(ply) <= place.offset);
    let last = line.len().checked_sub(1);
    let ply = |at: usize| line.get(at).map(|ply| start_of(ply) as usize);
    let start = || match line.first()?.parent.and_then(|at| view.replay.ply(at)) {
        Some(parent) => Some(start_of(parent) as usize),
        None => before_all(&view),
    };
    match direction {
        Direction::Next => ply(count),
        Direction::Previous if count > 1 => ply(count - 2),
        Direction::Previous if count == 1 || within.is_some() => start(),
        Direction::Previous => None,
        Direction::Start if within.is_some() => ply(0).filter(|_| count != 1),
        Direction::Start if count == 0 => None,
        Direction::Start => start().or_else(|| ply(0).filter(|_| count > 1)),
        Direction::End => last.filter(|last| count != last + 1).and_then(ply),
    }
}

/// A place of the game that stands before all moves.
fn before_all(view: &View<'_>) -> Option<usize> {
    let first = view.game.elements.first().map(|element| element.span.start);
    let tag = view.game.tags.last().map(|tag| tag.span.start);
    let mut places = first.into_iter().chain(tag);
    places
        .find(|&place| ply_at(view, place).is_none())
        .map(|place| place as usize)
}
