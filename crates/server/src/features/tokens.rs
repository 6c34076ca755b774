//! Semantic tokens: what every word of a game file is.

use std::ops::Range;

use gainsay_notation::{ElementKind, Span};

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
                        // The comment around its claims.
                        let mut from = element.span.start;
                        for claim in &claims {
                            let (start, end) = (claim.start as u32, claim.end as u32);
                            if start < from || end > element.span.end {
                                continue;
                            }
                            add(Span::new(from, start), Kind::Comment);
                            add(Span::new(start, end), Kind::Claim);
                            from = end;
                        }
                        add(Span::new(from, element.span.end), Kind::Comment);
                    }
                    ElementKind::Word { movelike: false } => {}
                }
            }
        });
    }
    tokens
}
