//! The numbers that authors give to games: "Game 7" in a tag, a comment or a heading.

use memchr::memmem;

use crate::tongue::Tongue;

/// Whether a text has a word for "game", without which nothing points at one.
#[must_use]
pub fn may_point_at_game(text: &[u8]) -> bool {
    Tongue::ALL.into_iter().any(|tongue| {
        let word = tongue.data().game.as_bytes();
        let Some((first, rest)) = word.split_first() else {
            return false;
        };
        // The first letter may be a capital, or all may.
        [rest.to_owned(), rest.to_ascii_uppercase()]
            .iter()
            .any(|rest| {
                memmem::find_iter(text, rest).any(|at| {
                    let before = at.checked_sub(1).and_then(|at| text.get(at));
                    before.is_some_and(|before| before.eq_ignore_ascii_case(first))
                })
            })
    })
}

/// The number of a game in front of a text, "Game 7", and where it ends.
#[must_use]
pub fn game_number(text: &[u8]) -> Option<(u32, usize)> {
    let begins = |text: &[u8], word: &str| {
        text.get(..word.len())
            .is_some_and(|own| own.eq_ignore_ascii_case(word.as_bytes()))
    };
    let words = Tongue::ALL.map(|tongue| tongue.data().game);
    let word = words.into_iter().find(|word| begins(text, word))?;
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
    let numbers = Tongue::ALL.map(|tongue| tongue.data().number_signs);
    let mut signs = numbers.into_iter().flatten();
    if let Some(sign) = signs.find(|sign| begins(rest, sign)) {
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

/// The number of a game in a text that is a title or begins with one: "Game 7", "Game 7: Lind–Moreau",
/// but not "Game 7 was lost".
#[must_use]
pub fn titled_game(text: &[u8]) -> Option<u32> {
    let text = text.trim_ascii();
    let (number, end) = game_number(text)?;
    let behind = text.get(end..).unwrap_or_default().trim_ascii_start();
    let ends = behind
        .first()
        .is_none_or(|byte| matches!(byte, b'.' | b':' | b'-' | b'*' | b'_'))
        || behind.starts_with("\u{2013}".as_bytes())
        || behind.starts_with("\u{2014}".as_bytes())
        || behind.starts_with(b"(") && behind.ends_with(b")");
    ends.then_some(number)
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
            assert_eq!(titled_game(text.as_bytes()), number, "{text}");
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
            assert!(may_point_at_game(text.as_bytes()), "{text}");
        }
        assert!(!may_point_at_game(b"The same move was played before"));
    }
}
