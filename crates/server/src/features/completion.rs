//! Completion: legal moves, numbers, tags, rules of allowances, words of the trade.

use std::ops::Range;

use gainsay::{Language, View, show};
use gainsay_notation::{CommentKind, ElementKind, SectionKind};
use shakmaty::{Chess, Color, Move, Position};

use super::{
    legal,
    place::{Place, element_at, ply_at},
    walk,
};
use crate::{
    document::Snapshot,
    words::{completion as words, meanings},
};

/// What an offered word is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Move,
    Number,
    Tag,
    Value,
    Rule,
    Word,
    Square,
}

/// An offered word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Item {
    pub(crate) kind: Kind,
    pub(crate) text: String,
    /// The bytes of the document that it replaces.
    pub(crate) range: Range<usize>,
    /// A few words beside it.
    pub(crate) detail: String,
    /// Markdown.
    pub(crate) documentation: Option<String>,
}

/// What is offered at an offset, the likeliest first.
pub(crate) fn completion(snapshot: &Snapshot, offset: usize) -> Vec<Item> {
    // A word that is being typed at the end of the text belongs to the section before.
    let Some(place) = Place::at(snapshot, offset) else {
        return Vec::new();
    };
    if place.section.kind != SectionKind::Games {
        return comment(&place, None, 0);
    }
    let Some(view) = place.view() else {
        return tags(&place, 0);
    };
    let line = place.offset as usize;
    if let Some(start) = tag_before(place.text(), line) {
        return tag_items(&place, start);
    }
    if let Some((_, element)) = element_at(&view, place.offset)
        && let ElementKind::Comment { body, kind } = element.kind
        && body.start <= place.offset
        && (place.offset < element.span.end
            || matches!(kind, CommentKind::Line | CommentKind::Unclosed))
    {
        return comment(&place, Some(&view), body.start as usize);
    }
    moves(&place, &view)
}

/// The bytes of the word before the offset.
fn word(place: &Place<'_>, belongs: impl Fn(u8) -> bool) -> Range<usize> {
    let end = place.offset as usize;
    let before = place.text().get(..end).unwrap_or_default();
    let length = before
        .iter()
        .rev()
        .take_while(|&&byte| belongs(byte))
        .count();
    let base = place.section.start;
    end - length + base..end + base
}

fn moves(place: &Place<'_>, view: &View<'_>) -> Vec<Item> {
    let range = word(place, |byte| {
        byte.is_ascii_alphanumeric() || b"-+#=".contains(&byte) || byte >= 0x80
    });
    // A word that begins with a number is one: "12.Nf" is "12." and "Nf".
    let start = (range.start - place.section.start) as u32;
    let current = element_at(view, place.offset)
        .filter(|(_, element)| element.span.start >= start.min(place.offset))
        .and_then(|(at, _)| view.replay.ply_of_element(at))
        .and_then(|at| view.replay.ply(at));
    let before = match current {
        Some(ply) => view.replay.before(ply),
        None => view
            .replay
            .at(start.checked_sub(1).and_then(|at| ply_at(view, at))),
    };
    let Some(position) = before else {
        return Vec::new();
    };
    let mut items: Vec<Item> = Vec::new();
    let bare = range.is_empty();
    if bare && position.turn() == Color::White && !behind_number(view, start) {
        items.push(Item {
            kind: Kind::Number,
            text: show::number(position),
            range: range.clone(),
            detail: words::NUMBER.to_owned(),
            documentation: None,
        });
    }
    let played = current.and_then(|ply| ply.played);
    items.extend(legal(position, played, &range, view.replay.language));
    items
}

fn behind_number(view: &View<'_>, offset: u32) -> bool {
    super::place::element_before(view, offset)
        .and_then(|at| view.element(at))
        .is_some_and(|element| matches!(element.kind, ElementKind::Number(_)))
}

/// The legal moves of a position as they are offered for a range.
fn legal(
    position: &Chess,
    played: Option<Move>,
    range: &Range<usize>,
    language: Language,
) -> impl Iterator<Item = Item> {
    let offered = legal::legal(position, played, language).into_iter();
    offered.map(|offered| Item {
        kind: Kind::Move,
        text: offered.text,
        range: range.clone(),
        detail: offered.summary,
        documentation: Some(offered.board),
    })
}

/// Where a tag begins that the offset stands in, on its line.
fn tag_before(text: &[u8], offset: usize) -> Option<usize> {
    let before = text.get(..offset)?;
    let line = memchr::memrchr2(b'\n', b'\r', before).map_or(0, |at| at + 1);
    let start = before.get(line..)?;
    let blank = start.iter().take_while(|byte| **byte == b' ').count();
    let tag = start.get(blank..)?;
    (tag.first() == Some(&b'[') && !tag.starts_with(b"[%") && !tag.contains(&b']'))
        .then_some(line + blank)
}

fn tag_items(place: &Place<'_>, start: usize) -> Vec<Item> {
    let tag = place
        .text()
        .get(start..place.offset as usize)
        .unwrap_or_default();
    let Some(quote) = memchr::memchr(b'"', tag) else {
        return tags(place, start);
    };
    let name = tag.get(1..quote).unwrap_or_default().trim_ascii();
    let values: &[&str] = match name {
        b"Result" => &["1-0", "0-1", "1/2-1/2", "*"],
        b"SetUp" => &["1"],
        b"Date" | b"EventDate" | b"UTCDate" => &["????.??.??"],
        b"Round" | b"Site" | b"Event" => &["?"],
        b"Mode" => &["OTB", "PM"],
        b"WhiteType" | b"BlackType" => &["human", "program"],
        b"Variant" => &["Chess960"],
        _ => &[],
    };
    let range = word(place, |byte| byte != b'"' && byte != b'\n' && byte != b'\r');
    let mut items: Vec<Item> = values
        .iter()
        .map(|value| Item {
            kind: Kind::Value,
            text: (*value).to_owned(),
            range: range.clone(),
            detail: String::new(),
            documentation: None,
        })
        .collect();
    // Names that the file knows already.
    if matches!(
        name,
        b"White" | b"Black" | b"Event" | b"Site" | b"Annotator" | b"Date"
    ) {
        let known = known_values(place.snapshot, name);
        items.extend(known.into_iter().map(|text| Item {
            kind: Kind::Value,
            text,
            range: range.clone(),
            detail: words::KNOWN.to_owned(),
            documentation: None,
        }));
    }
    items
}

/// Values of tags in the first part of the file, in order, each once.
fn known_values(snapshot: &Snapshot, name: &[u8]) -> Vec<String> {
    const MOST_SECTIONS: usize = 200;
    let people: &[&[u8]] = if matches!(name, b"White" | b"Black") {
        &[b"White", b"Black"]
    } else {
        std::slice::from_ref(&name)
    };
    let mut values = std::collections::BTreeSet::new();
    for section in snapshot.sections().take(MOST_SECTIONS) {
        let bytes = snapshot.bytes(section);
        let mut game = gainsay_notation::Game::default();
        if gainsay_notation::read_game(bytes, 0, &mut game).is_some() {
            for tag in &game.tags {
                if people.contains(&tag.name.of(bytes)) {
                    let value = tag.value(bytes);
                    if value.len() > 1 {
                        values.insert(value.into_owned());
                    }
                }
            }
        }
    }
    values.into_iter().collect()
}

fn tags(place: &Place<'_>, start: usize) -> Vec<Item> {
    let base = place.section.start;
    let range = start + base..place.offset as usize + base;
    meanings::TAGS
        .iter()
        .map(|(name, meaning)| Item {
            kind: Kind::Tag,
            text: format!("[{name} \""),
            range: range.clone(),
            detail: (*meaning).to_owned(),
            documentation: None,
        })
        .collect()
}

fn comment(place: &Place<'_>, view: Option<&View<'_>>, start: usize) -> Vec<Item> {
    let typed = place
        .text()
        .get(start..place.offset as usize)
        .unwrap_or_default();
    let command = memchr::memmem::rfind(typed, b"[%allow ")
        .filter(|&at| !typed.get(at..).unwrap_or_default().contains(&b']'));
    if command.is_some() {
        let range = word(place, |byte| byte.is_ascii_lowercase() || byte == b'-');
        return gainsay::rules()
            .into_iter()
            .map(|rule| Item {
                kind: Kind::Rule,
                text: rule.name.to_owned(),
                range: range.clone(),
                detail: rule.summary().to_owned(),
                documentation: Some(rule.documentation.to_owned()),
            })
            .collect();
    }
    let range = word(place, |byte| {
        byte.is_ascii_alphanumeric() || b"-+#=".contains(&byte)
    });
    let base = place.section.start;
    let written = range.start - base..range.end - base;
    let before = place.text().get(start..written.start).unwrap_or_default();
    let cited = walk::cited_in(place.snapshot, place.section);
    if let Some((position, played)) = legal::citable(place, view, &cited, (before, written.clone()))
    {
        let letters = view.map_or(Language::English, |view| view.replay.language);
        return legal(&position, played, &range, letters).collect();
    }
    match place.text().get(written) {
        // One letter of a file: its squares.
        Some(&[file @ b'a'..=b'h']) => (1..=8)
            .map(|rank| Item {
                kind: Kind::Square,
                text: format!("{}{rank}", char::from(file)),
                range: range.clone(),
                detail: words::SQUARE.to_owned(),
                documentation: None,
            })
            .collect(),
        Some(typed) if typed.len() >= 2 => words::TRADE
            .iter()
            .map(|text| Item {
                kind: Kind::Word,
                text: (*text).to_owned(),
                range: range.clone(),
                detail: String::new(),
                documentation: None,
            })
            .collect(),
        _ => Vec::new(),
    }
}
