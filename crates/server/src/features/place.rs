//! What stands at an offset.

use std::ops::Range;

use gainsay::{Ply, Reading, View};
use gainsay_notation::{Element, ElementKind, SectionKind, Span, Tag};

use crate::document::{Section, Snapshot};

/// A section that was read again for one question.
#[derive(Debug)]
pub(crate) struct Place<'s> {
    pub(crate) snapshot: &'s Snapshot,
    pub(crate) section: Section<'s>,
    pub(crate) reading: Reading,
    /// The offset that was asked for, relative to the section.
    pub(crate) offset: u32,
}

impl<'s> Place<'s> {
    /// The start of a section.
    pub(crate) fn of(snapshot: &'s Snapshot, section: Section<'s>) -> Self {
        Self {
            snapshot,
            section,
            reading: snapshot.reading(section),
            offset: 0,
        }
    }

    /// The section at an offset of the document.
    pub(crate) fn at(snapshot: &'s Snapshot, offset: usize) -> Option<Self> {
        let section = snapshot.section_at(offset)?;
        Some(Self {
            offset: u32::try_from(offset - section.start).ok()?,
            ..Self::of(snapshot, section)
        })
    }

    /// The text of the section.
    pub(crate) fn text(&self) -> &'s [u8] {
        self.snapshot.bytes(self.section)
    }

    /// The game at the offset: the last one that begins at it or before.
    /// Lines of EPD and prose are no games.
    pub(crate) fn view(&self) -> Option<View<'_>> {
        if self.section.kind != SectionKind::Games {
            return None;
        }
        let mut found = None;
        for view in self.reading.views(self.text()) {
            if found.is_some() && view.game.span.start > self.offset {
                break;
            }
            found = Some(view);
        }
        found
    }

    /// The game that holds a span of the section. Lines of EPD and prose are no games.
    pub(crate) fn view_of(&self, span: &Range<usize>) -> Option<View<'_>> {
        if self.section.kind != SectionKind::Games {
            return None;
        }
        let mut found = None;
        for view in self.reading.views(self.text()) {
            if found.is_some() && view.game.span.start as usize > span.start {
                break;
            }
            found = Some(view);
        }
        found
    }

    /// A span of the section as a range of the document.
    pub(crate) fn range(&self, span: Span) -> Range<usize> {
        shifted(&span.range(), self.section.start)
    }
}

/// A range moved by `base`.
pub(crate) fn shifted(range: &Range<usize>, base: usize) -> Range<usize> {
    range.start + base..range.end + base
}

/// The element that an offset lies in, or that ends there, where none begins.
pub(crate) fn element_at<'v>(view: &View<'v>, offset: u32) -> Option<(u32, &'v Element)> {
    let elements = &view.game.elements;
    let behind = elements.partition_point(|element| element.span.start <= offset);
    let at = behind.checked_sub(1)?;
    let element = elements.get(at)?;
    if element.span.touches(offset) {
        return Some((u32::try_from(at).ok()?, element));
    }
    None
}

/// The tag that an offset lies in.
pub(crate) fn tag_at<'v>(view: &View<'v>, offset: u32) -> Option<&'v Tag> {
    view.game.tags.iter().find(|tag| tag.span.touches(offset))
}

/// The last element that begins before an offset.
pub(crate) fn element_before(view: &View<'_>, offset: u32) -> Option<u32> {
    let behind = view
        .game
        .elements
        .partition_point(|element| element.span.start < offset);
    u32::try_from(behind.checked_sub(1)?).ok()
}

/// The ply whose position an author has in mind at an offset: that of the move there
/// or of the last move before it in its line. `None` is the start of the game.
pub(crate) fn ply_at(view: &View<'_>, offset: u32) -> Option<u32> {
    let mut depth = 0_usize;
    let mut at = match element_at(view, offset) {
        Some((at, _)) => at,
        None => element_before(view, offset)?,
    };
    loop {
        let element = view.element(at)?;
        match element.kind {
            ElementKind::Close if element.span.start < offset => depth += 1,
            ElementKind::Open if depth > 0 => depth -= 1,
            ElementKind::Open => {
                // Before the first move of a side-line: where that line begins.
                let first = view.replay.plies.partition_point(|ply| ply.element < at);
                let after = view.replay.plies.get(first);
                if let Some(ply) = after.filter(|ply| opens(view, at, ply)) {
                    return ply.parent;
                }
                return first
                    .checked_sub(1)
                    .and_then(|last| view.replay.plies.get(last))
                    .and_then(|ply| ply.parent);
            }
            ElementKind::Move(_) | ElementKind::Word { movelike: true } if depth == 0 => {
                return view.replay.ply_of_element(at);
            }
            _ => {}
        }
        at = at.checked_sub(1)?;
    }
}

/// Whether `ply` is the first move of the side-line that the element `open` opens.
fn opens(view: &View<'_>, open: u32, ply: &Ply) -> bool {
    let between = open as usize + 1..ply.element as usize;
    view.game.elements.get(between).is_some_and(|elements| {
        elements
            .iter()
            .all(|element| !matches!(element.kind, ElementKind::Open | ElementKind::Close))
    })
}
