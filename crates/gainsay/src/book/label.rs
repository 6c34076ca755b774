//! The numbers that authors give to games: "Game 7" in a tag, a comment or a heading.

use gainsay_commentary::{game_number, titled_game};
use gainsay_notation::{ElementKind, Game};

/// A line of more bytes is no heading.
const LONGEST_HEADING: usize = 100;

/// The number of a game in its tags or in the comment before its first move.
pub(super) fn of(text: &[u8], game: &Game) -> Option<u32> {
    let in_tag = game.tags.iter().find_map(|tag| {
        let value = tag.value.of(text);
        (0..value.len())
            .filter(|&at| at == 0 || !value[at - 1].is_ascii_alphanumeric())
            .find_map(|at| Some(game_number(value.get(at..)?)?.0))
    });
    in_tag.or_else(|| {
        let Some(ElementKind::Comment { body, .. }) = game.elements.first().map(|e| e.kind) else {
            return None;
        };
        titled_game(body.of(text))
    })
}

/// The heading that the next game of a manuscript stands under.
#[derive(Debug, Default)]
pub(super) struct Heading {
    number: Option<u32>,
    /// How many signs mark it; a heading with more stands under it.
    level: usize,
}

impl Heading {
    pub(super) const fn number(&self) -> Option<u32> {
        self.number
    }

    /// Goes through the prose in front of a game.
    pub(super) fn pass(&mut self, prose: &[u8]) {
        for (level, number) in headings(prose) {
            if number.is_some() || level <= self.level {
                self.number = number;
                self.level = level;
            }
        }
    }
}

/// The headings of prose: how many signs mark each, and the number that it gives to a game.
pub(super) fn headings(prose: &[u8]) -> impl Iterator<Item = (usize, Option<u32>)> {
    /// The level of a line that is no Markdown heading.
    const PLAIN: usize = 7;
    let mut blank = true;
    let mut lines = prose
        .split(|&byte| byte == b'\n')
        .map(<[u8]>::trim_ascii)
        .peekable();
    std::iter::from_fn(move || {
        loop {
            let line = lines.next()?;
            let signs = line.iter().take_while(|&&byte| byte == b'#').count();
            let alone = blank && lines.peek().is_none_or(|next| next.is_empty());
            blank = line.is_empty();
            let marks = |byte: &u8| matches!(byte, b'#' | b'*' | b'_' | b' ');
            let length = line.iter().take_while(|byte| marks(byte)).count();
            let words = line.get(length..).unwrap_or_default();
            let short = line.len() <= LONGEST_HEADING;
            let number = titled_game(words).filter(|_| short && (signs > 0 || alone));
            if signs > 0 || number.is_some() {
                return Some((if signs > 0 { signs } else { PLAIN }, number));
            }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_stands_until_the_next_of_its_rank() {
        let mut heading = Heading::default();
        for (prose, number) in [
            ("# The openings\n\nAs in game 9, all is well.\n", None),
            ("## Game 3\n\n### The opening\n", Some(3)),
            ("\nGame 4 is nicer.\n", Some(3)),
            ("**Game 4**\n\nIt began so:\n", Some(4)),
            ("## Exercises\n", None),
        ] {
            heading.pass(prose.as_bytes());
            assert_eq!(heading.number(), number, "{prose}");
        }
    }
}
