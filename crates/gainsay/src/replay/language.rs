//! The language of the piece letters.

use gainsay_notation::{Element, ElementKind, Game, Language, WrittenMove, parse_move};
use shakmaty::{Move, Position};

use super::Start;
use crate::resolve::{Resolution, pass, resolve};

/// The move at an element, in the letters of `language`.
pub(super) fn written(text: &[u8], element: &Element, language: Language) -> Option<WrittenMove> {
    match element.kind {
        ElementKind::Move(written) if language == Language::English => Some(written),
        ElementKind::Move(_) | ElementKind::Word { movelike: true } => parse_move(
            gainsay_notation::decode(element.span.of(text)).as_bytes(),
            language,
        ),
        _ => None,
    }
}

/// The language other than English whose letters make the whole main line legal.
///
/// `None` where there is none, or where two languages would give different games.
pub(super) fn recognise(text: &[u8], game: &Game, start: &Start) -> Option<Language> {
    // An illegal move can by chance be legal with a letter's other meaning, so the game
    // must use a letter that is no English one.
    let foreign = |element: &Element| matches!(element.kind, ElementKind::Word { movelike: true });
    if !game.elements.iter().any(foreign) {
        return None;
    }
    let mut found: Option<(Language, Vec<Move>)> = None;
    let mut tried: Vec<[char; 6]> = vec![Language::English.letters()];
    for language in Language::ALL {
        let letters = language.letters();
        if tried.contains(&letters) {
            continue;
        }
        tried.push(letters);
        let Some(moves) = main_line(text, game, start, language) else {
            continue;
        };
        match &found {
            None => found = Some((language, moves)),
            Some((_, other)) if *other == moves => {}
            Some(_) => return None,
        }
    }
    found.map(|(language, _)| language)
}

fn main_line(text: &[u8], game: &Game, start: &Start, language: Language) -> Option<Vec<Move>> {
    let mut position = start.position.clone()?;
    let mut moves = Vec::new();
    let mut depth = 0_usize;
    for element in &game.elements {
        match element.kind {
            ElementKind::Open => depth += 1,
            ElementKind::Close => depth = depth.saturating_sub(1),
            ElementKind::Move(_) | ElementKind::Word { movelike: true } if depth == 0 => {
                let written = written(text, element, language)?;
                match resolve(&position, &written) {
                    Resolution::Legal(m, _) => {
                        position.play_unchecked(m);
                        moves.push(m);
                    }
                    Resolution::Null => position = pass(&position)?,
                    _ => return None,
                }
            }
            _ => {}
        }
    }
    (!moves.is_empty()).then_some(moves)
}
