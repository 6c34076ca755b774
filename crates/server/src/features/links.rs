//! Going places: what a comment refers to, where a position comes again, where a piece
//! goes, and where a name stands.

use std::ops::Range;

use gainsay::{Ply, View, show::target};
use gainsay_notation::{ElementKind, Game, Span};
use shakmaty::{Chess, EnPassantMode, Position, Square, zobrist::Zobrist64};

use super::{
    outline::each_game,
    place::{Place, element_at, shifted, tag_at},
};
use crate::document::Snapshot;

/// Where the words at an offset point: "move 23", "game 7", a cited move. From a move it is
/// the first place in the document where its position comes up.
pub(crate) fn definition(snapshot: &Snapshot, offset: usize) -> Option<Range<usize>> {
    let place = Place::at(snapshot, offset)?;
    let view = place.view()?;
    let (_, element) = element_at(&view, place.offset)?;
    let ElementKind::Comment { body, .. } = element.kind else {
        return uses(snapshot, offset, false)
            .into_iter()
            .next()
            .filter(|first| matches!(element.kind, ElementKind::Move(_)) && first.start <= offset);
    };
    if let Some(played) = cited(&view, place.offset) {
        return Some(place.range(played));
    }
    let (number, game) = reference(&view, body, place.offset)?;
    if game {
        return nth_game(snapshot, number as usize);
    }
    let ply = view
        .replay
        .plies
        .iter()
        .find(|ply| ply.depth == 0 && ply.move_number() == number)?;
    Some(place.range(view.span(ply.element)))
}

/// Where the move that is cited at an offset is played: in the game or a side-line, or else
/// what is played in its stead.
fn cited(view: &View<'_>, offset: u32) -> Option<Span> {
    let offset = offset as usize;
    let cited = gainsay::cited_moves(view);
    let cited = cited
        .iter()
        .find(|cited| cited.whole.start <= offset && offset <= cited.whole.end)?;
    let meant = bare(view.text.get(cited.span.clone())?);
    let there = || {
        let plies = view.replay.plies.iter();
        plies.filter(|ply| Some(ply.count) == cited.count)
    };
    let same = |ply: &&Ply| bare(view.span(ply.element).of(view.text)) == meant;
    let ply = there()
        .find(same)
        .or_else(|| there().find(|ply| ply.depth == 0))?;
    Some(view.span(ply.element))
}

/// The number at an offset of a comment, and whether it is a game's.
fn reference(view: &View<'_>, body: Span, offset: u32) -> Option<(u32, bool)> {
    let text = body.of(view.text);
    let at = (offset.checked_sub(body.start)? as usize).min(text.len());
    // From the word at the offset to the end of a number that may follow it.
    let is_word = |byte: u8| byte.is_ascii_alphanumeric();
    let mut start = at;
    while start > 0 && text.get(start - 1).is_some_and(|&byte| is_word(byte)) {
        start -= 1;
    }
    let word_end = |from: usize| {
        let length = text
            .get(from..)
            .unwrap_or_default()
            .iter()
            .take_while(|&&byte| is_word(byte))
            .count();
        from + length
    };
    let word = text.get(start..word_end(start))?.to_ascii_lowercase();
    if matches!(word.as_slice(), b"move" | b"moves" | b"game") {
        let from = word_end(start) + 1;
        let number = number(text.get(from..word_end(from))?)?;
        return Some((number, word == b"game"));
    }
    let number = number(&word)?;
    let before = text.get(..start)?.trim_ascii_end().to_ascii_lowercase();
    Some((number, before.ends_with(b"game")))
}

fn number(word: &[u8]) -> Option<u32> {
    let digits = word.iter().take_while(|byte| byte.is_ascii_digit()).count();
    std::str::from_utf8(word.get(..digits)?).ok()?.parse().ok()
}

/// Where the game of a number stands.
pub(super) fn nth_game(snapshot: &Snapshot, number: usize) -> Option<Range<usize>> {
    let mut count = 0;
    for section in snapshot.sections() {
        let games = section
            .report
            .as_ref()
            .map_or(1, |report| report.games as usize);
        if count + games < number {
            count += games;
            continue;
        }
        let mut found = None;
        each_game(snapshot, section, |bytes, game| {
            count += 1;
            if count == number {
                found = Some(super::outline::symbol(bytes, game, section.start, count, false).head);
            }
        });
        return found;
    }
    None
}

/// Everywhere that the position after the move at an offset comes up, in this document, and where
/// the game's comments cite the move, which may be asked for at any of these places; for a tag,
/// everywhere that its value stands.
pub(crate) fn references(snapshot: &Snapshot, offset: usize) -> Vec<Range<usize>> {
    uses(snapshot, offset, true)
}

/// The same, with citations or without.
fn uses(snapshot: &Snapshot, offset: usize, with_citations: bool) -> Vec<Range<usize>> {
    let Some(place) = Place::at(snapshot, offset) else {
        return Vec::new();
    };
    let Some(view) = place.view() else {
        return Vec::new();
    };
    if let Some(name) = name_at(&place, &view) {
        return names(snapshot, &name);
    }
    let here = element_at(&view, place.offset);
    let here = match here {
        // In a comment the move that is cited there, where it is played.
        Some((_, element)) if matches!(element.kind, ElementKind::Comment { .. }) => {
            cited(&view, place.offset).and_then(|played| element_at(&view, played.start))
        }
        other => other,
    };
    let ply = here.and_then(|(at, _)| view.replay.ply_of_element(at));
    let Some((ply, position)) =
        ply.and_then(|at| Some((view.replay.ply(at)?, view.replay.at(Some(at))?)))
    else {
        return Vec::new();
    };
    let key = key(position);
    let mut found = match with_citations {
        true => citations(&place, &view, ply),
        false => Vec::new(),
    };
    for section in snapshot.sections() {
        if section.kind != gainsay_notation::SectionKind::Games {
            continue;
        }
        let reading = snapshot.reading(section);
        for view in reading.views(snapshot.bytes(section)) {
            for ply in &view.replay.plies {
                if let Some(after) = &ply.after
                    && after.turn() == position.turn()
                    && self::key(after) == key
                {
                    found.push(shifted(&view.span(ply.element).range(), section.start));
                }
            }
        }
    }
    found.sort_by_key(|range| range.start);
    found
}

/// Where the comments of a game cite a move that is played in it.
fn citations(place: &Place<'_>, view: &View<'_>, ply: &Ply) -> Vec<Range<usize>> {
    let played = bare(view.span(ply.element).of(view.text));
    let cited = gainsay::cited_moves(view).into_iter();
    let same = cited.filter(|cited| {
        let words = view.text.get(cited.span.clone()).unwrap_or_default();
        cited.count == Some(ply.count) && bare(words) == played
    });
    same.map(|cited| shifted(&cited.span, place.section.start))
        .collect()
}

/// A move without its signs, which authors leave out where they cite it.
fn bare(words: &[u8]) -> Vec<u8> {
    let is_sign = |byte: &&u8| !matches!(byte, b'+' | b'#' | b'!' | b'?');
    words.iter().filter(is_sign).copied().collect()
}

fn key(position: &Chess) -> u64 {
    let key: Zobrist64 = position.zobrist_hash(EnPassantMode::Legal);
    key.0
}

/// The moves to highlight with the one at an offset, and whether each is by the same
/// piece (else to the same square).
pub(crate) fn highlights(snapshot: &Snapshot, offset: usize) -> Vec<(Range<usize>, bool)> {
    let Some(place) = Place::at(snapshot, offset) else {
        return Vec::new();
    };
    let Some(view) = place.view() else {
        return Vec::new();
    };
    let replay = view.replay;
    let Some((at, ply)) = element_at(&view, place.offset)
        .and_then(|(at, _)| replay.ply_of_element(at))
        .and_then(|at| Some((at, replay.ply(at)?)))
    else {
        return Vec::new();
    };
    let Some(played) = ply.played else {
        return Vec::new();
    };
    let mut own = vec![at];
    // Back along the line to where the piece came from.
    let mut square = played.from();
    let mut back = ply.parent;
    while let Some(index) = back
        && let Some(earlier) = replay.ply(index)
    {
        if let Some(m) = earlier.played
            && Some(target(m)) == square
            && earlier.side() == ply.side()
        {
            own.push(index);
            square = m.from();
        }
        back = earlier.parent;
    }
    // On along the line, up to its end or the piece's.
    let mut square: Option<Square> = Some(target(played));
    let mut last = at;
    for (later, index) in replay.plies.iter().zip(0_u32..).skip(at as usize + 1) {
        if later.parent != Some(last) || later.depth != ply.depth {
            continue;
        }
        last = index;
        let Some(m) = later.played else { break };
        if later.side() != ply.side() {
            if Some(m.to()) == square {
                break;
            }
        } else if m.from() == square {
            own.push(index);
            square = Some(target(m));
        }
    }
    let mut found: Vec<(Range<usize>, bool)> = replay
        .plies
        .iter()
        .zip(0_u32..)
        .filter_map(|(other, index)| {
            let same_piece = own.contains(&index);
            let same_square = other.played.is_some_and(|m| target(m) == target(played));
            (same_piece || same_square).then(|| (place.range(view.span(other.element)), same_piece))
        })
        .collect();
    found.sort_by_key(|(range, _)| range.start);
    found
}

/// A name that can be renamed: a player's or an event's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Name {
    /// The tags it can stand in.
    tags: &'static [&'static str],
    /// The value.
    pub(crate) value: String,
    /// Where it stands at the offset that was asked for.
    pub(crate) range: Range<usize>,
}

impl Name {
    /// Where it stands in the tags of a game.
    pub(crate) fn places<'g>(
        &'g self,
        text: &'g [u8],
        game: &'g Game,
    ) -> impl Iterator<Item = Span> + 'g {
        game.tags
            .iter()
            .filter(move |tag| {
                let name = tag.name.of(text);
                self.tags.iter().any(|known| name == known.as_bytes())
                    && tag.value(text) == self.value
            })
            .map(|tag| tag.value)
    }
}

/// The name at an offset.
pub(crate) fn name(snapshot: &Snapshot, offset: usize) -> Option<Name> {
    let place = Place::at(snapshot, offset)?;
    let view = place.view()?;
    name_at(&place, &view)
}

fn name_at(place: &Place<'_>, view: &View<'_>) -> Option<Name> {
    let tag = tag_at(view, place.offset)?;
    let tags: &[&str] = match tag.name.of(view.text) {
        b"White" | b"Black" => &["White", "Black"],
        b"Event" => &["Event"],
        b"Site" => &["Site"],
        b"Annotator" => &["Annotator"],
        _ => return None,
    };
    let value = tag.value(view.text).into_owned();
    (!value.is_empty() && value != "?").then(|| Name {
        tags,
        value,
        range: place.range(tag.value),
    })
}

/// Everywhere that a name stands in a document.
pub(crate) fn names(snapshot: &Snapshot, name: &Name) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    for section in snapshot.sections() {
        each_game(snapshot, section, |bytes, game| {
            let places = name.places(bytes, game);
            found.extend(places.map(|span| shifted(&span.range(), section.start)));
        });
    }
    found
}

/// A name as it is written between the quotes of a tag.
pub(crate) fn escaped(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_control())
        .collect::<String>()
        .replace('\\', "\\\\")
        .replace('"', "\\\"")
}
