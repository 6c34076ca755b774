//! Formatting: whole games in export format, and numbers while typing.

use std::ops::Range;

use gainsay::{Edit, show};
use gainsay_notation::ElementKind;
use shakmaty::{Color, Position};

use super::place::{Place, element_before, ply_at, shifted};
use crate::document::Snapshot;

/// The edits that bring the games that touch a range into export format. Games that
/// cannot be read without doubt stay as they are.
pub(crate) fn format(snapshot: &Snapshot, range: &Range<usize>) -> Vec<Edit> {
    let mut edits = Vec::new();
    for section in snapshot.sections_in(range) {
        if section.kind != gainsay_notation::SectionKind::Games {
            continue;
        }
        let bytes = snapshot.bytes(section);
        let reading = snapshot.reading(section);
        for view in reading.views(bytes) {
            let span = shifted(&view.game.span.range(), section.start);
            if span.end < range.start || range.end < span.start {
                continue;
            }
            for edit in gainsay::export_edits(&view) {
                edits.push(Edit {
                    span: shifted(&edit.span, section.start),
                    text: edit.text,
                });
            }
        }
    }
    edits
}

/// Where the first game begins that touches a range and stays as it is, since it cannot be read
/// without doubt.
pub(crate) fn doubtful(snapshot: &Snapshot, range: &Range<usize>) -> Option<usize> {
    let mut sections = snapshot
        .sections_in(range)
        .filter(|section| section.kind == gainsay_notation::SectionKind::Games);
    sections.find_map(|section| {
        let bytes = snapshot.bytes(section);
        let reading = snapshot.reading(section);
        let mut views = reading.views(bytes);
        views.find_map(|view| {
            let span = shifted(&view.game.span.range(), section.start);
            let touches = range.start <= span.end && span.start <= range.end;
            let text = view.game.tags.first().map(|tag| tag.span.start);
            let first = view.game.elements.first().map(|element| element.span.start);
            let start = text.or(first)? as usize + section.start;
            (touches && gainsay::export(&view).is_none()).then_some(start)
        })
    })
}

/// After a space behind Black's move: the number of White's next one.
pub(crate) fn on_type(snapshot: &Snapshot, offset: usize) -> Option<Edit> {
    let place = Place::at(snapshot, offset.checked_sub(1)?)?;
    let view = place.view()?;
    let at = element_before(&view, place.offset)?;
    let element = view.element(at)?;
    // Directly behind the move, and nothing of a move behind it yet.
    if element.span.end != place.offset || !matches!(element.kind, ElementKind::Move(_)) {
        return None;
    }
    let next = place.text().get(place.offset as usize + 1);
    if next.is_some_and(|byte| !byte.is_ascii_whitespace() && *byte != b')') {
        return None;
    }
    let position = view.replay.at(ply_at(&view, place.offset))?;
    if position.turn() != Color::White || position.legal_moves().is_empty() {
        return None;
    }
    Some(Edit {
        span: offset..offset,
        text: format!("{} ", show::number(position)),
    })
}
