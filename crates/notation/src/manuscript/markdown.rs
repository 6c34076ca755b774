//! Markdown (CommonMark): games and positions in fenced blocks.

use std::borrow::Cow;
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd};

use super::collector::Collector;
use crate::bytes::is_space;
use crate::section::Section;

/// What a fenced block holds.
#[derive(Clone, Copy)]
enum Block {
    Games,
    Lines,
}

/// Cuts Markdown: fenced blocks of games and positions, and prose between them.
///
/// A block inside a block quote carries the quote's signs on every line and
/// counts as prose.
pub(super) fn sections_of(text: &[u8]) -> Vec<Section> {
    // Offsets must not move, so a Latin-1 byte becomes one ASCII byte.
    let source = match std::str::from_utf8(text) {
        Ok(valid) => Cow::Borrowed(valid),
        Err(_) => Cow::Owned(
            text.iter()
                .map(|&byte| {
                    if byte.is_ascii() {
                        char::from(byte)
                    } else {
                        '?'
                    }
                })
                .collect(),
        ),
    };
    let mut collector = Collector::new(text);
    let mut block: Option<(Block, Option<Range<usize>>)> = None;
    for (event, range) in Parser::new(&source).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                let word = info.split([' ', ',', '{', '\t']).next().unwrap_or_default();
                block = match word.to_ascii_lowercase().as_str() {
                    "pgn" => Some((Block::Games, None)),
                    "fen" | "epd" => Some((Block::Lines, None)),
                    _ => None,
                };
            }
            Event::Text(_) => {
                if let Some((_, content)) = &mut block {
                    let joined = match content.take() {
                        Some(before) if gap_is_blank(text, before.end, range.start) => {
                            before.start..range.end.max(before.end)
                        }
                        Some(_) => {
                            block = None;
                            continue;
                        }
                        None => range,
                    };
                    *content = Some(joined);
                }
            }
            Event::End(TagEnd::CodeBlock) => match block.take() {
                Some((_, Some(range))) if range.start < collector.at => {}
                Some((Block::Games, Some(range))) => collector.games(range),
                Some((Block::Lines, Some(range))) => collector.lines(range),
                _ => {}
            },
            _ => {}
        }
    }
    collector.finish()
}

fn gap_is_blank(text: &[u8], start: usize, end: usize) -> bool {
    text.get(start..end.max(start))
        .is_some_and(|gap| gap.iter().all(|&byte| is_space(byte)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::SectionKind;

    /// The sections that are no prose, as kind and text.
    fn found(text: &str) -> Vec<(SectionKind, String)> {
        sections_of(text.as_bytes())
            .into_iter()
            .filter(|section| section.kind != SectionKind::Prose)
            .map(|section| (section.kind, text[section.range].to_string()))
            .collect()
    }

    #[test]
    fn fenced_blocks_hold_games_and_positions() {
        let text = "# A column\n\nProse with 1. e4 in it.\n\n```pgn\n[Event \"a\"]\n\n1. e4 *\n\n\
                    [Event \"b\"]\n\n1. d4 *\n```\n\n~~~ fen\nk7/8/8/8/8/8/8/7K w - -\n~~~\n\n\
                    ```EPD title=x\nk7/8 w - - dm 1;\n\nk7/8 w - - dm 2;\n```\n\n\
                    ```rust\n1. e4 e5\n```\n\n    1. e4 e5\n";
        assert_eq!(
            found(text),
            [
                (
                    SectionKind::Games,
                    "[Event \"a\"]\n\n1. e4 *\n\n".to_string()
                ),
                (SectionKind::Games, "[Event \"b\"]\n\n1. d4 *\n".into()),
                (SectionKind::Epd, "k7/8/8/8/8/8/8/7K w - -\n".into()),
                (SectionKind::Epd, "k7/8 w - - dm 1;\n".into()),
                (SectionKind::Epd, "\n".into()),
                (SectionKind::Epd, "k7/8 w - - dm 2;\n".into()),
            ]
        );
    }

    #[test]
    fn a_fenced_block_may_stand_in_a_list_or_stay_open() {
        let text = "- item\n\n  ```pgn\n  [White \"a\"]\n\n  1. e4 *\n  ```\n\ntext\n";
        assert_eq!(
            found(text),
            [(
                SectionKind::Games,
                "[White \"a\"]\n\n  1. e4 *\n".to_string()
            )]
        );
        let text = "\r\n```pgn\r\n1. e4 *\r\n";
        assert_eq!(
            found(text),
            [(SectionKind::Games, "1. e4 *\r\n".to_string())]
        );
        // A quoted block carries a sign on every line.
        assert_eq!(found("> ```pgn\n> 1. e4\n> e5\n> ```\n",), []);
    }

    #[test]
    fn latin_1_does_not_move_offsets() {
        let text = b"caf\xe9 \xe9\n\n```pgn\n[White \"\xe9\"]\n*\n```\n";
        let sections = sections_of(text);
        let games: Vec<_> = sections
            .iter()
            .filter(|section| section.kind == SectionKind::Games)
            .map(|section| &text[section.range.clone()])
            .collect();
        assert_eq!(games, [b"[White \"\xe9\"]\n*\n"]);
    }
}
