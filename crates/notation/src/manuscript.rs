//! Manuscripts: prose with games and positions in it.

use std::borrow::Cow;
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd};

use crate::braces::braces;
use crate::bytes::{
    Class, byte, class, ends_word, is_line_end, is_space, line_end, read_tag, rest, skip_blanks,
    skip_space, word_end,
};
use crate::glyph::Glyph;
use crate::language::Language;
use crate::movetext::read_move;
use crate::section::{Section, SectionKind};
use crate::section::{lines, sections};

/// Collects sections that follow each other without a gap.
struct Collector<'a> {
    text: &'a [u8],
    sections: Vec<Section>,
    /// Where the next section begins.
    at: usize,
}

impl<'a> Collector<'a> {
    const fn new(text: &'a [u8]) -> Self {
        Self {
            text,
            sections: Vec::new(),
            at: 0,
        }
    }

    fn prose_up_to(&mut self, end: usize) {
        if self.at < end {
            self.sections.push(Section {
                range: self.at..end,
                kind: SectionKind::Prose,
            });
            self.at = end;
        }
    }

    fn games(&mut self, range: Range<usize>) {
        self.prose_up_to(range.start);
        let part = self.text.get(range.clone()).unwrap_or_default();
        self.sections.extend(sections(part).map(|section| Section {
            range: range.start + section.range.start..range.start + section.range.end,
            kind: section.kind,
        }));
        self.at = self.at.max(range.end);
    }

    fn lines(&mut self, range: Range<usize>) {
        self.prose_up_to(range.start);
        self.sections.extend(lines(self.text, range.clone()));
        self.at = self.at.max(range.end);
    }

    fn finish(mut self) -> Vec<Section> {
        self.prose_up_to(self.text.len());
        self.sections
    }
}

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
pub(crate) fn markdown_sections(text: &[u8]) -> Vec<Section> {
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

/// Cuts plain text: paragraphs of games, and prose between them.
///
/// A game begins with a paragraph that starts with a tag pair, or with move
/// number 1 and a move with more movetext behind it. It goes on through the
/// paragraphs that start with movetext.
pub(crate) fn text_sections(text: &[u8]) -> Vec<Section> {
    let mut collector = Collector::new(text);
    let mut at = 0;
    let mut game: Option<usize> = None;
    loop {
        // A section begins with its first line, indented or not.
        let first = skip_space(text, at);
        if first >= text.len() {
            break;
        }
        let starts = starts_game(text, first);
        match game {
            Some(_) if starts || goes_on(text, first) => {}
            Some(start) => {
                collector.games(start..at);
                game = None;
            }
            None => {}
        }
        if game.is_none() && starts {
            game = Some(first);
        }
        at = paragraph_end(text, first, game.is_some());
    }
    if let Some(start) = game {
        collector.games(start..text.len());
    }
    collector.finish()
}

/// The start of the blank line behind the paragraph at `at`, or the end of the
/// text. In a game, a blank line inside a comment does not count.
fn paragraph_end(text: &[u8], at: usize, in_game: bool) -> usize {
    let mut at = at;
    while at < text.len() {
        if in_game && byte(text, at) == b'{' {
            at = braces(text, at).end;
            continue;
        }
        if in_game && byte(text, at) == b';' {
            at = line_end(text, at);
            continue;
        }
        if !is_line_end(byte(text, at)) {
            at += 1;
            continue;
        }
        at += if rest(text, at).starts_with(b"\r\n") {
            2
        } else {
            1
        };
        if is_line_end(byte(text, skip_blanks(text, at))) {
            return at;
        }
    }
    text.len()
}

/// Whether a game starts with the paragraph at `at`.
fn starts_game(text: &[u8], at: usize) -> bool {
    if byte(text, at) == b'[' {
        let tag = read_tag(text, at);
        return !tag.broken;
    }
    let one = byte(text, at) == b'1' && matches!(byte(text, at + 1), b'.' | b' ');
    one && numbered_moves(text, at)
}

/// Whether the paragraph at `at`, behind one of a game, belongs to the game.
fn goes_on(text: &[u8], at: usize) -> bool {
    match class(byte(text, at)) {
        Class::BraceOpen | Class::Star | Class::Dollar | Class::Semicolon => true,
        Class::ParenOpen | Class::ParenClose => goes_on_behind(text, at + 1),
        _ => is_result(text, at) || numbered_moves(text, at) || goes_on_behind(text, at),
    }
}

fn goes_on_behind(text: &[u8], at: usize) -> bool {
    let at = skip_space(text, at);
    numbered_moves(text, at) || move_end(text, at).is_some_and(|end| movetext_at(text, end))
}

fn is_result(text: &[u8], at: usize) -> bool {
    let word = text.get(at..word_end(text, at)).unwrap_or_default();
    matches!(word, b"1-0" | b"0-1" | b"1/2-1/2" | b"1/2")
}

/// Whether a move number and a move stand at `at`, with movetext behind them.
fn numbered_moves(text: &[u8], at: usize) -> bool {
    let mut end = at;
    while byte(text, end).is_ascii_digit() {
        end += 1;
    }
    if end == at {
        return false;
    }
    while byte(text, end) == b'.' || is_space(byte(text, end)) {
        end += 1;
    }
    move_end(text, end).is_some_and(|end| movetext_at(text, end))
}

fn move_end(text: &[u8], at: usize) -> Option<usize> {
    let (_, end) = read_move(text, at, Language::English)?;
    ends_word(text, end).then_some(end)
}

/// Whether movetext, or nothing, stands at `at`: prose like `1. e4 is best` has
/// a word there.
fn movetext_at(text: &[u8], at: usize) -> bool {
    let at = skip_space(text, at);
    match class(byte(text, at)) {
        _ if at >= text.len() => true,
        Class::Glyph
        | Class::BraceOpen
        | Class::ParenOpen
        | Class::ParenClose
        | Class::Dollar
        | Class::Star
        | Class::Semicolon
        | Class::Digit
        | Class::Bracket => true,
        Class::MoveLetter => move_end(text, at).is_some(),
        _ => {
            let word = text.get(at..word_end(text, at)).unwrap_or_default();
            Glyph::of_symbol(word).is_some()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sections::{Format, sections_of};

    /// The sections that are no prose, as kind and text.
    fn found(text: &str, format: Format) -> Vec<(SectionKind, String)> {
        sections_of(text.as_bytes(), format)
            .into_iter()
            .filter(|section| section.kind != SectionKind::Prose)
            .map(|section| (section.kind, text[section.range].to_string()))
            .collect()
    }

    fn games(text: &str) -> Vec<String> {
        found(text, Format::Text)
            .into_iter()
            .map(|(_, text)| text)
            .collect()
    }

    #[test]
    fn fenced_blocks_hold_games_and_positions() {
        let text = "# A column\n\nProse with 1. e4 in it.\n\n```pgn\n[Event \"a\"]\n\n1. e4 *\n\n\
                    [Event \"b\"]\n\n1. d4 *\n```\n\n~~~ fen\nk7/8/8/8/8/8/8/7K w - -\n~~~\n\n\
                    ```EPD title=x\nk7/8 w - - dm 1;\n\nk7/8 w - - dm 2;\n```\n\n\
                    ```rust\n1. e4 e5\n```\n\n    1. e4 e5\n";
        assert_eq!(
            found(text, Format::Markdown),
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
            found(text, Format::Markdown),
            [(
                SectionKind::Games,
                "[White \"a\"]\n\n  1. e4 *\n".to_string()
            )]
        );
        let text = "\r\n```pgn\r\n1. e4 *\r\n";
        assert_eq!(
            found(text, Format::Markdown),
            [(SectionKind::Games, "1. e4 *\r\n".to_string())]
        );
        // A quoted block carries a sign on every line.
        assert_eq!(
            found("> ```pgn\n> 1. e4\n> e5\n> ```\n", Format::Markdown),
            []
        );
    }

    #[test]
    fn latin_1_does_not_move_offsets() {
        let text = b"caf\xe9 \xe9\n\n```pgn\n[White \"\xe9\"]\n*\n```\n";
        let sections = sections_of(text, Format::Markdown);
        let games: Vec<_> = sections
            .iter()
            .filter(|section| section.kind == SectionKind::Games)
            .map(|section| &text[section.range.clone()])
            .collect();
        assert_eq!(games, [b"[White \"\xe9\"]\n*\n"]);
    }

    #[test]
    fn paragraphs_of_plain_text_hold_games() {
        let text = "A letter to the editor.\n\n[White \"Ada\"]\n[Black \"Ben\"]\n\n\
                    1. e4 e5 2. Nf3\n{a comment\n\nof two paragraphs}\n\n2... Nc6 3. Bb5 *\n\n\
                    And that was that. 4. Nothing.\n\n1. d4 d5 2. c4\n\n1. e4 is my favourite.\n";
        assert_eq!(
            games(text),
            [
                "[White \"Ada\"]\n[Black \"Ben\"]\n\n1. e4 e5 2. Nf3\n{a comment\n\nof two \
                 paragraphs}\n\n2... Nc6 3. Bb5 *\n",
                "1. d4 d5 2. c4\n",
            ]
        );
    }

    #[test]
    fn prose_with_numbers_and_brackets_is_no_game() {
        for text in [
            "1. Introduction\n\n2. Results\n",
            "1 e4 was best, they say.\n",
            "[see below] for more\n",
            "1990 was a good year\n",
            "24. Rf1 is better.\n",
            "",
        ] {
            assert_eq!(games(text), Vec::<String>::new(), "{text}");
        }
        assert_eq!(games("  1.e4 e5\n"), ["1.e4 e5\n"]);
    }
}
