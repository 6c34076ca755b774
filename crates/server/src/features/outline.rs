//! Outline and folding: games, positions, side-lines, comments.

use std::ops::Range;

use gainsay::View;
use gainsay_notation::{ElementKind, Game, SectionKind, decode, parse_epd_line, read_game};

use crate::{
    document::{Section, Snapshot},
    words::counts as words,
};

/// A game or a side-line with what stands in it. Offsets are of the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Symbol {
    pub(crate) name: String,
    pub(crate) detail: String,
    /// Whether it is a game; a side-line otherwise.
    pub(crate) game: bool,
    /// All of it.
    pub(crate) range: Range<usize>,
    /// What is selected when it is gone to.
    pub(crate) head: Range<usize>,
    pub(crate) children: Vec<Symbol>,
}

/// The games of the document with their side-lines, and the positions that stand by themselves.
pub(crate) fn symbols(snapshot: &Snapshot) -> Vec<Symbol> {
    let mut symbols = Vec::new();
    let (mut number, mut positions) = (0, 0);
    for section in snapshot.sections() {
        let bytes = snapshot.bytes(section);
        if section.kind == SectionKind::Epd && !bytes.trim_ascii().is_empty() {
            positions += 1;
            symbols.extend(position(bytes, section.start, positions));
        }
        each_game(snapshot, section, |bytes, game| {
            number += 1;
            symbols.push(symbol(bytes, game, section.start, number, true));
        });
    }
    symbols
}

/// A position by its name (PGN standard, 16.2.5.11) or its number, as prose counts diagrams.
fn position(line: &[u8], base: usize, number: u32) -> Option<Symbol> {
    let record = parse_epd_line(line)?;
    let id = record.operation(line, "id");
    let id = id.and_then(|id| Some(decode(id.operands.first()?.span.of(line)).trim().to_owned()));
    let range = super::place::shifted(&record.span.range(), base);
    Some(Symbol {
        name: id
            .filter(|id| !id.is_empty())
            .unwrap_or_else(|| words::position(number)),
        detail: decode(record.position.of(line)).into_owned(),
        game: true,
        head: super::place::shifted(&record.position.range(), base),
        range,
        children: Vec::new(),
    })
}

/// Reads the games of a section one after the other, without playing them through.
pub(crate) fn each_game(snapshot: &Snapshot, section: Section<'_>, each: impl FnMut(&[u8], &Game)) {
    if section.kind != gainsay_notation::SectionKind::Games {
        return;
    }
    games_in(snapshot.bytes(section), each);
}

/// Goes through the games of a section's text.
pub(crate) fn games_in(bytes: &[u8], mut each: impl FnMut(&[u8], &Game)) {
    let mut game = Game::default();
    let mut from = 0;
    while let Some(next) = read_game(bytes, from, &mut game) {
        from = next.max(from + 1);
        if game.tags.is_empty() && game.elements.is_empty() {
            continue;
        }
        each(bytes, &game);
    }
}

/// The players of a game, or its number where they are not named.
pub(crate) fn title(bytes: &[u8], game: &Game, number: usize) -> String {
    let tag = |name| {
        game.tag(bytes, name)
            .map(|tag| tag.value(bytes).trim().to_owned())
            .filter(|value| !value.is_empty() && value != "?")
    };
    words::game(tag("White").as_deref(), tag("Black").as_deref(), number)
}

/// A game as a symbol.
pub(crate) fn symbol(bytes: &[u8], game: &Game, base: usize, number: usize, lines: bool) -> Symbol {
    let detail: Vec<String> = ["Event", "Date", "Result"]
        .into_iter()
        .filter_map(|name| game.tag(bytes, name))
        .map(|tag| tag.value(bytes).trim().to_owned())
        .filter(|value| !value.is_empty() && value != "?")
        .collect();
    let range = super::place::shifted(&game.span.range(), base);
    let head = game
        .tag(bytes, "White")
        .or_else(|| game.tags.first())
        .map(|tag| tag.span)
        .or_else(|| game.elements.first().map(|element| element.span))
        .map_or(range.start..range.start, |span| {
            super::place::shifted(&span.range(), base)
        });
    Symbol {
        name: title(bytes, game, number),
        detail: detail.join(", "),
        game: true,
        head: head.start.max(range.start)..head.end.min(range.end).max(range.start),
        range,
        children: if lines {
            side_lines(bytes, game, base)
        } else {
            Vec::new()
        },
    }
}

/// The side-lines of a game as a tree, built without recursion; deep ones are left out,
/// since no editor shows them and the tree is sent and dropped recursively.
fn side_lines(bytes: &[u8], game: &Game, base: usize) -> Vec<Symbol> {
    const DEEPEST: usize = 32;
    let mut done: Vec<Symbol> = Vec::new();
    let mut open: Vec<(Option<Symbol>, String)> = Vec::new();
    for element in &game.elements {
        match element.kind {
            ElementKind::Open => {
                let range = super::place::shifted(&element.span.range(), base);
                let symbol = (open.len() < DEEPEST).then(|| Symbol {
                    name: String::new(),
                    detail: String::new(),
                    game: false,
                    head: range.clone(),
                    range,
                    children: Vec::new(),
                });
                open.push((symbol, String::new()));
            }
            ElementKind::Close => {
                if let Some((Some(mut symbol), name)) = open.pop() {
                    symbol.range.end = element.span.end as usize + base;
                    symbol.name = if name.is_empty() {
                        "side-line".to_owned()
                    } else {
                        name
                    };
                    match open.last_mut() {
                        Some((Some(parent), _)) => parent.children.push(symbol),
                        _ => done.push(symbol),
                    }
                }
            }
            ElementKind::Number(_) | ElementKind::Move(_) => {
                if let Some((_, name)) = open.last_mut()
                    && !name.contains(|c: char| c.is_alphabetic())
                    && name.len() < 16
                {
                    name.push_str(&gainsay_notation::decode(element.span.of(bytes)));
                }
            }
            _ => {}
        }
    }
    done
}

/// Why something can be folded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fold {
    Game,
    Comment,
    SideLine,
}

/// What can be folded: games, comments and side-lines. Ranges of one line are given
/// too; the editor's lines decide.
pub(crate) fn folds(snapshot: &Snapshot) -> Vec<(Range<usize>, Fold)> {
    let mut folds = Vec::new();
    for section in snapshot.sections() {
        each_game(snapshot, section, |bytes, game| {
            let at = |range: Range<usize>| super::place::shifted(&range, section.start);
            let has_break = |range: &Range<usize>| {
                memchr::memchr2(b'\n', b'\r', bytes.get(range.clone()).unwrap_or_default())
                    .is_some()
            };
            let mut add = |range: Range<usize>, fold: Fold| {
                if has_break(&range) {
                    folds.push((at(range), fold));
                }
            };
            let end = game
                .elements
                .last()
                .map(|element| element.span.end)
                .or_else(|| game.tags.last().map(|tag| tag.span.end))
                .unwrap_or(game.span.start);
            let start = game
                .tags
                .first()
                .map_or(game.span.start, |tag| tag.span.start);
            add(start as usize..end as usize, Fold::Game);
            let mut open = Vec::new();
            for element in &game.elements {
                match element.kind {
                    ElementKind::Comment { .. } => add(element.span.range(), Fold::Comment),
                    ElementKind::Open => open.push(element.span.start),
                    ElementKind::Close => {
                        if let Some(start) = open.pop() {
                            add(start as usize..element.span.end as usize, Fold::SideLine);
                        }
                    }
                    _ => {}
                }
            }
        });
    }
    folds.sort_by_key(|(range, _)| (range.start, std::cmp::Reverse(range.end)));
    folds
}

/// The ranges around an offset, the smallest first: move, side-lines, game, document.
pub(crate) fn selections(snapshot: &Snapshot, offset: usize) -> Vec<Range<usize>> {
    let mut ranges: Vec<Range<usize>> = Vec::new();
    if let Some(place) = super::place::Place::at(snapshot, offset)
        && let Some(view) = place.view()
    {
        if let Some((at, element)) = super::place::element_at(&view, place.offset) {
            ranges.push(place.range(element.span));
            if let Some(ply) = view
                .replay
                .ply_of_element(at)
                .and_then(|ply| view.replay.ply(ply))
                && let Some(number) = ply.number
            {
                ranges.push(place.range(view.span(number).to(element.span)));
            }
        } else if let Some(tag) = super::place::tag_at(&view, place.offset) {
            if tag.value.touches(place.offset) {
                ranges.push(place.range(tag.value));
            }
            ranges.push(place.range(tag.span));
        }
        for (start, end) in around(&view, place.offset) {
            ranges.push(place.range(gainsay_notation::Span::new(
                start + 1,
                end.saturating_sub(1),
            )));
            ranges.push(place.range(gainsay_notation::Span::new(start, end)));
        }
        if let (Some(first), Some(last)) = (view.game.elements.first(), view.game.elements.last()) {
            let movetext = first.span.to(last.span);
            if movetext.touches(place.offset) {
                ranges.push(place.range(movetext));
            }
        }
        ranges.push(place.range(view.game.span));
    }
    ranges.push(0..snapshot.text.len());
    // Each must hold the one before it.
    let mut nested: Vec<Range<usize>> = Vec::new();
    for range in ranges {
        match nested.last() {
            Some(inner) if range == *inner => {}
            Some(inner) if range.start > inner.start || range.end < inner.end => {}
            None if range.start > offset || range.end < offset => {}
            _ => nested.push(range),
        }
    }
    nested
}

/// The side-lines around an offset, the innermost first, with their parentheses.
pub(super) fn around(view: &View<'_>, offset: u32) -> Vec<(u32, u32)> {
    let mut open = Vec::new();
    let mut found = Vec::new();
    for element in &view.game.elements {
        match element.kind {
            ElementKind::Open => open.push(element.span.start),
            ElementKind::Close => {
                if let Some(start) = open.pop()
                    && start <= offset
                    && offset <= element.span.end
                {
                    found.push((start, element.span.end));
                }
            }
            _ => {}
        }
    }
    found
}
