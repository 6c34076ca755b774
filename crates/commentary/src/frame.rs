//! The reviewed words: which leave a claim in their clause as it is, and which change what it
//! says. They are data of each language, whose form the head of `lang/en.reviewed.txt` explains.

use crate::tongue::Tongue;

/// What a reviewed word does to the claims near it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Frame {
    /// It was not reviewed: it is understood only where patterns and sets know it.
    #[default]
    Unreviewed,
    /// It leaves every claim as it is.
    Plain,
    /// It puts the lines of its sentence on an imagined board.
    Board,
    /// So it does where no line stands in front: it then tells why something else is played.
    Reason,
    /// It says that something lets a line be played.
    Allow,
    /// It changes what is said in its own clause.
    Clause,
    /// It changes what is said in its whole sentence.
    Sentence,
    /// It narrows what is said in its own clause, or takes back what stands in front of it:
    /// "alone", "or rather".
    Back,
}

/// The files of a language, of which none has a word of another.
pub(crate) const fn sources(tongue: Tongue) -> &'static [&'static str] {
    match tongue {
        Tongue::English => &[
            include_str!("../lang/en.reviewed.txt"),
            include_str!("../lang/en.adverbs.txt"),
        ],
        Tongue::German => &[include_str!("../lang/de.reviewed.txt")],
        Tongue::Spanish => &[include_str!("../lang/es.reviewed.txt")],
        Tongue::French => &[include_str!("../lang/fr.reviewed.txt")],
        Tongue::Russian => &[include_str!("../lang/ru.reviewed.txt")],
    }
}

/// Gives every word of a file to `take`, with its frame and the word that must stand behind it,
/// if it is one of two; returns what is wrong with the file, with the numbers of the lines.
pub(crate) fn parse<'t>(
    text: &'t str,
    mut take: impl FnMut(Frame, &'t str, Option<&'t str>),
) -> Vec<String> {
    let mut mistakes = Vec::new();
    for (line, number) in text.lines().zip(1_u32..) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let Some((class, words)) = line.split_once(':') else {
            mistakes.push(format!(
                "line {number}: write `plain: words`, `clause: words` or `sentence: words`"
            ));
            continue;
        };
        let frame = match class.split_whitespace().next() {
            Some("plain") => Frame::Plain,
            Some("allow") => Frame::Allow,
            Some("board") => Frame::Board,
            Some("reason") => Frame::Reason,
            Some("clause") => Frame::Clause,
            Some("sentence") => Frame::Sentence,
            Some("back") => Frame::Back,
            other => {
                let other = other.unwrap_or_default();
                mistakes.push(format!(
                    "line {number}: `{other}` is none of plain, allow, board, reason, clause, sentence and back"
                ));
                continue;
            }
        };
        for word in words.split_whitespace() {
            let (word, next) = match word.split_once('_') {
                Some((word, next)) => (word, Some(next)),
                None => (word, None),
            };
            for part in [Some(word), next].into_iter().flatten() {
                let folded = |letter: char| matches!(letter, 'a'..='z' | 'а'..='я' | '\'');
                if part.is_empty() || part.chars().count() > 16 || !part.chars().all(folded) {
                    mistakes.push(format!(
                        "line {number}: `{part}` is no word of up to 16 small letters without accents"
                    ));
                }
            }
            take(frame, word, next);
        }
    }
    mistakes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A word, the one that must stand behind it, and what they do.
    type Reviewed<'t> = (Frame, &'t str, Option<&'t str>);

    fn words(text: &str) -> (Vec<Reviewed<'_>>, Vec<String>) {
        let mut words = Vec::new();
        let mistakes = parse(text, |frame, word, next| words.push((frame, word, next)));
        (words, mistakes)
    }

    #[test]
    fn a_line_is_a_class_and_its_words() {
        let (words, mistakes) = words("# head\n\nplain manner: calmly\nclause: far_from\n");
        assert_eq!(mistakes, Vec::<String>::new());
        assert_eq!(
            words,
            [
                (Frame::Plain, "calmly", None),
                (Frame::Clause, "far", Some("from")),
            ]
        );
    }

    #[test]
    fn mistakes_are_told_with_their_lines() {
        let (_, mistakes) = words("plain: calmly\ncalmly\nharmless: calmly\nplain: Éclat\n");
        let lines: Vec<_> = (mistakes.iter())
            .filter_map(|mistake| mistake.split(':').next())
            .collect();
        assert_eq!(lines, ["line 2", "line 3", "line 4"]);
    }

    #[test]
    fn no_word_of_a_language_is_in_two_classes() {
        for tongue in Tongue::ALL {
            let mut words: Vec<_> = (sources(tongue).iter())
                .flat_map(|source| {
                    let (words, mistakes) = words(source);
                    assert_eq!(mistakes, Vec::<String>::new(), "{tongue:?}");
                    words
                })
                .collect();
            words.sort_by_key(|&(_, word, next)| (word, next));
            for pair in words.windows(2) {
                let key = |index: usize| pair.get(index).map(|&(_, word, next)| (word, next));
                assert_ne!(key(0), key(1), "{tongue:?}");
            }
        }
    }
}
