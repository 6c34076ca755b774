//! Semantic tokens: what every word of a game file is.

use std::ops::Range;

use gainsay::{Replay, Settings, View};
use gainsay_notation::{Element, ElementKind, Game, SectionKind, Span, parse_epd_line};

use super::outline::each_game;
use crate::document::Snapshot;

/// What a word is. The order is that of the legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    TagName,
    TagValue,
    Number,
    Move,
    Glyph,
    Result,
    Comment,
    Claim,
    SideLine,
    SideMove,
    CitedMove,
}

/// The words of a range, in order and without overlap, in bytes of the document.
pub(crate) fn tokens(snapshot: &Snapshot, range: &Range<usize>) -> Vec<(Range<usize>, Kind)> {
    let mut tokens = Vec::new();
    for section in snapshot.sections_in(range) {
        let base = section.start;
        let claims: Vec<Range<usize>> = section
            .claims
            .settlement()
            .iter()
            .flat_map(|settlement| &settlement.claims)
            .map(|claim| claim.span.clone())
            .collect();
        if section.kind == SectionKind::Epd {
            of_line(snapshot.bytes(section), &claims, &mut |span, kind| {
                let span = super::place::shifted(&span.range(), base);
                if span.start < range.end && range.start < span.end {
                    tokens.push((span, kind));
                }
            });
            continue;
        }
        let cited = section.cited.get_or_init(|| {
            let mut cited = Vec::new();
            each_game(snapshot, section, |bytes, game| {
                cited.extend(cited_moves(bytes, game, &snapshot.options.settings));
            });
            cited
        });
        each_game(snapshot, section, |_, game| {
            let mut add = |span: Span, kind: Kind| {
                let span = super::place::shifted(&span.range(), base);
                if span.start < range.end && range.start < span.end {
                    tokens.push((span, kind));
                }
            };
            for tag in &game.tags {
                add(tag.name, Kind::TagName);
                add(tag.value, Kind::TagValue);
            }
            let mut depth = 0_u32;
            for element in &game.elements {
                match element.kind {
                    ElementKind::Open => depth += 1,
                    ElementKind::Close => depth = depth.saturating_sub(1),
                    _ => {}
                }
                match element.kind {
                    ElementKind::Number(_) => add(element.span, Kind::Number),
                    ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
                        let kind = if depth == 0 {
                            Kind::Move
                        } else {
                            Kind::SideMove
                        };
                        add(element.span, kind);
                    }
                    ElementKind::Glyph { .. } => add(element.span, Kind::Glyph),
                    ElementKind::Result(_) => add(element.span, Kind::Result),
                    ElementKind::Open | ElementKind::Close => add(element.span, Kind::SideLine),
                    ElementKind::Comment { .. } => {
                        paint(element.span, &claims, cited, &mut add);
                    }
                    ElementKind::Word { movelike: false } => {}
                }
            }
        });
    }
    tokens
}

/// The words of a line of EPD: the position, opcodes, moves, numbers, and comments with claims.
fn of_line(line: &[u8], claims: &[Range<usize>], add: &mut impl FnMut(Span, Kind)) {
    let Some(record) = parse_epd_line(line) else {
        return;
    };
    add(record.position, Kind::TagValue);
    for operation in &record.operations {
        let opcode = operation.opcode.of(line);
        add(operation.opcode, Kind::TagName);
        for operand in &operation.operands {
            match (operand.quoted, opcode) {
                (true, [b'c', b'0'..=b'9']) => paint(operand.span, claims, &[], add),
                (true, _) => add(operand.span, Kind::TagValue),
                (false, b"bm" | b"am" | b"pm" | b"sm" | b"pv") => add(operand.span, Kind::Move),
                (false, _) => add(operand.span, Kind::Number),
            }
        }
    }
}

/// The moves that are cited in a game's comments. A game without comments is not played.
fn cited_moves(bytes: &[u8], game: &Game, settings: &Settings) -> Vec<Range<usize>> {
    let is_comment = |element: &Element| matches!(element.kind, ElementKind::Comment { .. });
    if !game.elements.iter().any(is_comment) {
        return Vec::new();
    }
    let cited = gainsay::cited_moves(&View {
        text: bytes,
        game,
        replay: &Replay::of(bytes, game, settings.language),
        index: 1,
    });
    cited.into_iter().map(|cited| cited.span).collect()
}

/// A comment, its claims and the moves cited in either, each stretch once: moves stand
/// before claims, and claims before the comment.
fn paint(
    comment: Span,
    claims: &[Range<usize>],
    cited: &[Range<usize>],
    add: &mut impl FnMut(Span, Kind),
) {
    let mut from = comment.start;
    let mut within = |until: u32, kind: Kind, from: &mut u32| {
        let first = cited.partition_point(|cited| cited.end <= *from as usize);
        for cited in cited.get(first..).unwrap_or_default() {
            let (start, end) = (cited.start as u32, cited.end as u32);
            if start >= until {
                break;
            }
            if start > *from {
                add(Span::new(*from, start), kind);
            }
            add(Span::new(start.max(*from), end), Kind::CitedMove);
            *from = end;
        }
        if until > *from {
            add(Span::new(*from, until), kind);
            *from = until;
        }
    };
    let first = claims.partition_point(|claim| claim.end <= comment.start as usize);
    for claim in claims.get(first..).unwrap_or_default() {
        let (start, end) = (claim.start as u32, claim.end as u32);
        if start >= comment.end {
            break;
        }
        if start < from || end > comment.end {
            continue;
        }
        within(start, Kind::Comment, &mut from);
        within(end, Kind::Claim, &mut from);
    }
    within(comment.end, Kind::Comment, &mut from);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a comment from 0 to 20 is painted as.
    fn painted(claims: &[[usize; 2]], cited: &[[usize; 2]]) -> Vec<(u32, u32, Kind)> {
        let ranges = |all: &[[usize; 2]]| -> Vec<Range<usize>> {
            all.iter().map(|[start, end]| *start..*end).collect()
        };
        let mut all = Vec::new();
        let (claims, cited) = (ranges(claims), ranges(cited));
        paint(Span::new(0, 20), &claims, &cited, &mut |span, kind| {
            all.push((span.start, span.end, kind));
        });
        all
    }

    #[test]
    fn stretches_follow_each_other_without_gap_or_overlap() {
        use Kind::{CitedMove as M, Claim as C, Comment as T};
        assert_eq!(painted(&[], &[]), [(0, 20, T)]);
        assert_eq!(
            painted(&[[4, 12]], &[[5, 7], [15, 18]]),
            [
                (0, 4, T),
                (4, 5, C),
                (5, 7, M),
                (7, 12, C),
                (12, 15, T),
                (15, 18, M),
                (18, 20, T)
            ]
        );
        // A move at either end of a claim, one that is all of it, and claims that overlap.
        let spans = [[2, 8], [4, 9], [10, 14]];
        let moves = [[2, 4], [7, 8], [10, 14]];
        assert_eq!(
            painted(&spans, &moves),
            [
                (0, 2, T),
                (2, 4, M),
                (4, 7, C),
                (7, 8, M),
                (8, 10, T),
                (10, 14, M),
                (14, 20, T)
            ]
        );
        // A claim that ends within a move.
        assert_eq!(
            painted(&[[2, 6]], &[[5, 8]]),
            [(0, 2, T), (2, 5, C), (5, 8, M), (8, 20, T)]
        );
    }
}
