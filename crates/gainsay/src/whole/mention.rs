//! Where a text names a diagram, an exercise or a game by its number: "see Diagram 12", "Diagram 12."
//!
//! What stands at the start of a paragraph, in a title or behind a sign of the format numbers
//! something; what stands behind "see", "in" or the like points at something. Of the rest nobody
//! knows, so that it may be either.

use std::{ops::Range, sync::OnceLock};

use aho_corasick::AhoCorasick;
use gainsay_commentary::Way;

/// What authors number, in one word each.
pub(super) const NOUNS: [&str; 9] = [
    "diagram", "exercise", "problem", "puzzle", "position", "study", "task", "example", "game",
];

/// The plurals that are no word with an s.
const PLURALS: [(&str, &str); 1] = [("study", "studies")];

/// The place in [`NOUNS`] of a game.
pub(super) const GAME: usize = 8;

/// The place in [`NOUNS`] of a diagram.
pub(super) const DIAGRAM: usize = 0;

/// What a mention is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// It gives the number to something.
    Prints,
    /// It points at something.
    Points {
        /// Whether it does nothing else: "see", "compare", or a parenthesis.
        plainly: bool,
    },
    /// Either.
    Unclear,
    /// It is of another book, or of something that is not there.
    Elsewhere,
}

/// A noun with a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mention {
    /// The place of the noun in [`NOUNS`].
    pub(super) noun: usize,
    pub(super) number: u32,
    /// Noun and number, or the number alone where others stand before it.
    pub(super) span: Range<usize>,
    pub(super) role: Role,
    /// Where it says that its target stands, and the word that can be replaced by another.
    pub(super) way: Option<(Way, Option<Range<usize>>)>,
    /// Whether it is read, and not only written in signs of the format.
    pub(super) shown: bool,
}

/// Words that point when they stand before a mention.
const POINTING: [&str; 20] = [
    "see", "cf", "compare", "consult", "examine", "revisit", "in", "from", "to", "with", "at",
    "under", "of", "also", "than", "like", "by", "and", "or", "on",
];

/// Those that do nothing else.
const PLAINLY: [&str; 6] = ["see", "cf", "compare", "consult", "examine", "revisit"];

/// Words of a sentence that tells of another book, or of what was left out.
const ELSEWHERE: [&str; 26] = [
    "book",
    "volume",
    "vol.",
    "workbook",
    "edition",
    "magazine",
    "article",
    "journal",
    "manual",
    "collection",
    "omitted",
    "left out",
    "missing",
    "removed",
    "no longer",
    "there is no",
    "not given",
    "not printed",
    "not reproduced",
    "series",
    "http",
    "website",
    "match",
    "solution",
    "answer",
    "tournament",
];

/// How far the words of a sentence are looked for.
const SENTENCE: usize = 300;

/// The mentions of a text, of which `view` is read, in their order.
pub(super) fn mentions(text: &[u8], view: &[u8]) -> Vec<Mention> {
    let mut found = Vec::new();
    in_words(view, true, &mut found);
    if text != view {
        let shown = found.len();
        in_words(text, false, &mut found);
        let hidden = found.split_off(shown);
        let is_hidden = |mention: &Mention| {
            let span = mention.span.clone();
            view.get(span.clone()) != text.get(span)
        };
        found.extend(hidden.into_iter().filter(is_hidden));
        found.sort_by_key(|mention| mention.span.start);
    }
    found
}

fn in_words(text: &[u8], shown: bool, found: &mut Vec<Mention>) {
    static FINDER: OnceLock<Option<AhoCorasick>> = OnceLock::new();
    let finder = FINDER.get_or_init(|| {
        let mut builder = AhoCorasick::builder();
        builder
            .ascii_case_insensitive(true)
            .build(NOUNS.map(stem))
            .ok()
    });
    let Some(finder) = finder else { return };
    for hit in finder.find_iter(text) {
        let before = hit.start().checked_sub(1).and_then(|at| text.get(at));
        if before.is_some_and(|&byte| is_of_word(byte)) {
            continue;
        }
        let noun = hit.pattern().as_usize();
        if let Some((plural, at)) = behind_noun(text, noun, hit.start()) {
            read(text, noun, hit.start(), (plural, at), shown, found);
        }
    }
}

/// What singular and plural have in common.
fn stem(noun: &'static str) -> &'static str {
    noun.strip_suffix('y').unwrap_or(noun)
}

const fn is_of_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte >= 0x80
}

/// Whether the noun that begins at `start` is a plural, and where it ends.
fn behind_noun(text: &[u8], noun: usize, start: usize) -> Option<(bool, usize)> {
    let word = NOUNS.get(noun)?;
    let rest = text.get(start..)?;
    let begins = |word: &str| {
        let own = rest.get(..word.len());
        own.is_some_and(|own| own.eq_ignore_ascii_case(word.as_bytes()))
            && !rest.get(word.len()).is_some_and(|&byte| is_of_word(byte))
    };
    let other = PLURALS.iter().find(|(singular, _)| singular == word);
    let plural = other.map_or_else(|| format!("{word}s"), |(_, plural)| (*plural).to_owned());
    if begins(word) {
        Some((false, start + word.len()))
    } else if begins(&plural) {
        Some((true, start + plural.len()))
    } else {
        None
    }
}

/// The blanks from `at`, of which one may be the end of a line.
fn blank(text: &[u8], at: usize) -> usize {
    let mut lines = 0;
    let rest = text.get(at..).unwrap_or_default();
    let blank = |byte: &&u8| match byte {
        b'\n' => {
            lines += 1;
            lines < 2
        }
        b' ' | b'\t' | b'\r' | b'~' => true,
        _ => false,
    };
    rest.iter().take_while(blank).count()
}

/// A number from `at`, and where it ends; none that goes on as "7a", "7.3" or "1990s" does.
fn number(text: &[u8], at: usize) -> Option<(u32, usize)> {
    let rest = text.get(at..)?;
    let length = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let digits = rest
        .get(..length)
        .filter(|digits| (1..=4).contains(&digits.len()))?;
    let number = std::str::from_utf8(digits).ok()?.parse().ok()?;
    let end = at + length;
    let odd = match (text.get(end), text.get(end + 1)) {
        (Some(b'.' | b':' | b'/' | b','), Some(digit)) => digit.is_ascii_digit(),
        (Some(&byte), _) => is_of_word(byte) && !text.get(end..)?.starts_with("–".as_bytes()),
        (None, _) => false,
    };
    (!odd).then_some((number, end))
}

/// Reads the numbers behind a noun.
fn read(
    text: &[u8],
    noun: usize,
    start: usize,
    (plural, behind): (bool, usize),
    shown: bool,
    found: &mut Vec<Mention>,
) {
    let mut at = behind + blank(text, behind);
    for sign in ["No.", "no.", "NO.", "No", "Nr.", "№", "#"] {
        if text
            .get(at..)
            .is_some_and(|rest| rest.starts_with(sign.as_bytes()))
        {
            at += sign.len();
            at += blank(text, at);
            break;
        }
    }
    if at == behind {
        return;
    }
    let Some((first, mut end)) = number(text, at) else {
        return;
    };
    let mut numbers = vec![(first, start..end)];
    while plural && let Some((next, span)) = joined(text, end) {
        end = span.end;
        numbers.push((next, span));
    }
    let role = role(text, start, end);
    let way = way(text, end).filter(|_| numbers.len() == 1);
    for (number, span) in numbers {
        found.push(Mention {
            noun,
            number,
            span,
            role,
            way: way.clone(),
            shown,
        });
    }
}

/// A further number: "12 and 13", "12, 13", "12-14".
fn joined(text: &[u8], end: usize) -> Option<(u32, Range<usize>)> {
    const JOINTS: [&str; 8] = [", and ", ", ", " and ", " or ", " to ", " & ", "–", "-"];
    let flat = |at: usize| at + blank(text, at).min(1);
    JOINTS.iter().find_map(|joint| {
        // A line may end where a joint has a blank.
        let mut at = end;
        for (nth, word) in joint.split(' ').enumerate() {
            if nth > 0 {
                (flat(at) > at).then_some(())?;
                at += blank(text, at);
            }
            text.get(at..)?.starts_with(word.as_bytes()).then_some(())?;
            at += word.len();
        }
        let (number, end) = number(text, at)?;
        Some((number, at..end))
    })
}

/// The word that ends here, in small letters.
fn word_before(text: &[u8], end: usize) -> String {
    let before = text.get(..end).unwrap_or_default();
    let letters = before.iter().rev().take(20);
    let length = letters
        .take_while(|&&byte| is_of_word(byte) || byte == b'\'')
        .count();
    let word = before.get(before.len() - length..).unwrap_or_default();
    String::from_utf8_lossy(word).to_ascii_lowercase()
}

/// The word that begins here, in small letters.
fn word_at(text: &[u8], start: usize) -> String {
    let rest = text.get(start..).unwrap_or_default();
    let length = rest
        .iter()
        .take(20)
        .take_while(|&&byte| is_of_word(byte))
        .count();
    String::from_utf8_lossy(rest.get(..length).unwrap_or_default()).to_ascii_lowercase()
}

/// Where what stands before `at` ends, blanks and signs of emphasis left out; `None` at the start
/// of a paragraph.
fn end_before(text: &[u8], at: usize) -> Option<usize> {
    let mut lines = 0;
    for (place, byte) in text.get(..at)?.iter().enumerate().rev() {
        match byte {
            b'\n' => lines += 1,
            b' ' | b'\t' | b'\r' | b'~' | b'*' | b'_' => {}
            _ => return Some(place + 1),
        }
        if lines > 1 {
            return None;
        }
    }
    None
}

/// What a mention from `start` to `end` is there for.
fn role(text: &[u8], start: usize, end: usize) -> Role {
    let Some(before) = end_before(text, start) else {
        return Role::Prints;
    };
    let plainly = match text.get(before - 1) {
        Some(b'"' | b'\'' | b'{' | b'[' | b'|' | b'>' | b'#' | b'=' | b']' | b'`') => {
            return Role::Prints;
        }
        // A parenthesis, unless it is all of the paragraph.
        Some(b'(') => match end_before(text, before - 1) {
            Some(_) => true,
            None => return Role::Prints,
        },
        Some(b'.') if word_before(text, before - 1) == "cf" => true,
        Some(b'.') => return Role::Unclear,
        Some(&byte) if is_of_word(byte) => {
            let word = word_before(text, before);
            if !POINTING.contains(&word.as_str()) {
                return Role::Unclear;
            }
            PLAINLY.contains(&word.as_str())
        }
        _ => return Role::Unclear,
    };
    match is_elsewhere(text, start, end) {
        true => Role::Elsewhere,
        false => Role::Points { plainly },
    }
}

/// Whether a mention is of something in another book: "exercise 7 of the workbook".
fn is_elsewhere(text: &[u8], start: usize, end: usize) -> bool {
    let next = end + blank(text, end);
    let next = match text.get(next) {
        Some(b',') => next + 1 + blank(text, next + 1),
        _ => next,
    };
    let word = word_at(text, next);
    if matches!(word.as_str(), "of" | "in" | "from" | "by") {
        let more = next + word.len();
        let of = word_at(text, more + blank(text, more));
        if !matches!(of.as_str(), "this" | "our" | "which") {
            return true;
        }
    }
    let sentence = sentence(text, start, end);
    ELSEWHERE.iter().any(|word| sentence.contains(word))
}

/// The sentence around a mention in small letters; "this book" is left out.
fn sentence(text: &[u8], start: usize, end: usize) -> String {
    let before = text
        .get(start.saturating_sub(SENTENCE)..start)
        .unwrap_or_default();
    let behind = text
        .get(end..(end + SENTENCE).min(text.len()))
        .unwrap_or_default();
    let ends = |pair: &[u8]| {
        matches!(pair, [b'.' | b'!' | b'?', blank] if blank.is_ascii_whitespace())
            || pair == b"\n\n"
    };
    let from = before.windows(2).rposition(ends).map_or(0, |at| at + 1);
    let to = behind.windows(2).position(ends).unwrap_or(behind.len());
    let words = [before.get(from..), text.get(start..end), behind.get(..to)];
    let words = words.map(Option::unwrap_or_default).concat();
    let words = String::from_utf8_lossy(&words).to_lowercase();
    let words: Vec<&str> = words.split_whitespace().collect();
    words
        .join(" ")
        .replace("this book", "")
        .replace("this volume", "")
}

/// Where the words behind a mention say that it stands: "see Diagram 12 above".
fn way(text: &[u8], end: usize) -> Option<(Way, Option<Range<usize>>)> {
    const WAYS: [(&str, Way, bool); 8] = [
        ("above", Way::Above, true),
        ("below", Way::Below, true),
        ("overleaf", Way::Below, false),
        ("on the next page", Way::Below, false),
        ("on the following page", Way::Below, false),
        ("on the previous page", Way::Above, false),
        ("on the preceding page", Way::Above, false),
        ("on the last page", Way::Above, false),
    ];
    let start = end + blank(text, end);
    let start = match text.get(start) {
        Some(b',') => start + 1 + blank(text, start + 1),
        _ => start,
    };
    if start == end {
        return None;
    }
    let (words, way, one) = WAYS.into_iter().find(|(words, ..)| {
        let own = text.get(start..start + words.len()).unwrap_or_default();
        let same = |(own, word): (&u8, u8)| {
            own.to_ascii_lowercase() == word || *own == b'\n' && word == b' '
        };
        own.len() == words.len() && own.iter().zip(words.bytes()).all(same)
    })?;
    let span = start..start + words.len();
    // "Above the pawns" says something else.
    let firm = match text.get(span.end) {
        None | Some(b'.' | b',' | b';' | b':' | b')' | b'!' | b'?' | b'}') => true,
        Some(byte) if byte.is_ascii_whitespace() => {
            let next = word_at(text, span.end + blank(text, span.end));
            matches!(
                next.as_str(),
                "is" | "shows" | "and" | "where" | "which" | "white" | "black"
            )
        }
        Some(_) => false,
    };
    firm.then(|| (way, one.then_some(span)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(&'static str, u32, Role)> {
        let found = mentions(text.as_bytes(), text.as_bytes());
        let told = found
            .iter()
            .map(|one| (NOUNS[one.noun], one.number, one.role));
        told.collect()
    }

    const PLAIN: Role = Role::Points { plainly: true };
    const POINTS: Role = Role::Points { plainly: false };

    #[test]
    fn mentions_point_behind_words_that_point() {
        for (text, told_of) in [
            (
                "Here (see\nDiagram 29) it ends.",
                &[("diagram", 29, PLAIN)][..],
            ),
            ("It ends (diagram 12).", &[("diagram", 12, PLAIN)]),
            ("As in **Exercise 7**, so here.", &[("exercise", 7, POINTS)]),
            ("Compare Game No. 12.", &[("game", 12, PLAIN)]),
            (
                "Look at Diagrams 12, 13 and\n15.",
                &[
                    ("diagram", 12, POINTS),
                    ("diagram", 13, POINTS),
                    ("diagram", 15, POINTS),
                ],
            ),
            (
                "In studies 3-5 it is so.",
                &[("study", 3, POINTS), ("study", 5, POINTS)],
            ),
            ("*Diagram 4. Position*", &[("diagram", 4, Role::Prints)]),
            ("(Diagram 4)\n", &[("diagram", 4, Role::Prints)]),
            ("[Event \"Exercise 3\"]", &[("exercise", 3, Role::Prints)]),
            (
                "All is well. Diagram 4 shows it.",
                &[("diagram", 4, Role::Unclear)],
            ),
            (
                "See exercise 7 of the workbook.",
                &[("exercise", 7, Role::Elsewhere)],
            ),
            (
                "Diagrams of 12 men, position 7a, games 1990s, diagram 7.3, diagrams",
                &[],
            ),
            ("A telegram 4, programs 5, diagrammed 6", &[]),
        ] {
            assert_eq!(told(text), told_of, "{text}");
        }
    }

    #[test]
    fn ways_are_told_behind_the_number() {
        let way = |text: &str| {
            let found = mentions(text.as_bytes(), text.as_bytes());
            found[0].way.clone().map(|(way, _)| way)
        };
        assert_eq!(way("(see Diagram 3 above)"), Some(Way::Above));
        assert_eq!(way("See Diagram 3, below."), Some(Way::Below));
        assert_eq!(way("See Diagram 3 on the\nnext page."), Some(Way::Below));
        assert_eq!(way("In Diagram 3 above the pawns there is room."), None);
        assert_eq!(way("In Diagram 3 all is well."), None);
    }

    #[test]
    fn what_is_hidden_in_signs_of_the_format_is_known() {
        let text = b"![x](a.png \"Diagram 3. The king\")\n\nSee Diagram 4.";
        let mut view = text.to_vec();
        view[..33].fill(b' ');
        let found = mentions(text, &view);
        let told: Vec<_> = found
            .iter()
            .map(|one| (one.number, one.shown, one.role))
            .collect();
        assert_eq!(told, [(3, false, Role::Prints), (4, true, PLAIN)]);
    }
}
