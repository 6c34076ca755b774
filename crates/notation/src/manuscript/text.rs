//! Plain text: games in paragraphs of their own.

use super::collector::Collector;
use crate::braces::braces;
use crate::bytes::{
    Class, byte, class, ends_word, is_line_end, is_space, line_end, read_tag, rest, skip_blanks,
    skip_space, word_end,
};
use crate::glyph::Glyph;
use crate::language::Language;
use crate::movetext::read_move;
use crate::section::Section;

/// Cuts plain text: paragraphs of games, and prose between them.
///
/// A game begins with a paragraph that starts with a tag pair, or with move
/// number 1 and a move with more movetext behind it. It goes on through the
/// paragraphs that start with movetext.
pub(super) fn sections_of(text: &[u8]) -> Vec<Section> {
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
    use crate::section::SectionKind;

    fn games(text: &str) -> Vec<String> {
        sections_of(text.as_bytes())
            .into_iter()
            .filter(|section| section.kind != SectionKind::Prose)
            .map(|section| text[section.range].to_string())
            .collect()
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
