//! The numbers that authors give to exercises, diagrams and solutions.

/// A number that an author gives to a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Label {
    pub(crate) number: u32,
    /// What stands before the number: 0 for nothing, else a letter or a chapter ("A1", "3.12").
    pub(crate) series: u16,
    /// Whether it is called a diagram.
    pub(crate) diagram: bool,
    /// Whether a word says that it is a number: "Exercise 7", "No. 7".
    pub(crate) named: bool,
    /// How many bytes it takes, with what closes it.
    pub(crate) length: usize,
}

/// Words for what has a number, in the languages that are read.
const WORDS: [&str; 59] = [
    // English
    "exercise",
    "exercises",
    "ex",
    "problem",
    "prob",
    "task",
    "puzzle",
    "position",
    "pos",
    "study",
    "test",
    "question",
    "quiz",
    "number",
    "no",
    "nr",
    "num",
    "solution",
    "sol",
    "answer",
    "ans",
    "key",
    "example",
    "mate",
    "challenge",
    "diagram",
    "diag",
    "fig",
    "figure",
    // German, Spanish, French and Russian
    "aufgabe",
    "übung",
    "stellung",
    "rätsel",
    "studie",
    "lösung",
    "antwort",
    "diagramm",
    "nummer",
    "ejercicio",
    "ej",
    "problema",
    "posición",
    "posicion",
    "estudio",
    "solución",
    "solucion",
    "respuesta",
    "diagrama",
    "exercice",
    "problème",
    "étude",
    "réponse",
    "diagramme",
    "задача",
    "упражнение",
    "позиция",
    "решение",
    "ответ",
    "диаграмма",
];

/// Words that join them: "solution to exercise 7".
const JOINTS: [&str; 14] = [
    "to", "of", "for", "the", "zu", "zur", "der", "del", "al", "de", "la", "du", "à", "к",
];

/// Signs that may stand in front: emphasis, lists, headings, quotations and cells of tables.
const SIGNS: [char; 12] = [
    '*', '_', '#', '(', '[', '>', ' ', '\t', '\r', '\n', '-', '|',
];

/// Signs that number by themselves.
const NUMBER_SIGNS: [char; 2] = ['№', '#'];

/// Nobody gives longer labels.
const LONGEST: usize = 120;

/// The number that an author gives to an exercise or diagram at the start of `words`: "7.", "7)",
/// "Exercise 7", "No. 7:", "**7**", "| 7 |", "Problem IV".
pub(crate) fn numbered(words: &[u8]) -> Option<Label> {
    let start = beginning(words);
    let mut text = start.trim_start_matches(SIGNS);
    let in_cell = start.trim_start().starts_with('|');
    let skipped = start.get(..start.len() - text.len())?;
    let mut named = false;
    let mut diagram = false;
    for _ in 0..4 {
        let end = text.find(|sign: char| !sign.is_alphabetic());
        let (word, behind) = text.split_at(end.unwrap_or(text.len()));
        let lower = word.to_lowercase();
        let known = WORDS.contains(&lower.as_str());
        if !(known || named && JOINTS.contains(&lower.as_str())) || !word_ends(behind) {
            break;
        }
        named = true;
        diagram |= lower.starts_with("diag") || lower.starts_with("диагр");
        text = behind.trim_start_matches(['.', ' ', '\t', '\u{a0}', '*', '_']);
    }
    if let Some(behind) = text.strip_prefix(NUMBER_SIGNS) {
        named = true;
        text = behind.trim_start_matches([' ', '\u{a0}']);
    }
    if named {
        text = text.trim_start_matches('(');
    }
    // "#2" alone is the task to mate in two.
    let sign = !named && skipped.ends_with('#');
    let (series, number, behind) = number(text, named)?;
    let mut signs = behind.chars();
    let ends = match (signs.next(), signs.next()) {
        (None, _) => !sign,
        _ if behind.trim().is_empty() => !sign,
        // "7. Rd8 mate" is a move of a game, and "7.Rd8" too; "7. 1.Rd8" and "7. The key" are not.
        (Some('.'), Some(blank)) if blank.is_whitespace() => {
            named || !is_move(behind.get(1..)?.as_bytes())
        }
        (Some('.'), None | Some('*' | '_')) => true,
        (Some(')' | ':' | ']' | '*' | '_'), _) => true,
        (Some(blank), next) => {
            let cell = in_cell && behind.trim_start().starts_with('|');
            cell || named
                && (blank.is_whitespace() || matches!(blank, ',' | '–' | '—') && next != Some(','))
        }
    };
    let closing = behind.len()
        - behind
            .trim_start_matches(['.', ')', ':', ']', '*', '_', ' ', '|'])
            .len();
    ends.then_some(Label {
        number,
        series,
        diagram,
        named,
        length: start.len() - behind.len() + closing,
    })
}

/// The number at the end of a caption, with the word that says so: "White mates in two (No. 7)".
pub(crate) fn numbered_behind(words: &[u8]) -> Option<Label> {
    behind(words).map(|(_, label)| label)
}

/// A caption without such a number.
pub(crate) fn without_number_behind(words: &[u8]) -> &[u8] {
    let end = behind(words).map_or(words.len(), |(end, _)| end);
    words.get(..end).unwrap_or(words)
}

/// Where the number at the end of a caption begins, with what stands in front of it.
fn behind(words: &[u8]) -> Option<(usize, Label)> {
    let text = std::str::from_utf8(words).ok()?.trim_end();
    if text.len() > LONGEST {
        return None;
    }
    let from = text.rfind(['(', '[', '—', '–', ',', '|']).or_else(|| {
        let last = text.rfind("  ")?;
        Some(last + 1)
    })?;
    let sign = text.get(from..)?.chars().next()?;
    let own = text.get(from + sign.len_utf8()..)?.trim_start();
    let label = numbered(own.as_bytes())?;
    let rest = own.get(label.length..)?;
    let alone = rest
        .trim_matches(['.', ')', ']', '*', '_', ' ', '|'])
        .is_empty();
    (label.named && alone).then_some((from, label))
}

/// What a solution in a list begins with whose number could be that of a move as well: "7. Qg7#".
pub(crate) fn numbered_move(words: &[u8]) -> Option<Label> {
    let start = beginning(words);
    let text = start.trim_start_matches(SIGNS);
    let (series, number, behind) = number(text, false)?;
    let moves = behind
        .strip_prefix('.')?
        .trim_start_matches([' ', '*', '_']);
    (series == 0 && !moves.starts_with('.') && is_move(moves.as_bytes())).then_some(Label {
        number,
        series,
        diagram: false,
        named: false,
        length: start.len() - moves.len(),
    })
}

/// The first bytes, as far as they are text.
fn beginning(words: &[u8]) -> &str {
    let words = words.get(..LONGEST).unwrap_or(words);
    match std::str::from_utf8(words) {
        Ok(text) => text,
        Err(error) => {
            let valid = words.get(..error.valid_up_to()).unwrap_or_default();
            std::str::from_utf8(valid).unwrap_or_default()
        }
    }
}

/// Whether a word ends before this: "Test7" is none, "Nr.7" is.
fn word_ends(behind: &str) -> bool {
    let next = behind.chars().next();
    next.is_none_or(|next| matches!(next, '.' | ' ' | '\t' | '\u{a0}' | '#' | '№' | '*' | '_'))
}

/// A number with what belongs to it in front, and what stands behind.
fn number(text: &str, named: bool) -> Option<(u16, u32, &str)> {
    let letter = text.chars().next().filter(char::is_ascii_uppercase);
    if let Some(letter) = letter {
        let behind = text.get(1..)?;
        let behind = behind.strip_prefix('-').unwrap_or(behind);
        if let Some((number, behind)) = digits(behind) {
            // A square has one digit as well: only in a word it cannot be meant.
            let is_square = letter <= 'H' && number <= 8 && !named;
            let closes = behind.starts_with(['.', ')', ':', '*', '|']);
            let series = u16::from(letter as u8);
            return (named || closes && !is_square || closes && behind.starts_with(')'))
                .then_some((series, number, behind));
        }
        return named.then(|| roman(text)).flatten();
    }
    let (number, behind) = digits(text)?;
    let own = behind.strip_prefix('.').and_then(digits);
    match own.filter(|_| named) {
        Some((second, behind)) => {
            let series = u16::try_from(number).ok()?.checked_add(256)?;
            Some((series, second, behind))
        }
        None => Some((0, number, behind)),
    }
}

fn digits(text: &str) -> Option<(u32, &str)> {
    let end = text
        .find(|sign: char| !sign.is_ascii_digit())
        .unwrap_or(text.len());
    let (number, behind) = text.split_at(end);
    (number.len() <= 5).then_some(())?;
    Some((number.parse().ok()?, behind))
}

/// A Roman number below four hundred.
fn roman(text: &str) -> Option<(u16, u32, &str)> {
    let end = text.find(|sign: char| !sign.is_ascii_alphabetic());
    let (word, behind) = text.split_at(end.unwrap_or(text.len()));
    let mut values = Vec::new();
    for letter in word.chars() {
        values.push(match letter {
            'I' => 1,
            'V' => 5,
            'X' => 10,
            'L' => 50,
            'C' => 100,
            _ => return None,
        });
    }
    let behind_each = values.iter().skip(1).copied().chain([0_u32]);
    let number = (values.iter().zip(behind_each)).try_fold(0_i64, |sum, (&value, next)| {
        let value = i64::from(value);
        Some(if value < i64::from(next) {
            sum - value
        } else {
            sum + value
        })
    })?;
    let number = u32::try_from(number).ok().filter(|&number| number > 0)?;
    (values.len() <= 8).then_some((0, number, behind))
}

/// Whether a move of English letters comes next.
pub(crate) fn is_move(text: &[u8]) -> bool {
    let text = text.trim_ascii_start();
    if text.starts_with(b".") {
        return true;
    }
    let length = text
        .iter()
        .take_while(|byte| !byte.is_ascii_whitespace())
        .count();
    let word = text.get(..length).unwrap_or_default();
    let end = word
        .iter()
        .rposition(|byte| !b"!?.,;:".contains(byte))
        .map_or(0, |at| at + 1);
    let word = word.get(..end).unwrap_or_default();
    gainsay_notation::parse_move(word, gainsay_notation::Language::English).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_exercises_are_no_moves() {
        for (words, number) in [
            ("7. White to move.", Some(7)),
            ("7) 1.Rd8#", Some(7)),
            ("7. 1.Rd8#", Some(7)),
            ("**7.** 1.Rd8#", Some(7)),
            ("(7) White to move", Some(7)),
            ("Exercise 12", Some(12)),
            ("Task 3 **", Some(3)),
            ("EX. 12: White to move", Some(12)),
            ("Exercise #12", Some(12)),
            ("Puzzle № 12", Some(12)),
            ("№ 12. Мат в два хода", Some(12)),
            ("Nr. 12", Some(12)),
            ("Aufgabe 12:", Some(12)),
            ("Ejercicio n", None),
            ("Exercice 12 – Mat en 2 coups", Some(12)),
            ("Задача 12", Some(12)),
            ("Problem IV. White mates in two", Some(4)),
            ("PROBLEM No. 44. White mates in two moves.", Some(44)),
            ("| 12 | White to move |", Some(12)),
            ("A3) White to move", Some(3)),
            ("Exercise A3", Some(3)),
            ("Exercise 3.12", Some(12)),
            ("Solution to exercise 3: 1.Rd8#", Some(3)),
            ("Lösung zu Aufgabe 3: 1.Td8#", Some(3)),
            ("Diagram 4. The idea", Some(4)),
            ("No. 9", Some(9)),
            ("No. 41: 1 Qg7 mate", Some(41)),
            ("7. Rd8 mates.", None),
            ("7.Rd8 mates.", None),
            ("7. ... Rd8 mates.", None),
            ("1990 was a good year", None),
            ("Solutions", None),
            ("To 7", None),
            ("#2", None),
            ("Test the knight on e4", None),
            ("E4. The square", None),
            ("IV. The middlegame", None),
            ("Mate in two", None),
            ("7a White to move", None),
        ] {
            let found = numbered(words.as_bytes()).map(|label| label.number);
            assert_eq!(found, number, "{words}");
        }
    }

    #[test]
    fn numbers_stand_behind_too() {
        for (words, number) in [
            ("White mates in two (No. 7)", Some(7)),
            ("White mates in two — Problem 7.", Some(7)),
            ("White mates in two    No. 7", Some(7)),
            ("White mates in two (7)", None),
            ("White mates in two, 1907", None),
            ("see Exercise 7", None),
        ] {
            let found = numbered_behind(words.as_bytes()).map(|label| label.number);
            assert_eq!(found, number, "{words}");
        }
    }

    #[test]
    fn numbers_of_solutions_may_be_those_of_moves() {
        for (words, number, rest) in [
            ("7. Qg7#", Some(7), "Qg7#"),
            ("**7.** Qg7#", Some(7), "Qg7#"),
            ("7.Qg7#", Some(7), "Qg7#"),
            ("7... Qg7#", None, ""),
            ("7. The queen mates", None, ""),
        ] {
            let label = numbered_move(words.as_bytes());
            assert_eq!(label.map(|label| label.number), number, "{words}");
            if let Some(label) = label {
                assert_eq!(&words[label.length..], rest);
            }
        }
    }
}
