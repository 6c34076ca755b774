//! Markdown (CommonMark, with tables): games and positions in fenced blocks, and prose without the
//! signs of the format.

use std::borrow::Cow;
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use super::html::{self, Tags};
use super::printed::{Printed, What};
use super::veil::Veil;

/// What is shown of a text, and its blocks of games and positions.
pub(super) fn view_of(text: &[u8]) -> (Vec<u8>, Vec<Printed>) {
    // Offsets must not move, so a Latin-1 byte becomes one ASCII byte.
    let source = match std::str::from_utf8(text) {
        Ok(valid) => Cow::Borrowed(valid),
        Err(_) => Cow::Owned(text.iter().map(|&byte| known(byte)).collect()),
    };
    let mut reader = Reader {
        source: &source,
        veil: Veil::new(text),
        blocks: Vec::new(),
        fence: None,
        hidden: false,
    };
    for (event, range) in Parser::new_ext(&source, Options::ENABLE_TABLES).into_offset_iter() {
        reader.take(event, range);
    }
    (reader.veil.finish(), reader.blocks)
}

const fn known(byte: u8) -> char {
    if byte.is_ascii() { byte as char } else { '?' }
}

/// A fenced block while it is read.
struct Fence {
    /// With its fences.
    whole: Range<usize>,
    /// Whether it holds games or positions; `None` for what is no chess.
    games: Option<bool>,
    /// What stands in it.
    content: Option<Range<usize>>,
}

struct Reader<'t> {
    source: &'t str,
    veil: Veil<'t>,
    blocks: Vec<Printed>,
    fence: Option<Fence>,
    /// Within HTML, which is taken as a whole.
    hidden: bool,
}

impl Reader<'_> {
    fn take(&mut self, event: Event<'_>, range: Range<usize>) {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                let word = info.split([' ', ',', '{', '\t']).next().unwrap_or_default();
                self.fence = Some(Fence {
                    whole: range,
                    games: match word.to_ascii_lowercase().as_str() {
                        "pgn" => Some(true),
                        "fen" | "epd" => Some(false),
                        _ => None,
                    },
                    content: None,
                });
            }
            Event::End(TagEnd::CodeBlock) => self.end_fence(),
            Event::Start(Tag::HtmlBlock) => {
                self.hidden = true;
                html::show(&mut self.veil, range, Tags::Block);
            }
            Event::End(TagEnd::HtmlBlock) => self.hidden = false,
            Event::InlineHtml(_) => html::show(&mut self.veil, range, Tags::Inline),
            Event::Start(Tag::Heading { level, .. }) => self.heading(level, range.start),
            Event::Start(Tag::Item) => self.item(range.start),
            Event::Text(words) => self.words(&words, range),
            Event::Code(words) => {
                let inside = self.source.get(range.clone()).unwrap_or_default();
                if let Some(at) = inside.find(&*words) {
                    let start = range.start + at;
                    self.veil.keep(start, start + words.len());
                }
            }
            // What only changes how letters look does not part a word.
            Event::Start(Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Link { .. })
            | Event::End(
                TagEnd::Emphasis | TagEnd::Strong | TagEnd::Strikethrough | TagEnd::Link,
            ) => {}
            _ => self.veil.part(),
        }
    }

    fn words(&mut self, words: &str, range: Range<usize>) {
        match &mut self.fence {
            Some(Fence { games: None, .. }) => {}
            Some(fence) => {
                self.veil.keep(range.start, range.end);
                self.veil.part();
                let start = fence
                    .content
                    .as_ref()
                    .map_or(range.start, |known| known.start);
                fence.content = Some(start..range.end);
            }
            None if self.hidden => {}
            None if self.source.get(range.clone()) == Some(words) => {
                self.veil.keep(range.start, range.end);
            }
            None => self.veil.put(range.start, range.end, words.as_bytes()),
        }
    }

    fn end_fence(&mut self) {
        self.veil.part();
        let Some(Fence {
            whole,
            games: Some(games),
            content: Some(content),
        }) = self.fence.take()
        else {
            return;
        };
        self.blocks.push(Printed {
            range: whole.start..whole.end.max(content.end),
            what: match games {
                true => What::Games(content),
                false => What::Lines(content),
            },
        });
    }

    /// A heading is shown with the signs that it has, or with one on the blank line above it.
    fn heading(&mut self, level: HeadingLevel, start: usize) {
        const SIGNS: &[u8] = b"######";
        let before = self.source.as_bytes().get(..start).unwrap_or_default();
        if self.source.as_bytes().get(start) == Some(&b'#') {
            self.veil.write(start, &SIGNS[..level as usize]);
        } else if before.ends_with(b"\n\n") {
            self.veil.write(start - 1, b"#");
        }
        self.veil.part();
    }

    /// The number of an item is shown, or a dash.
    fn item(&mut self, start: usize) {
        let item = self.source.as_bytes().get(start..).unwrap_or_default();
        let digits = item.iter().take_while(|byte| byte.is_ascii_digit()).count();
        self.veil.part();
        match digits {
            0 => self.veil.write(start, b"-"),
            _ => self.veil.keep(start, start + digits + 1),
        }
        self.veil.part();
    }
}

#[cfg(test)]
mod tests {
    use crate::section::SectionKind;
    use crate::{Format, manuscript};

    /// The sections that are no prose, as kind and text.
    fn found(text: &str) -> Vec<(SectionKind, String)> {
        manuscript(text.as_bytes(), Format::Markdown)
            .sections
            .into_iter()
            .filter(|section| section.kind != SectionKind::Prose)
            .map(|section| (section.kind, text[section.range].to_string()))
            .collect()
    }

    /// What is shown, without blanks at the ends of lines.
    fn shown(text: &str) -> String {
        let read = manuscript(text.as_bytes(), Format::Markdown);
        let view = String::from_utf8(read.view.into_owned()).expect("text");
        let lines = view.split_inclusive('\n');
        let lines = lines.map(|line| match line.strip_suffix('\n') {
            Some(line) => format!("{}\n", line.trim_end()),
            None => line.trim_end().to_owned(),
        });
        lines.collect()
    }

    #[test]
    fn signs_of_the_format_are_left_out() {
        for (text, wanted) in [
            (
                "so **23...Rf8** and *24. Qg4*!",
                "so   23...Rf8   and  24. Qg4!",
            ),
            ("**N**f3 is `good`", "  Nf3   is  good"),
            ("[Nf3](a.html) wins", " Nf3          wins"),
            ("one <b>N</b>f3<br>two", "one    Nf3        two"),
            ("> quoted\n> twice", "  quoted\n  twice"),
            (
                "| a | b |\n|---|---|\n| 1. e4 | e5 |",
                "  a   b\n\n  1. e4   e5",
            ),
            ("## Two *words*\n", "## Two  words\n"),
            ("Title\n=====\n", "Title\n\n"),
            ("a\n\nTitle\n=====\n", "a\n#Title\n\n"),
            ("* one\n* two", "- one\n- two"),
            ("12. one\n13. two", "12. one\n13. two"),
            ("a &plusmn; b", "a       ± b"),
            ("a <!-- no word --> b", "a                  b"),
            (
                "<!-- allow false-mate: so -->\na",
                "   [%allow false-mate so]\na",
            ),
            (
                "<!-- [%allow false-mate so] -->",
                "<!-- [%allow false-mate so] -->",
            ),
            ("<p>One <i>word</i>\nmore</p>", "   One    word\nmore"),
            ("```rust\nlet x;\n```\na", "\n\n\na"),
        ] {
            assert_eq!(shown(text), wanted, "{text}");
        }
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
        assert_eq!(
            shown("> ```pgn\n> 1. e4\n> e5\n> ```\n> So?\n"),
            "\n  1. e4\n  e5\n\n  So?\n"
        );
    }

    #[test]
    fn latin_1_does_not_move_offsets() {
        let text = b"caf\xe9 \xe9\n\n```pgn\n[White \"\xe9\"]\n*\n```\n";
        let read = manuscript(text, Format::Markdown);
        let games: Vec<_> = read
            .sections
            .iter()
            .filter(|section| section.kind == SectionKind::Games)
            .map(|section| &text[section.range.clone()])
            .collect();
        assert_eq!(games, [b"[White \"\xe9\"]\n*\n"]);
    }
}
