//! The positions that `gainsay prove` is asked about.

use std::path::Path;

use gainsay::{Format, read_fen};
use gainsay_notation::{Game, SectionKind, decode, manuscript, parse_epd_line, read_game};
use shakmaty::Chess;

use crate::print::{line, name};

/// A position, and where it stands.
#[derive(Debug)]
pub(crate) struct Asked {
    /// The position as written.
    pub(crate) text: String,
    /// `None` where it is no legal position.
    pub(crate) position: Option<Chess>,
    /// Where it stands in a file, and its name: `line 3, "corner"`.
    pub(crate) place: Option<String>,
}

impl Asked {
    fn new(text: String, place: String, called: Option<&str>) -> Self {
        let (position, _) = read_fen(&text, false);
        let called = called.map(|called| format!(", \"{}\"", line(called)));
        Self {
            text: line(&text).into_owned(),
            position,
            place: Some(place + &called.unwrap_or_default()),
        }
    }
}

/// The positions that `what` names: itself, or those of a file, which are the lines of EPD
/// and FEN, and the starting positions of games.
pub(crate) fn positions(what: &str) -> Result<Vec<Asked>, String> {
    let path = Path::new(what);
    if !path.is_file() {
        let (position, trouble) = read_fen(what, false);
        return match position {
            Some(_) if trouble.is_none() => Ok(vec![Asked {
                text: what.to_owned(),
                position,
                place: None,
            }]),
            _ => Err(format!(
                "\"{what}\" is neither a file nor the FEN of a legal position"
            )),
        };
    }
    let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", name(path)))?;
    let asked = of_text(&bytes, Format::from_path(path).unwrap_or(Format::Epd));
    if asked.is_empty() {
        return Err(format!(
            "{}: no position in it; it takes lines of EPD or FEN, or games with a FEN tag",
            name(path)
        ));
    }
    Ok(asked)
}

fn of_text(bytes: &[u8], format: Format) -> Vec<Asked> {
    let mut asked = Vec::new();
    let mut game = Game::default();
    let (mut games, mut line_number) = (0, 1);
    for (section, text) in manuscript(bytes, format).parts() {
        match section.kind {
            SectionKind::Epd => asked.extend(of_line(text, line_number)),
            SectionKind::Games => {
                let mut from = 0;
                while let Some(next) = read_game(text, from, &mut game) {
                    from = next;
                    games += 1;
                    asked.extend(of_game(text, &game, games));
                }
            }
            SectionKind::Board | SectionKind::Prose => {}
        }
        line_number += gainsay_notation::LineIndex::new(text).len() - 1;
    }
    asked
}

/// The position of a line of EPD or FEN.
fn of_line(line: &[u8], number: usize) -> Option<Asked> {
    let record = parse_epd_line(line)?;
    let mut text = decode(record.position.of(line)).into_owned();
    if let Some(counters) = record.counters {
        text.push(' ');
        text.push_str(&decode(counters.of(line)));
    }
    let id = record.operation(line, "id");
    let called = id
        .and_then(|id| id.operands.first())
        .map(|operand| decode(operand.span.of(line)));
    Some(Asked::new(
        text,
        format!("line {number}"),
        called.as_deref(),
    ))
}

/// The position that a game begins from, where it says so.
fn of_game(text: &[u8], game: &Game, number: usize) -> Option<Asked> {
    let fen = game.tag(text, "FEN")?.value(text).into_owned();
    let event = game.tag(text, "Event").map(|tag| tag.value(text));
    let called = event.filter(|event| !event.is_empty() && event != "?");
    Some(Asked::new(fen, format!("game {number}"), called.as_deref()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_are_found_where_they_stand() {
        let places = |text: &str, format| -> Vec<(Option<String>, bool)> {
            let asked = of_text(text.as_bytes(), format).into_iter();
            asked
                .map(|asked| (asked.place, asked.position.is_some()))
                .collect()
        };
        let fen = "7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1";
        let games = format!(
            "[Event \"Corner\"]\n[FEN \"{fen}\"]\n\n*\n\n[Event \"?\"]\n\n1. e4 *\n\n\
             [Event \"?\"]\n[FEN \"nonsense\"]\n\n*\n"
        );
        assert_eq!(
            places(&games, Format::Pgn),
            [
                (Some("game 1, \"Corner\"".to_owned()), true),
                (Some("game 3".to_owned()), false)
            ]
        );
        let lines = format!("{fen}\n\n7k/8/1R6/R7/8/8/8/K5n1 w - - id \"two rooks\";\n");
        assert_eq!(
            places(&lines, Format::Epd),
            [
                (Some("line 1".to_owned()), true),
                (Some("line 3, \"two rooks\"".to_owned()), true)
            ]
        );
        let pages = format!("# Mates\n\n```fen\n{fen}\n```\n\n```pgn\n{games}```\n");
        let told = places(&pages, Format::Markdown);
        assert_eq!(told.len(), 3, "{told:?}");
        assert_eq!(told[0], (Some("line 4".to_owned()), true));
    }
}
