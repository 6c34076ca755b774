//! Export format: games as the PGN standard wants them written.

use std::fmt::Write as _;

use gainsay_notation::{CommentKind, ElementKind, Language};
use shakmaty::Color;

use crate::{
    kept::difference, marks::Marks, mending::apply, replay::View, report::Edit, settings::Settings,
    show::WIDTH, spelling,
};
use gainsay_notation::Format;

/// The edits that bring a game into export format: tags on lines of their own, moves in
/// SAN with numbers where they are due, glyphs as `$n`, lines of at most 79 characters.
/// Comments are kept to the letter, with their line ends; signs that are false are kept
/// too, for their rules to tell.
///
/// Empty where nothing is to be done, and where the game cannot be read without doubt: a
/// move that cannot be played or was guessed, a fault of the text, a number without a move.
///
/// Spans are offsets in the text of the view.
///
/// ```
/// use gainsay::{Reading, Settings, apply, export_edits};
/// let text = b"[Event \"A\"]\n\n1.e2-e4 e7-e5 *\n";
/// let reading = Reading::of(text, &Settings::default());
/// let view = reading.views(text).next().unwrap();
/// let text = apply(text, &export_edits(&view));
/// assert!(text.ends_with(b"\n\n1. e4 e5 *\n"));
/// ```
#[must_use]
pub fn export_edits(view: &View<'_>) -> Vec<Edit> {
    let Some(new) = export(view) else {
        return Vec::new();
    };
    let start = first(view);
    let end = last(view);
    let old = view.text.get(start..end).unwrap_or_default();
    // What is no UTF-8 could not be written back as it was.
    if old == new.as_bytes() || std::str::from_utf8(old).is_err() {
        return Vec::new();
    }
    // Only what differs is replaced, so that a cursor elsewhere stays where it is.
    let head = old
        .iter()
        .zip(new.as_bytes())
        .take_while(|(a, b)| a == b)
        .count();
    let head = (0..=head)
        .rev()
        .find(|&at| new.is_char_boundary(at))
        .unwrap_or(0);
    let most = old.len().min(new.len()) - head;
    let tail = old
        .iter()
        .rev()
        .zip(new.as_bytes().iter().rev())
        .take(most)
        .take_while(|(a, b)| a == b)
        .count();
    let tail = (0..=tail)
        .rev()
        .find(|&at| new.is_char_boundary(new.len() - at))
        .unwrap_or(0);
    let edits = vec![Edit {
        span: start + head..end - tail,
        text: new
            .get(head..new.len() - tail)
            .unwrap_or_default()
            .to_owned(),
    }];
    let settings = Settings {
        language: view.replay.told.then_some(view.replay.language),
        ..Settings::default()
    };
    let formatted = apply(view.text, &edits);
    match difference(view.text, &formatted, Format::Pgn, &settings) {
        None => edits,
        Some(_) => Vec::new(),
    }
}

fn first(view: &View<'_>) -> usize {
    let tag = view.game.tags.first().map(|tag| tag.span.start);
    let element = view.game.elements.first().map(|element| element.span.start);
    match (tag, element) {
        (Some(a), Some(b)) => a.min(b) as usize,
        (Some(a), None) | (None, Some(a)) => a as usize,
        (None, None) => view.game.span.start as usize,
    }
}

fn last(view: &View<'_>) -> usize {
    let tag = view.game.tags.last().map_or(0, |tag| tag.span.end);
    let element = view
        .game
        .elements
        .last()
        .map_or(0, |element| element.span.end);
    (tag.max(element) as usize).max(first(view))
}

/// The game in export format, from its first tag to its termination marker; `None` where
/// it cannot be read without doubt.
///
/// Sources: PGN standard (1994), sections 8.1 and 8.2.
///
/// ```
/// use gainsay::{Reading, Settings, export};
/// let text = b"1.e2-e4 e7-e5 *";
/// let reading = Reading::of(text, &Settings::default());
/// let game = export(&reading.views(text).next().unwrap()).unwrap();
/// assert_eq!(game.lines().last(), Some("1. e4 e5 *"));
/// ```
#[must_use]
pub fn export(view: &View<'_>) -> Option<String> {
    let game = view.game;
    if !game.faults.is_empty() || (game.tags.is_empty() && game.elements.is_empty()) {
        return None;
    }
    let replay = view.replay;
    if !replay.sure || replay.marks.intersects(Marks::DOUBT) {
        return None;
    }
    // The letters that the author asks for stay, and those that comments cite moves in.
    let foreign = !replay.told && !replay.language.is_english();
    let language = if foreign && spelling::in_english(view).is_some() {
        Language::English
    } else {
        replay.language
    };
    let newline = view.line_end();
    let mut text = String::new();
    for tag in &game.tags {
        // The value is kept as written, escapes included.
        let _ = write!(
            text,
            "[{} \"{}\"]{newline}",
            view.words(tag.name),
            view.words(tag.value)
        );
    }
    if !game.tags.is_empty() && !game.elements.is_empty() {
        text.push_str(newline);
    }
    let mut column = 0_usize;
    // Whether nothing may stand directly before the next token but a line end.
    let mut glued = true;
    // Whether the next move needs its number whoever plays it.
    let mut number_due = true;
    // Whether a number stands there whose move does not follow yet.
    let mut numbered = false;
    // Opening parentheses that go before the next token, on its line.
    let mut opening = String::new();
    for (at, element) in game.elements.iter().enumerate() {
        let at = u32::try_from(at).ok()?;
        let token = match element.kind {
            // Numbers are written anew, with their moves.
            ElementKind::Number(_) if !numbered => {
                numbered = true;
                continue;
            }
            ElementKind::Number(_) => return None,
            ElementKind::Word { movelike: false } => return None,
            ElementKind::Move(_) | ElementKind::Word { movelike: true } => {
                let ply = view.replay.ply(view.replay.ply_of_element(at)?)?;
                ply.after.as_ref()?;
                let words = spelling::standard(view, ply, language)?;
                numbered = false;
                let number = match ply.side() {
                    Color::White => format!("{}.", ply.move_number()),
                    Color::Black if number_due => format!("{}...", ply.move_number()),
                    Color::Black => String::new(),
                };
                number_due = false;
                if !number.is_empty() {
                    let number = std::mem::take(&mut opening) + &number;
                    put(&mut text, &mut column, &mut glued, &number, newline);
                }
                words
            }
            ElementKind::Glyph { glyph, .. } => format!("${}", glyph.number()),
            ElementKind::Open | ElementKind::Close | ElementKind::Result(_) if numbered => {
                return None;
            }
            ElementKind::Open => {
                number_due = true;
                opening.push('(');
                continue;
            }
            ElementKind::Close => {
                number_due = true;
                // It stands directly behind the last token, even where that makes a
                // line one character too long, unless a line comment ends there.
                open(&mut text, &mut column, &mut glued, &mut opening, newline);
                text.push(')');
                column += 1;
                continue;
            }
            ElementKind::Comment { kind, .. } => {
                number_due = true;
                open(&mut text, &mut column, &mut glued, &mut opening, newline);
                let words = view.words(element.span);
                match kind {
                    CommentKind::Unclosed => return None,
                    CommentKind::Escape => {
                        if column > 0 {
                            text.push_str(newline);
                        }
                        text.push_str(words.trim_end_matches(['\r', '\n']));
                        text.push_str(newline);
                        column = 0;
                        glued = true;
                    }
                    CommentKind::Line => {
                        if !glued {
                            text.push(' ');
                        }
                        text.push_str(words.trim_end_matches(['\r', '\n']));
                        text.push_str(newline);
                        column = 0;
                        glued = true;
                    }
                    CommentKind::Brace => {
                        let head = words.split(['\n', '\r']).next().unwrap_or_default();
                        let length = head.chars().count();
                        if !glued && column + 1 + length > WIDTH {
                            text.push_str(newline);
                            column = 0;
                        } else if !glued {
                            text.push(' ');
                            column += 1;
                        }
                        text.push_str(&words);
                        column = match words.rsplit_once(['\n', '\r']) {
                            Some((_, tail)) => tail.chars().count(),
                            None => column + length,
                        };
                        glued = false;
                    }
                }
                continue;
            }
            ElementKind::Result(result) => result.as_str().to_owned(),
        };
        let token = std::mem::take(&mut opening) + &token;
        put(&mut text, &mut column, &mut glued, &token, newline);
    }
    if numbered {
        return None;
    }
    while text.ends_with(['\n', '\r']) && !game.elements.is_empty() {
        text.pop();
    }
    if game.elements.is_empty() {
        text.truncate(text.trim_end_matches(['\n', '\r']).len());
    }
    Some(text)
}

/// Writes a token behind a space or at the start of a new line.
fn put(text: &mut String, column: &mut usize, glued: &mut bool, token: &str, newline: &str) {
    let length = token.chars().count();
    if !*glued {
        if *column + 1 + length > WIDTH {
            text.push_str(newline);
            *column = 0;
        } else {
            text.push(' ');
            *column += 1;
        }
    }
    text.push_str(token);
    *column += length;
    *glued = false;
}

/// Writes opening parentheses that no move or number follows.
fn open(
    text: &mut String,
    column: &mut usize,
    glued: &mut bool,
    opening: &mut String,
    newline: &str,
) {
    if !opening.is_empty() {
        put(text, column, glued, &std::mem::take(opening), newline);
        *glued = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Reading, Settings};

    fn exported(text: &str) -> Option<String> {
        let reading = Reading::of(text.as_bytes(), &Settings::default());
        let view = reading.views(text.as_bytes()).next()?;
        export(&view)
    }

    fn formatted(text: &str) -> String {
        let reading = Reading::of(text.as_bytes(), &Settings::default());
        let mut out = text.to_owned();
        for view in reading.views(text.as_bytes()) {
            for edit in export_edits(&view) {
                out.replace_range(edit.span, &edit.text);
            }
        }
        out
    }

    #[test]
    fn numbers_san_glyphs_and_side_lines() {
        assert_eq!(
            exported("[Event \"A \\\"B\\\"\"][Site \"?\"]\n1.e2-e4! e5 2 Bc4(2.f4 exf4 ) Nc6 {a  b} Qh5 Nf6 Qxf7# 1-0")
                .as_deref(),
            Some(
                "[Event \"A \\\"B\\\"\"]\n[Site \"?\"]\n\n1. e4 $1 e5 2. Bc4 (2. f4 exf4) 2... Nc6 {a  b} 3. Qh5 Nf6 4. Qxf7# 1-0"
            )
        );
    }

    #[test]
    fn doubt_leaves_a_game_alone() {
        assert_eq!(exported("1. e4 e5 2. Ke3 *"), None);
        assert_eq!(exported("1. e4 {never closed"), None);
        assert_eq!(exported("1. e4 some words e5 *"), None);
        assert_eq!(formatted("1. e4 e5 2. Ke3 *"), "1. e4 e5 2. Ke3 *");
    }

    #[test]
    fn letters_change_as_a_whole_or_not_at_all() {
        let german = "1. e4 e5 2.Sf3 Sc6 3.Lb5 a6 *";
        assert_eq!(formatted(german), "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 *");
        // A comment cites moves in the letters of the game.
        assert_eq!(
            formatted("1. e4 e5 2.Sf3 {statt 2.Sc3} Sc6 3.Lb5 a6 *"),
            "1. e4 e5 2. Sf3 {statt 2.Sc3} 2... Sc6 3. Lb5 a6 *"
        );
        // Every knight could be a pawn.
        let dutch = "1.d4 Pf6 2.Pc3 d5 3.Pf3 e6 *";
        assert_eq!(formatted(dutch), dutch);
        let settings = Settings {
            language: Some(Language::German),
            ..Settings::default()
        };
        let reading = Reading::of(german.as_bytes(), &settings);
        let view = reading.views(german.as_bytes()).next().expect("a game");
        assert_eq!(
            export(&view).as_deref(),
            Some("1. e4 e5 2. Sf3 Sc6 3. Lb5 a6 *")
        );
    }

    #[test]
    fn what_is_false_or_guessed_is_not_hidden() {
        assert_eq!(formatted("1.e4+ e5 2.Nf3 *"), "1. e4+ e5 2. Nf3 *");
        let knights = "1.d4 d5 2.Nf3 Nf6 3.Nd2 *";
        assert_eq!(formatted(knights), knights);
        let dangling = "1.e4 e5 2. *";
        assert_eq!(formatted(dangling), dangling);
    }

    #[test]
    fn lines_stay_short_and_formatting_twice_changes_nothing() {
        let game = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Be7 6. Re1 b5 7. Bb3 d6 8. c3 O-O 9. h3 Na5 10. Bc2 c5 11. d4 Qc7 ; a line comment\n12. Nbd2 {a comment\nof two lines} cxd4 13. cxd4 (13. Nxd4? {bad}) *";
        let once = formatted(game);
        assert!(
            once.lines().all(|line| line.chars().count() <= WIDTH),
            "{once}"
        );
        assert_eq!(formatted(&once), once);
        assert!(once.contains("{a comment\nof two lines}"));
        assert!(once.contains("; a line comment\n"));
    }

    #[test]
    fn line_ends_are_kept() {
        assert_eq!(
            formatted("[Event \"?\"]\r\n1. e4 *\r\n"),
            "[Event \"?\"]\r\n\r\n1. e4 *\r\n"
        );
    }
}
