//! Who played which game, and where it stands.

use std::ops::Range;

use gainsay_notation::{Format, Game, SectionKind, manuscript, read_game};

/// The games of a text by where they stand, each with its players: `Lind, Per – Haas, Ida`.
#[derive(Debug, Default)]
pub(crate) struct Titles(Vec<(Range<usize>, String)>);

impl Titles {
    /// Reads the tags of all games of `text`, which begins at byte `start` of its file.
    pub(crate) fn of(text: &[u8], start: usize, format: Format) -> Self {
        let mut titles = Vec::new();
        let mut game = Game::default();
        let games = |kind| kind == SectionKind::Games;
        for (section, own) in manuscript(text, format).parts() {
            let mut from = 0;
            while games(section.kind)
                && let Some(next) = read_game(own, from, &mut game)
            {
                let at = |offset: u32| start + section.range.start + offset as usize;
                let range = at(game.span.start)..at(game.span.end);
                titles.push((range, players(own, &game)));
                // The reader always moves on; this makes sure that nothing can hang here.
                from = next.max(from + 1);
            }
        }
        Self(titles)
    }

    /// The players of the game that stands at an offset; nothing where they have no names.
    pub(crate) fn at(&self, offset: usize) -> Option<&str> {
        let (_, title) = self.game(offset)?;
        (!title.is_empty()).then_some(title)
    }

    /// Where the game stands that begins last before an offset.
    pub(crate) fn range(&self, offset: usize) -> Option<&Range<usize>> {
        self.game(offset).map(|(range, _)| range)
    }

    fn game(&self, offset: usize) -> Option<&(Range<usize>, String)> {
        let behind = self.0.partition_point(|(range, _)| range.start <= offset);
        self.0.get(behind.checked_sub(1)?)
    }
}

fn players(text: &[u8], game: &Game) -> String {
    let name = |tag| {
        let tag = game.tag(text, tag)?;
        let name = tag.value(text).trim().to_owned();
        (!name.is_empty() && name != "?").then_some(name)
    };
    match (name("White"), name("Black")) {
        (Some(white), Some(black)) => format!("{white} \u{2013} {black}"),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_has_the_players_of_its_game() {
        let text = b"[White \"Lind\"]\n[Black \"Haas\"]\n\n1. e4 *\n\n[White \"?\"]\n[Black \"Haas\"]\n\n1. d4 *\n";
        let titles = Titles::of(text, 100, Format::Pgn);
        assert_eq!(titles.at(100), Some("Lind \u{2013} Haas"));
        assert_eq!(titles.at(135), Some("Lind \u{2013} Haas"));
        assert_eq!(titles.at(100 + text.len()), None);
        assert_eq!(titles.at(99), None);
    }
}
