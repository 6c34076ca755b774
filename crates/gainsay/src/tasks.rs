//! What the words around a position say of it as an exercise, as far as that needs no reader of
//! sentences: that it asks for something that is not proved here, how many solutions it has, whether
//! several positions share its task, and where its solution begins.

use std::sync::OnceLock;

use aho_corasick::AhoCorasick;
use gainsay_notation::decode;
use serde::{Deserialize, Serialize};

/// What an exercise asks for that is not proved here.
///
/// ```
/// use gainsay::{Format, Settings, check_as, outcome::{Genre, Open, Outcome}};
/// let text = b"**Problem 1.** h#2\n\n```fen\n8/8/8/8/8/5k2/7q/K7 b - - 0 1\n```\n";
/// let report = check_as(text, Format::Markdown, &Settings::default());
/// let told = Outcome::Unsettled(Open::NotProved { what: Genre::Helpmate });
/// assert_eq!(report.claims[0].outcome, told);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Genre {
    /// Both sides help to mate one of them.
    Helpmate,
    /// One side makes the other mate it.
    Selfmate,
    /// Whoever can mate must.
    Reflexmate,
    /// A game that leads to the position is to be found.
    ProofGame,
    /// One side makes several moves in a row.
    Series,
    /// The position stands for several that differ a little.
    Twins,
    /// What was played before is to be found, or other rules hold.
    Other,
}

/// Words of genres, without capitals. Those that begin with a blank are looked for behind what is no
/// letter and no digit.
const GENRES: [(Genre, &[&str]); 6] = [
    (
        Genre::Series,
        &[
            " series-",
            " series mate",
            " series help",
            " series self",
            " serieshelp",
            " seriesself",
            " seriesmov",
            " ser-h",
            " ser-s",
            " ser-#",
            " serienzug",
            " serienhilf",
            "серийный",
        ],
    ),
    (
        Genre::Helpmate,
        &[
            "helpmate",
            "help-mate",
            "help mate",
            "helpstalemate",
            " helps white",
            " helps black",
            " help white",
            " help black",
            " help each other",
            "cooperat",
            "co-operat",
            "hilfsmatt",
            "hilfspatt",
            "mat aidé",
            "mats aidés",
            "mate ayudado",
            "mates ayudados",
            "кооперативн",
        ],
    ),
    (
        Genre::Reflexmate,
        &[
            "reflexmate",
            "reflex-mate",
            "reflex mate",
            "reflexmatt",
            "mat réflexe",
            "mate reflejo",
        ],
    ),
    (
        Genre::Selfmate,
        &[
            "selfmate",
            "self-mate",
            "self mate",
            "suimate",
            "sui-mate",
            "selbstmatt",
            "mat inverse",
            "mats inverses",
            "mate inverso",
            "automate en",
            "обратный мат",
            "обратные маты",
            " forces black to mate",
            " forces white to mate",
            " force black to mate",
            " force white to mate",
            " compels black",
            " compels white",
            " obliges black",
            " obliges white",
            "be mated in",
            "zwingt",
        ],
    ),
    (
        Genre::ProofGame,
        &[
            "proof game",
            "proofgame",
            "shortest game",
            "beweispartie",
            "partie justificative",
            "partida justificativa",
            "доказательная партия",
        ],
    ),
    (
        Genre::Other,
        &[
            " duplex",
            " retro",
            " maximummer",
            " circe",
            " grasshopper",
            " nightrider",
            "fairy",
            "märchenschach",
            " take back",
            "retract",
            "last move",
            " illegal cluster",
        ],
    ),
];

/// Abbreviations of genres, which a number of moves follows: `h#2`.
const SIGNS: [(Genre, &[&str]); 4] = [
    (Genre::Series, &["ser-", "ser."]),
    (Genre::Helpmate, &["h#", "h=", "hm"]),
    (Genre::Selfmate, &["s#", "s=", "hs#"]),
    (Genre::Reflexmate, &["r#", "sr#", "hr#"]),
];

/// What some text asks for that is not proved here.
pub(crate) fn genre(text: &[u8]) -> Option<Genre> {
    let text = lower(text);
    if !may_have_genre(&text) {
        return None;
    }
    let named = GENRES
        .iter()
        .find(|(_, words)| words.iter().any(|word| says(&text, word)));
    if let Some(&(genre, _)) = named {
        return Some(genre);
    }
    let sign = |&(genre, signs): &(Genre, &[&str])| {
        let abbreviated = |sign: &str| {
            text.match_indices(sign).any(|(at, _)| {
                let before = text.get(..at).and_then(|before| before.chars().next_back());
                let behind = text.get(at + sign.len()..).unwrap_or_default();
                let number = behind.starts_with(|next: char| next.is_ascii_digit());
                let ends =
                    number || sign.ends_with('-') && behind.starts_with(['h', 's', '#', '=']);
                ends && !before.is_some_and(char::is_alphanumeric)
            })
        };
        signs.iter().any(|sign| abbreviated(sign)).then_some(genre)
    };
    SIGNS
        .iter()
        .find_map(sign)
        .or_else(|| is_twins(&text).then_some(Genre::Twins))
}

/// Whether any of the words is there that [`genre`] looks for: nearly no text has one.
fn may_have_genre(text: &str) -> bool {
    static FINDER: OnceLock<Option<AhoCorasick>> = OnceLock::new();
    let finder = FINDER.get_or_init(|| {
        let lists = (GENRES.iter()).chain(&SIGNS);
        let words = lists.flat_map(|(_, words)| words.iter());
        let words = words.chain(&TWINS).chain(&["b)", "b:"]);
        AhoCorasick::new(words.map(|word| word.trim_start())).ok()
    });
    finder.as_ref().is_none_or(|finder| finder.is_match(text))
}

const TWINS: [&str; 7] = [
    " twin",
    " zwilling",
    " jumeau",
    " gemelo",
    " zeroposition",
    "близнец",
    " set play",
];

/// Whether a text names several positions that differ a little: "(a) as it stands (b) Ke1 to f1".
fn is_twins(text: &str) -> bool {
    let item = |sign: &str| {
        text.match_indices(sign).any(|(at, _)| {
            let before = text.get(..at).and_then(|before| before.chars().next_back());
            !before.is_some_and(char::is_alphanumeric)
        })
    };
    TWINS.iter().any(|word| says(text, word)) || item("b)") || item("b:") && item("a:")
}

/// How many solutions the words of a task say that there are; `Some(0)` where there are several.
pub(crate) fn solutions(text: &[u8]) -> Option<u32> {
    const NUMBERS: [(&str, u32); 30] = [
        ("two", 2),
        ("three", 3),
        ("four", 4),
        ("2", 2),
        ("3", 3),
        ("4", 4),
        ("5", 5),
        ("6", 6),
        ("zwei", 2),
        ("drei", 3),
        ("vier", 4),
        ("deux", 2),
        ("trois", 3),
        ("quatre", 4),
        ("dos", 2),
        ("tres", 3),
        ("cuatro", 4),
        ("два", 2),
        ("три", 3),
        ("four", 4),
        ("both", 2),
        ("beide", 2),
        ("several", 0),
        ("multiple", 0),
        ("mehrere", 0),
        ("all", 0),
        ("alle", 0),
        ("plusieurs", 0),
        ("varias", 0),
        ("many", 0),
    ];
    const NOUNS: [&str; 8] = [
        "solutions",
        "keys",
        "lösungen",
        "soluciones",
        "решения",
        "answers",
        "ways",
        "sol",
    ];
    let text = lower(text);
    let mut before: Option<&str> = None;
    let mut first: Option<&str> = None;
    let is_sign = |sign: char| !sign.is_alphanumeric();
    for word in text.split(is_sign).filter(|word| !word.is_empty()) {
        if NOUNS.contains(&word) {
            let number = |said: Option<&str>| {
                let said = said?;
                let found = NUMBERS.iter().find(|(name, _)| *name == said);
                found.map(|&(_, number)| number)
            };
            if let Some(number) = number(before).or_else(|| number(first)) {
                return Some(number);
            }
        }
        (first, before) = (before, Some(word));
    }
    None
}

/// Whether the words may say what is to be done.
pub(crate) fn has_task(text: &[u8]) -> bool {
    const WORDS: [&str; 40] = [
        "mate",
        "mates",
        "checkmate",
        "win",
        "wins",
        "draw",
        "draws",
        "play",
        "plays",
        "move",
        "moves",
        "find",
        "best",
        "matt",
        "gewinnt",
        "zug",
        "zieht",
        "remis",
        "mat",
        "gagne",
        "gagnent",
        "jouent",
        "trait",
        "gana",
        "ganan",
        "juegan",
        "juega",
        "tablas",
        "мат",
        "выигрывают",
        "выигрыш",
        "ничья",
        "ход",
        "wtm",
        "btm",
        "saves",
        "save",
        "helpmate",
        "selfmate",
        "stalemate",
    ];
    let text = lower(text);
    text.contains('#') && abbreviation(text.as_bytes()).is_some()
        || (text.split(|sign: char| !sign.is_alphabetic())).any(|word| WORDS.contains(&word))
}

/// Whether a paragraph or a heading gives a task to several positions.
pub(crate) fn is_of_all(text: &[u8]) -> bool {
    const WORDS: [&str; 18] = [
        " in all ",
        " in each ",
        " in every ",
        "following positions",
        "following exercises",
        "following problems",
        "following diagrams",
        "the following, ",
        "all of the following",
        " each of ",
        "in allen ",
        "in jeder ",
        "folgenden",
        "en todas ",
        "en todos ",
        "dans tous ",
        "dans toutes ",
        "во всех ",
    ];
    let text = lower(text);
    has_task(text.as_bytes()) && WORDS.iter().any(|word| says(&text, word))
}

/// What such a paragraph asks for, without the words that say of what: "White mates in two".
pub(crate) fn task_of_all(text: &[u8]) -> &[u8] {
    const BEGINNINGS: [&[u8]; 5] = [b"White ", b"Black ", b"mate ", b"Mate ", b"mates "];
    if !is_of_all(text) {
        return text;
    }
    let starts = BEGINNINGS
        .iter()
        .filter_map(|word| memchr::memmem::find(text, word));
    text.get(starts.min().unwrap_or(0)..).unwrap_or(text)
}

/// What a task is abbreviated to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Short {
    /// `#3`, `M3`.
    Mate(u32),
    /// `h#2`, `s#3` and the like.
    Other,
}

/// The abbreviation of a task that a caption is or ends with: `#2`, `M3`, `h#2`; with its bytes.
pub(crate) fn abbreviation(text: &[u8]) -> Option<(std::ops::Range<usize>, Short)> {
    /// A longer paragraph is no caption.
    const LONGEST: usize = 160;
    let text = std::str::from_utf8(text).ok()?;
    if text.len() > LONGEST {
        return None;
    }
    let closing = ['.', ',', ';', ':', '(', ')', '[', ']', '*', '_', '|', '>'];
    let mut start = 0;
    let mut words = 0;
    for word in text.split_inclusive(char::is_whitespace) {
        let own = word.trim();
        let inner = own.trim_start_matches(closing);
        let from = start + (word.len() - word.trim_start().len()) + (own.len() - inner.len());
        start += word.len();
        let inner = inner.trim_end_matches(closing);
        if inner.is_empty() {
            continue;
        }
        words += 1;
        let last = text.get(start..).is_some_and(|rest| {
            !rest.contains(|sign: char| sign.is_alphabetic() || matches!(sign, '#' | '+' | '='))
        });
        // What a sign alone means is plain where nothing else is said.
        let alone = last && words == 1;
        if let Some(short) = short(inner, alone) {
            return Some((from..from + inner.len(), short));
        }
    }
    None
}

fn short(word: &str, alone: bool) -> Option<Short> {
    let number = |text: &str| {
        let plain =
            !text.is_empty() && text.len() <= 2 && text.bytes().all(|byte| byte.is_ascii_digit());
        plain
            .then(|| text.parse().ok())
            .flatten()
            .filter(|&moves: &u32| moves > 0)
    };
    let (front, behind) = (word.strip_prefix('#'), word.strip_suffix('#'));
    if let Some(moves) = front.or(behind).and_then(number) {
        return Some(Short::Mate(moves));
    }
    let named = word.strip_prefix(['M', 'm']).filter(|_| alone);
    if let Some(moves) = named.and_then(number) {
        return Some(Short::Mate(moves));
    }
    let sided = ["W#", "B#", "w#", "b#"]
        .iter()
        .find_map(|sign| word.strip_prefix(sign));
    if sided.and_then(number).is_some() {
        // Whose turn it is is not read here.
        return None;
    }
    let (body, _) = word.split_once(|sign: char| sign.is_ascii_digit())?;
    let signs = SIGNS.iter().flat_map(|(_, signs)| signs.iter());
    let mut signs = signs.filter(|sign| sign.ends_with(['#', '=']));
    let lower = body.to_lowercase();
    (signs.any(|sign| *sign == lower) || lower.starts_with("ser-")).then_some(Short::Other)
}

/// How many bytes open a solution below its exercise: "Solution: 1.Qg7#".
pub(crate) fn opens_solution(text: &[u8]) -> Option<usize> {
    const WORDS: [&str; 14] = [
        "solution",
        "sol",
        "answer",
        "key",
        "lösung",
        "lsg",
        "antwort",
        "solución",
        "solucion",
        "respuesta",
        "réponse",
        "решение",
        "ответ",
        "the solution",
    ];
    let text = std::str::from_utf8(text.get(..text.len().min(48)).unwrap_or_default());
    let text = match text {
        Ok(text) => text,
        Err(error) if error.valid_up_to() > 0 => return None,
        Err(_) => return None,
    };
    let inner = text.trim_start_matches(['*', '_', '>', ' ', '\t', '\r', '\n', '(', '[', '-', '|']);
    let end = inner.find(|sign: char| !(sign.is_alphabetic() || sign == ' '))?;
    let (word, behind) = inner.split_at(end);
    let known = WORDS.contains(&word.to_lowercase().trim_end());
    let rest = behind.trim_start_matches(['*', '_', ' ']);
    let closes = rest.starts_with(['.', ':', '–', '—']) || behind.starts_with(['*', '_']);
    let rest = rest.trim_start_matches(['.', ':', '–', '—', '*', '_', ' ']);
    (known && closes).then(|| text.len() - rest.len())
}

/// Whether words, a heading or a line by itself, stand over one solution or over several.
pub(crate) fn is_of_solutions(words: &[u8]) -> bool {
    const WORDS: [&str; 14] = [
        "solution",
        "answers",
        "answer key",
        "answer",
        "lösung",
        "soluci",
        "corrigé",
        "réponses",
        "réponse",
        "решени",
        "ответ",
        "respuestas",
        "respuesta",
        "key to the",
    ];
    const EXERCISES: [&str; 11] = [
        "exercise",
        "problem",
        "puzzle",
        "position",
        "task",
        "aufgabe",
        "ejercicio",
        "exercice",
        "задач",
        "test",
        "quiz",
    ];
    // "A solution without an exercise"
    const APART: [&str; 6] = [" without", " and ", " with ", " ohne", " sin ", " sans "];
    let lower = lower(words);
    let first = |words: &[&str]| {
        let places = words.iter().filter_map(|word| {
            let mut places = lower.match_indices(word).map(|(at, _)| at);
            places.find(|&at| {
                let before = lower
                    .get(..at)
                    .and_then(|before| before.chars().next_back());
                !before.is_some_and(char::is_alphabetic)
            })
        });
        places.min()
    };
    // "Exercises with solutions" are exercises, and "The answer to the gambit" is a chapter.
    let count = lower.split_whitespace().count();
    first(&WORDS).is_some_and(|at| match first(&EXERCISES) {
        Some(of) => at < of && count <= 8 && !APART.iter().any(|word| says(&lower, word)),
        None => count <= 4,
    })
}

/// Whether such words stand over one solution: that of the exercise above.
pub(crate) fn is_of_one(words: &[u8]) -> bool {
    const WORDS: [&str; 11] = [
        "solution",
        "answer",
        "lösung",
        "antwort",
        "solución",
        "solucion",
        "respuesta",
        "réponse",
        "corrigé",
        "решение",
        "ответ",
    ];
    let lower = lower(words);
    let mut words = lower.split(|sign: char| !sign.is_alphabetic());
    let mut words = words
        .by_ref()
        .filter(|word| !word.is_empty() && *word != "the");
    words.next().is_some_and(|word| WORDS.contains(&word)) && words.next().is_none()
}

/// Whether a paragraph is nothing but such a heading: "**Solutions**", "Solution:".
pub(crate) fn is_line_of_solutions(text: &[u8]) -> bool {
    let text = decode(text);
    let inner = text.trim_matches(['*', '_', ' ', ':', '\n', '\r', '\t', '.', '>']);
    let short = inner.split_whitespace().count() <= 3
        && !inner.contains(|sign: char| sign.is_ascii_digit());
    short && is_of_solutions(inner.as_bytes())
}

fn lower(text: &[u8]) -> String {
    /// Nothing that is said farther behind belongs to the task.
    const LONGEST: usize = 2000;
    let text = text.get(..LONGEST).unwrap_or(text);
    let lower = decode(text).to_lowercase();
    let mut plain = String::with_capacity(lower.len() + 1);
    plain.push(' ');
    for word in lower.split_whitespace() {
        plain.push_str(word);
        plain.push(' ');
    }
    plain
}

/// Whether a word stands in a text; one with a blank in front only at the start of a word.
fn says(text: &str, word: &str) -> bool {
    let Some(bare) = word.strip_prefix(' ') else {
        return text.contains(word);
    };
    text.match_indices(bare).any(|(at, _)| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        !before.is_some_and(char::is_alphanumeric)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_proved_is_recognised() {
        use Genre::{Helpmate, Other, ProofGame, Reflexmate, Selfmate, Series, Twins};
        for (text, found) in [
            ("Helpmate in 2", Some(Helpmate)),
            ("h#2", Some(Helpmate)),
            ("7. H#2.5 (b) Pa2 to a3", Some(Helpmate)),
            ("Black helps White to mate in two", Some(Helpmate)),
            ("Hilfsmatt in 3 Zügen", Some(Helpmate)),
            ("Кооперативный мат в 2 хода", Some(Helpmate)),
            ("Selfmate in three", Some(Selfmate)),
            ("s#3", Some(Selfmate)),
            ("White forces Black to mate in two", Some(Selfmate)),
            ("Selbstmatt in 2", Some(Selfmate)),
            ("Reflex mate in 2", Some(Reflexmate)),
            ("r#2", Some(Reflexmate)),
            ("Proof game in 7 moves", Some(ProofGame)),
            ("Series-helpmate in 5", Some(Series)),
            ("ser-h#5", Some(Series)),
            ("Mate in two. b) Ke1 to f1", Some(Twins)),
            ("Mate in two. Twin: wKe1 on f1", Some(Twins)),
            ("Which was the last move?", Some(Other)),
            ("White to move and mate in two", None),
            ("1.Kh7 gxh6 2.Qh#", None),
            ("#2", None),
            ("White wins by a series of checks", None),
            ("The rook helps the king", None),
            ("Rh#1", None),
        ] {
            assert_eq!(genre(text.as_bytes()), found, "{text}");
        }
    }

    #[test]
    fn numbers_of_solutions_are_read() {
        for (text, found) in [
            ("White mates in two. Two solutions.", Some(2)),
            ("#2, 3 solutions", Some(3)),
            ("Zwei Lösungen", Some(2)),
            ("There are two different solutions", Some(2)),
            ("There are several solutions", Some(0)),
            ("Mate in two. There is only one solution.", None),
            ("Mate in two", None),
        ] {
            assert_eq!(solutions(text.as_bytes()), found, "{text}");
        }
    }

    #[test]
    fn abbreviations_are_read_where_they_are_plain() {
        for (text, found) in [
            ("#2", Some(("#2", Short::Mate(2)))),
            ("2#", Some(("2#", Short::Mate(2)))),
            ("M3", Some(("M3", Short::Mate(3)))),
            ("(5+4) #2.", Some(("#2", Short::Mate(2)))),
            ("h#2", Some(("h#2", Short::Other))),
            ("s#3", Some(("s#3", Short::Other))),
            ("The M3 runs north", None),
            ("1.Qg7#", None),
            ("C++", None),
            ("White to move", None),
        ] {
            let told = abbreviation(text.as_bytes());
            let told = told.map(|(range, short)| (&text[range], short));
            assert_eq!(told, found, "{text}");
        }
    }

    #[test]
    fn headings_of_solutions_are_known() {
        for (words, is) in [
            ("Solutions", true),
            ("LAST MONTH'S SOLUTIONS", true),
            ("Answers (no peeping)", true),
            ("Solutions to the exercises", true),
            ("Lösungen", true),
            ("Soluciones", true),
            ("Решения", true),
            ("Exercises with solutions", false),
            ("A solution without an exercise", false),
            ("Resolution", false),
            ("The answer to the gambit was found late", false),
            ("Mate in two", false),
        ] {
            assert_eq!(is_of_solutions(words.as_bytes()), is, "{words}");
        }
        assert!(is_line_of_solutions(b"**Solutions:**"));
        assert!(!is_line_of_solutions(b"Solutions are on page 9"));
    }

    #[test]
    fn solutions_below_are_opened_by_a_word() {
        for (text, rest) in [
            ("Solution: 1.Qg7#", Some("1.Qg7#")),
            ("**Answer.** 1.Qg7#", Some("1.Qg7#")),
            ("> *Sol.:* 1.Qg7#", Some("1.Qg7#")),
            ("Lösung: 1.Dg7#", Some("1.Dg7#")),
            ("Solution 7: 1.Qg7#", None),
            ("The key is 1.Qg7#", None),
            ("Answer me", None),
        ] {
            let found = opens_solution(text.as_bytes());
            assert_eq!(found.and_then(|at| text.get(at..)), rest, "{text}");
        }
    }

    #[test]
    fn tasks_of_groups_say_so() {
        for (text, is) in [
            ("In all of the following White mates in two.", true),
            ("In each White is to play.", true),
            ("White mates in two.", false),
            ("In all openings the centre counts.", false),
        ] {
            assert_eq!(is_of_all(text.as_bytes()), is, "{text}");
        }
    }
}
