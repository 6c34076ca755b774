//! What must be true of every text that is read: spans in order and in bounds, and sections
//! that read like the whole. For the tests of this crate and for fuzzing.

use gainsay_notation::{
    CommentPart, ElementKind, FaultKind, Format, Game, Language, Span, Tag, comment_parts,
    manuscript, parse_epd_line, parse_move, read_game, sections,
};

/// Every game of `text`.
pub(crate) fn games(text: &[u8]) -> Vec<Game> {
    let mut all = Vec::new();
    let mut game = Game::default();
    let mut at = 0;
    while let Some(next) = read_game(text, at, &mut game) {
        assert!(next > at, "reading goes on");
        assert!(next <= text.len());
        all.push(game.clone());
        at = next;
    }
    all
}

/// Checks everything a game promises about its spans.
fn check(text: &[u8], game: &Game, after: u32) -> u32 {
    let inside = |inner: Span, outer: Span| {
        assert!(
            outer.start <= inner.start && inner.start <= inner.end && inner.end <= outer.end,
            "{inner:?} in {outer:?}"
        );
    };
    let whole = Span::new(0, text.len() as u32);
    inside(game.span, whole);
    assert!(game.span.start >= after && !game.span.is_empty());
    let mut end = game.span.start;
    for Tag {
        span, name, value, ..
    } in &game.tags
    {
        inside(*span, game.span);
        inside(*name, *span);
        inside(*value, *span);
        assert!(name.end <= value.start && span.start >= end);
        end = span.end;
    }
    let mut end = game.span.start;
    let mut depth = 0i64;
    for element in &game.elements {
        inside(element.span, game.span);
        assert!(element.span.start >= end && !element.span.is_empty());
        end = element.span.end;
        match element.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close => depth -= 1,
            ElementKind::Comment { body, .. } => {
                inside(body, element.span);
                let mut end = body.start;
                for part in comment_parts(text, body) {
                    let span = match part {
                        CommentPart::Prose(span) => span,
                        CommentPart::Command {
                            span,
                            name,
                            arguments,
                        } => {
                            inside(name, span);
                            inside(arguments, span);
                            span
                        }
                    };
                    inside(span, body);
                    assert!(span.start >= end && !span.is_empty());
                    end = span.end;
                }
            }
            ElementKind::Move(written) => {
                assert_eq!(
                    parse_move(element.span.of(text), Language::English),
                    Some(written),
                    "{:?}",
                    String::from_utf8_lossy(element.span.of(text))
                );
            }
            _ => {}
        }
        assert!(depth >= 0, "every Close has an Open");
    }
    let unclosed = game
        .faults
        .iter()
        .any(|fault| fault.kind == FaultKind::UnclosedSideLine);
    assert_eq!(depth > 0, unclosed, "an Open without a Close is a fault");
    let mut start = 0;
    for fault in &game.faults {
        inside(fault.span, whole);
        assert!(fault.span.start >= start, "faults in order");
        start = fault.span.start;
    }
    game.span.end
}

fn moved(game: &Game, by: usize) -> String {
    // Sections have spans of their own; this puts them back into the whole.
    let by = by as u32;
    let at = |span: Span| Span::new(span.start + by, span.end + by);
    let tags: Vec<_> = game
        .tags
        .iter()
        .map(|tag| (at(tag.span), at(tag.name), at(tag.value), tag.escaped))
        .collect();
    let elements: Vec<_> = game
        .elements
        .iter()
        .map(|element| {
            let kind = match element.kind {
                ElementKind::Comment { body, kind } => ElementKind::Comment {
                    body: at(body),
                    kind,
                },
                kind => kind,
            };
            (at(element.span), kind)
        })
        .collect();
    let faults: Vec<_> = game
        .faults
        .iter()
        .map(|fault| (at(fault.span), fault.kind))
        .collect();
    format!("{:?} {tags:?} {elements:?} {faults:?}", at(game.span))
}

/// Checks everything that reading a text promises.
///
/// # Panics
///
/// Where a promise is broken.
pub(crate) fn check_all(text: &[u8]) {
    let whole = games(text);
    let mut end = 0;
    for game in &whole {
        end = check(text, game, end);
    }

    // Sections tile the text and read like the whole.
    let mut at = 0;
    let mut parts = Vec::new();
    for section in sections(text) {
        assert_eq!(section.range.start, at);
        assert!(section.range.end > at);
        at = section.range.end;
        let start = section.range.start;
        let part = &text[section.range];
        parts.extend(games(part).iter().map(|game| moved(game, start)));
    }
    assert_eq!(at, text.len());
    let whole: Vec<_> = whole.iter().map(|game| moved(game, 0)).collect();
    assert_eq!(parts, whole);

    for format in Format::ALL {
        let mut at = 0;
        let read = manuscript(text, format);
        assert_eq!(read.view.len(), text.len(), "{format:?}");
        for section in read.sections {
            assert_eq!(section.range.start, at, "{format:?}");
            assert!(section.range.end > at, "{format:?}");
            at = section.range.end;
            let part = &read.view[section.range];
            if let Some(record) = parse_epd_line(part) {
                assert!(record.span.range().end <= part.len());
                assert!(record.position.range().end <= part.len());
            }
        }
        assert_eq!(at, text.len(), "{format:?}");
    }
}
