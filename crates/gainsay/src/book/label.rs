//! The numbers that authors give to games: "Game 7" in a tag, a comment or a heading.

use gainsay_notation::{ElementKind, Game};

/// What a game is called in the languages that are read.
const WORDS: [&[u8]; 3] = [b"game", b"partie", b"partida"];

/// Words between it and the number.
const NUMBER: [&[u8]; 5] = [b"no", b"nr", b"number", b"n\xc2\xba", b"#"];

/// A line of more bytes is no heading.
const LONGEST_HEADING: usize = 100;

/// Whether a text has a word for "game", without which nothing points at one.
pub(crate) fn may_point(text: &[u8]) -> bool {
    // The first letter may be a capital, or all may.
    let rests: [(u8, &[u8]); 6] = [
        (b'g', b"ame"),
        (b'g', b"AME"),
        (b'p', b"artie"),
        (b'p', b"ARTIE"),
        (b'p', b"artida"),
        (b'p', b"ARTIDA"),
    ];
    rests.iter().any(|(first, rest)| {
        memchr::memmem::find_iter(text, rest).any(|at| {
            let before = at.checked_sub(1).and_then(|at| text.get(at));
            before.is_some_and(|before| before.eq_ignore_ascii_case(first))
        })
    })
}

/// The number of a game in its tags or in the comment before its first move.
pub(super) fn of(text: &[u8], game: &Game) -> Option<u32> {
    let in_tag = game.tags.iter().find_map(|tag| {
        let value = tag.value.of(text);
        (0..value.len())
            .filter(|&at| at == 0 || !value[at - 1].is_ascii_alphanumeric())
            .find_map(|at| Some(number(value.get(at..)?)?.0))
    });
    in_tag.or_else(|| {
        let Some(ElementKind::Comment { body, .. }) = game.elements.first().map(|e| e.kind) else {
            return None;
        };
        titled(body.of(text))
    })
}

/// "Game 7", and where it ends.
fn number(text: &[u8]) -> Option<(u32, usize)> {
    let word = WORDS.iter().find(|word| {
        text.get(..word.len())
            .is_some_and(|own| own.eq_ignore_ascii_case(word))
    })?;
    let mut at = word.len();
    let skip = |at: &mut usize| {
        while text
            .get(*at)
            .is_some_and(|byte| matches!(byte, b' ' | b'\t' | b'.'))
        {
            *at += 1;
        }
    };
    skip(&mut at);
    let rest = text.get(at..)?;
    let sign = |sign: &&&[u8]| {
        rest.get(..sign.len())
            .is_some_and(|own| own.eq_ignore_ascii_case(sign))
    };
    if let Some(sign) = NUMBER.iter().find(sign) {
        at += sign.len();
        skip(&mut at);
    }
    let digits = text.get(at..)?;
    let length = digits
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let value = std::str::from_utf8(digits.get(..length)?)
        .ok()?
        .parse()
        .ok()?;
    let end = at + length;
    // "Game 1834" is a year, and "game 7a" and "game 3.2" are something else.
    let odd = text.get(end).is_some_and(u8::is_ascii_alphanumeric)
        || text.get(end) == Some(&b'.') && text.get(end + 1).is_some_and(u8::is_ascii_digit);
    (value < 1_000 && length > 0 && at > word.len() && !odd).then_some((value, end))
}

/// The number of a text that is a title or begins with one: "Game 7", "Game 7: Lind–Moreau",
/// but not "Game 7 was lost".
fn titled(text: &[u8]) -> Option<u32> {
    let text = text.trim_ascii();
    let (number, end) = number(text)?;
    let behind = text.get(end..).unwrap_or_default().trim_ascii_start();
    let ends = behind
        .first()
        .is_none_or(|byte| matches!(byte, b'.' | b':' | b'-' | b'*' | b'_'))
        || behind.starts_with("\u{2013}".as_bytes())
        || behind.starts_with("\u{2014}".as_bytes())
        || behind.starts_with(b"(") && behind.ends_with(b")");
    ends.then_some(number)
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
        /// The level of a line that is no Markdown heading.
        const PLAIN: usize = 7;
        let mut blank = true;
        let mut lines = prose
            .split(|&byte| byte == b'\n')
            .map(<[u8]>::trim_ascii)
            .peekable();
        while let Some(line) = lines.next() {
            let signs = line.iter().take_while(|&&byte| byte == b'#').count();
            let alone = blank && lines.peek().is_none_or(|next| next.is_empty());
            blank = line.is_empty();
            let marks = |byte: &u8| matches!(byte, b'#' | b'*' | b'_' | b' ');
            let length = line.iter().take_while(|byte| marks(byte)).count();
            let words = line.get(length..).unwrap_or_default();
            let short = line.len() <= LONGEST_HEADING;
            let found = titled(words).filter(|_| short && (signs > 0 || alone));
            let level = if signs > 0 { signs } else { PLAIN };
            if found.is_some() || signs > 0 && level <= self.level {
                self.number = found;
                self.level = level;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_have_numbers_and_sentences_have_none() {
        for (text, number) in [
            ("Game 7", Some(7)),
            ("  GAME 12. Lind\u{2013}Moreau", Some(12)),
            ("Game No. 3: the trap", Some(3)),
            ("Game #4", Some(4)),
            ("Partie Nr. 5", Some(5)),
            ("Partida 6 \u{2014} final", Some(6)),
            ("Game 8 (Lind\u{2013}Moreau)", Some(8)),
            ("Game 7 was lost", None),
            ("Game 1834", None),
            ("Game 7a", None),
            ("Games 7", None),
            ("Game3", None),
            ("Gamesmanship", None),
        ] {
            assert_eq!(titled(text.as_bytes()), number, "{text}");
        }
    }

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

    #[test]
    fn only_texts_with_a_word_for_a_game_can_point_at_one() {
        for text in [
            "as in Game 3",
            "game 3",
            "siehe Partie 4",
            "la partida 2",
            "GAME 3",
        ] {
            assert!(may_point(text.as_bytes()), "{text}");
        }
        assert!(!may_point(b"The same move was played before"));
    }
}
