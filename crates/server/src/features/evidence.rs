//! Moves that show a verdict, as insertions into the game.

use std::{collections::BTreeMap, ops::Range};

use gainsay::{Edit, NotationReader, Ply, Settings, Severity, View, apply, show};
use gainsay_notation::{CommentKind, Element, ElementKind};
use shakmaty::{Chess, Move, Position};

use super::{allowances::insertion, place::Place};
use crate::words::actions as words;

/// Whether an edit of a section breaks no rule of the notation more often than it is broken
/// already: moves behind a mate, a result that is not that of the last move, and so on.
fn is_as_correct(place: &Place<'_>, edit: &Edit) -> bool {
    let broken = |text: &[u8]| {
        let settings = Settings {
            language: place.snapshot.options.settings.language,
            ..Settings::default()
        };
        let notation = NotationReader::default().read(text, place.section.kind, &settings);
        let mut broken: BTreeMap<&str, usize> = BTreeMap::new();
        for finding in notation.report.findings {
            if matches!(finding.severity, Severity::Error | Severity::Warning) {
                *broken.entry(finding.rule.name).or_default() += 1;
            }
        }
        broken
    };
    let before = broken(place.text());
    let edited = apply(place.text(), std::slice::from_ref(edit));
    let mut after = broken(&edited).into_iter();
    after.all(|(rule, count)| before.get(rule).is_some_and(|known| count <= *known))
}

/// Inserts the first line of evidence as a side-line where the game goes on from the
/// position it starts in, or as the game's continuation where the game ends there. With
/// the words for it.
pub(super) fn shown(
    place: &Place<'_>,
    span: &Range<usize>,
    position: &str,
    evidence: &[String],
) -> Option<(String, Edit)> {
    let line = evidence.first()?;
    if !line.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let view = place.view_of(span)?;
    let elements = &view.game.elements;
    let element = elements.partition_point(|element| (element.span.start as usize) < span.start);
    // The nearest move behind the comment, or before it, that leaves the position.
    let leaves = |ply: &&Ply| {
        view.replay
            .before(ply)
            .is_some_and(|before| show::fen(before) == position)
    };
    let plies = &view.replay.plies;
    let base = place.section.start;
    let leaving = plies
        .iter()
        .filter(|ply| ply.element as usize >= element)
        .find(leaves)
        .or_else(|| plies.iter().rev().find(leaves));
    let letters = view.replay.language;
    // Behind the last move and the comments on it.
    let continuation = |line: &str| {
        let mut behind = elements.iter().rev();
        let last = behind.find(|element| !matches!(element.kind, ElementKind::Result(_)))?;
        let line = show::in_language(line, letters);
        let text = format!("{}{line}", behind_of(&view, last));
        let edit = insertion(last.span.end, text);
        is_as_correct(place, &edit).then(|| (words::continuation(&line), edit.moved(base)))
    };
    let Some(ply) = leaving else {
        let last = view.replay.at(view.replay.last)?;
        // Evidence may also be the way to the position.
        followed(last, line)?;
        return continuation(line).filter(|_| show::fen(last) == position);
    };
    let (ply, line) = match parting(&view, ply, line)? {
        (Some(ply), line) => (ply, line),
        (None, line) => return continuation(&line).filter(|_| ply.depth == 0),
    };
    let mut last = view.element(ply.element)?;
    for later in elements.iter().skip(ply.element as usize + 1) {
        match later.kind {
            ElementKind::Glyph { .. } | ElementKind::Comment { .. } => last = later,
            _ => break,
        }
    }
    let line = show::in_language(&line, letters);
    let text = format!("{}({line})", behind_of(&view, last));
    let edit = insertion(last.span.end, text).moved(base);
    Some((words::side_line(&line), edit))
}

/// What parts a token from the one that is to follow it: a comment up to the end of its
/// line would swallow what stands behind a blank.
fn behind_of(view: &View<'_>, last: &Element) -> &'static str {
    match last.kind {
        ElementKind::Comment {
            kind: CommentKind::Line | CommentKind::Escape,
            ..
        } => view.line_end(),
        _ => " ",
    }
}

/// The moves of a line of evidence, if they can be played from `start`.
fn followed(start: &Chess, line: &str) -> Option<Vec<Move>> {
    let mut position = start.clone();
    line.split_whitespace()
        .map(|word| word.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.'))
        .filter(|word| !word.is_empty())
        .map(|word| show::play(&mut position, word))
        .collect()
}

/// Follows a line of evidence along the game from `ply`, which leaves the position that
/// the line begins in: the move of the game that the line departs from, none where the game
/// ends first, and what is left of the line. `None` where the line is that of the game.
fn parting<'v>(view: &View<'v>, ply: &'v Ply, line: &str) -> Option<(Option<&'v Ply>, String)> {
    let plies = &view.replay.plies;
    let mut ply = Some(ply);
    let mut position = view.replay.before(ply?)?.clone();
    let moves = followed(&position, line)?;
    for (at, &m) in moves.iter().enumerate() {
        let Some(same) = ply.filter(|ply| ply.played == Some(m)) else {
            return Some((ply, show::line(&position, moves.get(at..)?)));
        };
        position.play_unchecked(m);
        let index = plies
            .iter()
            .position(|other| other.element == same.element)?;
        ply = plies.iter().skip(index + 1).find(|next| {
            next.parent.is_some_and(|parent| parent as usize == index) && next.depth == same.depth
        });
    }
    None
}
