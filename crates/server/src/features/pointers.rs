//! What the words of a text point at: "Diagram 12", "game 3", and moves that prose cites.

use std::{collections::BTreeMap, ops::Range};

use gainsay::{LARGEST_BOOK, show};
use gainsay_notation::{ElementKind, SectionKind};
use shakmaty::Chess;

use super::{
    links::nth_game,
    outline::each_game,
    place::{Place, shifted},
    walk,
};
use crate::document::Snapshot;

/// The words that a number stands behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pointer {
    Diagram,
    Game,
}

/// What prose points at: the place of the words and the place that they lead to. In archives,
/// which are no books, nothing is looked up.
pub(crate) fn pointers(snapshot: &Snapshot) -> Vec<(Range<usize>, usize)> {
    let mut found = Vec::new();
    if snapshot.text.len() > LARGEST_BOOK {
        return found;
    }
    let mut said: Vec<(Range<usize>, Pointer, usize)> = Vec::new();
    for section in snapshot.sections() {
        if section.kind == SectionKind::Prose {
            said.extend(numbered(snapshot.bytes(section), section.start));
        }
        each_game(snapshot, section, |bytes, game| {
            for element in &game.elements {
                if let ElementKind::Comment { body, .. } = element.kind {
                    let base = section.start + body.start as usize;
                    // Diagrams of a comment are those of its game.
                    let words = numbered(body.of(bytes), base);
                    said.extend(words.filter(|(_, pointer, _)| *pointer == Pointer::Game));
                }
            }
        });
    }
    if said.is_empty() {
        return found;
    }
    let mut diagrams = BTreeMap::new();
    if said
        .iter()
        .any(|(_, pointer, _)| *pointer == Pointer::Diagram)
    {
        let all = snapshot.text.edition.diagrams(&snapshot.options.settings);
        let own = all.into_iter().filter(|diagram| diagram.game.is_none());
        diagrams.extend(own.map(|diagram| (diagram.number as usize, diagram.offset)));
    }
    for (range, pointer, number) in said {
        let target = match pointer {
            Pointer::Diagram => diagrams.get(&number).copied(),
            Pointer::Game => nth_game(snapshot, number).map(|head| head.start),
        };
        found.extend(target.map(|target| (range, target)));
    }
    found
}

/// "Diagram 12" and "game 3" in words that stand at `base`.
fn numbered(
    words: &[u8],
    base: usize,
) -> impl Iterator<Item = (Range<usize>, Pointer, usize)> + use<'_> {
    let is_letter = |byte: u8| byte.is_ascii_alphanumeric() || byte >= 0x80;
    memchr::memchr2_iter(b'a', b'A', words).filter_map(move |at| {
        // Each of the words has one "a" that no other letter of it comes to twice.
        let (pointer, start) = [(Pointer::Diagram, "diagram", 2), (Pointer::Game, "game", 1)]
            .into_iter()
            .find_map(|(pointer, name, before)| {
                let start = at.checked_sub(before)?;
                let written = words.get(start..start + name.len())?;
                let whole = start == 0 || !is_letter(*words.get(start - 1)?);
                let same = written.eq_ignore_ascii_case(name.as_bytes());
                (whole && same).then_some((pointer, start..start + name.len()))
            })?;
        let blank = words.get(start.end..)?;
        let digits = blank.get(1..)?;
        let length = digits
            .iter()
            .take_while(|byte| byte.is_ascii_digit())
            .count();
        let behind = digits.get(length).copied().unwrap_or(b' ');
        if !blank.first()?.is_ascii_whitespace() || is_letter(behind) {
            return None;
        }
        let number = std::str::from_utf8(digits.get(..length)?)
            .ok()?
            .parse()
            .ok()?;
        let range = start.start..start.end + 1 + length;
        Some((shifted(&range, base), pointer, number))
    })
}

/// Where the words at an offset of prose point: at a diagram or a game, or at the place where
/// the move is played that they cite, or what is played in its stead.
pub(crate) fn definition(place: &Place<'_>) -> Option<Range<usize>> {
    let offset = place.section.start + place.offset as usize;
    if let Some((step, _)) = walk::cited_at(place) {
        let mut instead = None;
        for section in nearest(place) {
            let reading = place.snapshot.reading(section);
            for view in reading.views(place.snapshot.bytes(section)) {
                let same = |position: &Chess| show::fen(position) == show::fen(&step.before);
                for ply in &view.replay.plies {
                    if view.replay.before(ply).is_none_or(|before| !same(before)) {
                        continue;
                    }
                    let range = shifted(&view.span(ply.element).range(), section.start);
                    if ply.played == step.played {
                        return Some(range);
                    }
                    instead.get_or_insert(range);
                }
            }
        }
        return instead;
    }
    let all = pointers(place.snapshot);
    let (_, target) = all
        .into_iter()
        .find(|(range, _)| range.start <= offset && offset <= range.end)?;
    Some(target..target)
}

/// The sections with games, those before the place first and the nearest of them before all.
fn nearest<'s>(place: &Place<'s>) -> Vec<crate::document::Section<'s>> {
    let games = place.snapshot.sections();
    let games = games.filter(|section| section.kind == SectionKind::Games);
    let (mut before, behind): (Vec<_>, Vec<_>) =
        games.partition(|section| section.start < place.section.start);
    before.reverse();
    before.extend(behind);
    before
}
