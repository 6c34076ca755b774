//! The file of a language: its settings, words and phrases.

use std::collections::BTreeSet;

use super::blocks::{Block, blocks};
use super::claims::Claims;
use super::inflect::Inflections;
use super::mistake::{Mistake, Mistakes, What};
use super::pattern::{Pattern, elements};
use super::words::{folded, written};
use crate::set::SET_NAMES;

/// All that a file says of its language.
#[derive(Debug, Default)]
pub(crate) struct Language {
    /// Where adjectives stand: a variant of `Adjectives`.
    pub(crate) adjectives: &'static str,
    /// Whether nouns have capitals like names.
    pub(crate) capitals: bool,
    /// Whether a subject may stand behind its verb.
    pub(crate) free_order: bool,
    /// The word for a game.
    pub(crate) game: String,
    /// What stands between it and its number.
    pub(crate) number_signs: Vec<String>,
    /// What is said of a game that stands above, and of one that stands below.
    pub(crate) ways: [String; 2],
    /// What words of a form end with, in the order of `ENDINGS`.
    pub(crate) endings: [Vec<String>; ENDINGS.len()],
    /// Frequent words, in the order of their frequency.
    pub(crate) common: Vec<String>,
    pub(crate) sets: Vec<Set>,
    /// By names of nuances.
    pub(crate) nuances: Vec<Named>,
    pub(crate) numbers: Vec<(String, u8)>,
    pub(crate) ordinals: Vec<(String, u8)>,
    pub(crate) times: Vec<(String, u8)>,
    /// A word, the variant of its role, if it is one, and whether it is plural.
    pub(crate) pieces: Vec<(String, Option<&'static str>, bool)>,
    pub(crate) counted: Vec<Counted>,
    /// By names of mates, which may be of several words.
    pub(crate) mate_names: Vec<Named>,
    pub(crate) patterns: Vec<Pattern>,
    /// What must be read, and what must not.
    pub(crate) sentences: Vec<Sentence>,
}

/// The forms whose endings a language can tell: the participle of what goes on, a verb, a verb of
/// which somebody else is the subject, an adverb of manner.
pub(crate) const ENDINGS: [&str; 4] = ["participle", "verb", "third", "manner"];

/// A set of words.
#[derive(Debug)]
pub(crate) struct Set {
    pub(crate) name: String,
    /// The line of its head.
    pub(crate) line: usize,
    pub(crate) words: Vec<String>,
}

/// Words that stand for something the code knows by name.
#[derive(Debug)]
pub(crate) struct Named {
    pub(crate) name: String,
    /// The line of its head.
    pub(crate) line: usize,
    pub(crate) words: Vec<String>,
}

/// A noun for what is counted.
#[derive(Debug)]
pub(crate) struct Counted {
    /// The word for one of it.
    pub(crate) one: String,
    pub(crate) singular: Vec<String>,
    pub(crate) plural: Vec<String>,
    /// The forms behind five and more, where they are others.
    pub(crate) many: Vec<String>,
}

/// A sentence that tests a claim of the file.
#[derive(Debug)]
pub(crate) struct Sentence {
    /// The number of the claim.
    pub(crate) claim: usize,
    pub(crate) line: usize,
    pub(crate) text: String,
    /// Whether the claim is read in it.
    pub(crate) reads: bool,
}

impl Language {
    /// Reads the file of a language. What it says twice, or wrongly, is a mistake.
    pub(crate) fn parse(file: &str, text: &str, claims: &Claims) -> (Self, Vec<Mistake>) {
        let mut mistakes = Mistakes::of(file);
        let mut language = Self::default();
        let blocks = blocks(text, &mut mistakes);
        let mut inflections = Inflections::default();
        for block in blocks.iter().filter(|block| block.keyword == "inflect") {
            inflections.add(block, &mut mistakes);
        }
        // Phrases may stand in front of the sets that they name.
        for block in &blocks {
            language.add(block, &inflections, &mut mistakes);
        }
        for block in blocks.iter().filter(|block| block.keyword == "claim") {
            language.claim(block, claims, &inflections, &mut mistakes);
        }
        language.complete(&mut mistakes);
        mistakes.found.sort_by_key(|mistake| mistake.line);
        (language, mistakes.found)
    }

    /// All words that it has, frequent ones without a meaning included.
    pub(crate) fn words(&self) -> BTreeSet<&str> {
        let sets = self.sets.iter().flat_map(|set| &set.words);
        let nuances = self.nuances.iter().flat_map(|nuance| &nuance.words);
        let numbers = (self.numbers.iter().chain(&self.ordinals)).chain(&self.times);
        let pieces = self.pieces.iter().map(|(word, ..)| word);
        let elements = self.patterns.iter().flat_map(|pattern| &pattern.elements);
        (self.common.iter().chain(sets).chain(nuances))
            .chain(numbers.map(|(word, _)| word).chain(pieces))
            .chain(elements.flat_map(|element| &element.words))
            .map(String::as_str)
            .collect()
    }

    /// Adds a block that is neither claim nor inflection.
    fn add(&mut self, block: &Block<'_>, inflections: &Inflections, mistakes: &mut Mistakes) {
        let needs_name = matches!(
            block.keyword,
            "set"
                | "endings"
                | "nuance"
                | "number"
                | "ordinal"
                | "times"
                | "piece"
                | "pieces"
                | "counted"
                | "mate-name"
                | "claim"
        );
        if needs_name && block.name.is_empty() {
            return mistakes.add(block.line, What::NoName(block.keyword.to_owned()));
        }
        let raw = || block.words().map(|(_, word)| word.to_owned());
        match block.keyword {
            "inflect" | "claim" => {}
            "adjectives" => self.adjectives(block, mistakes),
            "capitals" => self.capitals = flag(block, ["nouns", "names"], mistakes),
            "order" => self.free_order = flag(block, ["free", "fixed"], mistakes),
            "game" => self.game = raw().collect(),
            "number-signs" => self.number_signs.extend(raw()),
            "above" => self.ways[0] = raw().collect(),
            "below" => self.ways[1] = raw().collect(),
            "endings" => {
                let mut known = ENDINGS.iter().zip(&mut self.endings);
                let Some((_, endings)) = known.find(|(form, _)| **form == block.name) else {
                    let (value, known) = (block.name.to_owned(), "participle, verb, third, manner");
                    return mistakes.add(block.line, What::UnknownValue { value, known });
                };
                endings.extend(words(block, inflections, mistakes));
            }
            "common" => self.common.extend(words(block, inflections, mistakes)),
            "set" => {
                let words = words(block, inflections, mistakes);
                let name = block.name.to_owned();
                if let Some(known) = self.sets.iter().find(|known| known.name == name) {
                    let first = known.line;
                    return mistakes.add(block.line, What::Twice { name, first });
                }
                let line = block.line;
                self.sets.push(Set { name, line, words });
            }
            "nuance" => self.nuances.push(Named {
                name: block.name.to_owned(),
                line: block.line,
                words: words(block, inflections, mistakes),
            }),
            "number" | "ordinal" | "times" => {
                let value = block.name.parse();
                let value = value.map_err(|_| What::NoNumber(block.name.to_owned()));
                let Some(value) = mistakes.keep(block.line, value) else {
                    return;
                };
                let numbers = match block.keyword {
                    "number" => &mut self.numbers,
                    "ordinal" => &mut self.ordinals,
                    _ => &mut self.times,
                };
                for (line, word) in block.words() {
                    let word = mistakes.keep(line, written(word));
                    numbers.extend(word.map(|word| (word.to_owned(), value)));
                }
            }
            "piece" | "pieces" => {
                let Some(role) = mistakes.keep(block.line, role(block.name)) else {
                    return;
                };
                let plural = block.keyword == "pieces";
                let words = words(block, inflections, mistakes);
                self.pieces
                    .extend(words.into_iter().map(|word| (word, role, plural)));
            }
            "counted" => {
                let forms = block
                    .lines
                    .iter()
                    .find_map(|(_, text)| text.split_once('/'));
                let Some((singular, plural)) = forms else {
                    return mistakes.add(block.line, What::NoPlural);
                };
                let (plural, many) = plural.split_once('/').unwrap_or((plural, ""));
                let forms = |text: &str| text.split_whitespace().map(str::to_owned).collect();
                self.counted.push(Counted {
                    one: block.name.to_owned(),
                    singular: forms(singular),
                    plural: forms(plural),
                    many: forms(many),
                });
            }
            "mate-name" => {
                // A name may go on in the next line.
                let words: Vec<&str> = block.words().map(|(_, word)| word).collect();
                let names = words.join(" ");
                let names = names.split(';').map(str::trim);
                self.mate_names.push(Named {
                    name: block.name.to_owned(),
                    line: block.line,
                    words: names.map(str::to_owned).collect(),
                });
            }
            other => mistakes.add(block.line, What::UnknownHead(other.to_owned())),
        }
    }

    fn adjectives(&mut self, block: &Block<'_>, mistakes: &mut Mistakes) {
        let value = block.words().map(|(_, word)| word).collect::<String>();
        self.adjectives = match value.as_str() {
            "before" => "Before",
            "after" => "After",
            "both" => "Both",
            _ => {
                let known = "before, after, both";
                return mistakes.add(block.line, What::UnknownValue { value, known });
            }
        };
    }

    /// Adds the patterns and sentences of a claim.
    fn claim(
        &mut self,
        block: &Block<'_>,
        claims: &Claims,
        inflections: &Inflections,
        mistakes: &mut Mistakes,
    ) {
        let claim = claims.named(block.name);
        let claim = claim.ok_or_else(|| What::UnknownClaim(block.name.to_owned()));
        let Some(claim) = mistakes.keep(block.line, claim) else {
            return;
        };
        let names: Vec<&str> = self.sets.iter().map(|set| set.name.as_str()).collect();
        for &(line, text) in &block.lines {
            if let Some((kind, sentence)) = text.split_once(": ") {
                if !matches!(kind, "reads" | "not") {
                    mistakes.add(line, What::NoTest(text.to_owned()));
                    continue;
                }
                self.sentences.push(Sentence {
                    claim,
                    line,
                    text: sentence.trim().to_owned(),
                    reads: kind == "reads",
                });
                continue;
            }
            let elements = mistakes.keep(line, elements(text, &names, inflections));
            self.patterns.extend(elements.map(|elements| Pattern {
                claim,
                line,
                text: text.to_owned(),
                elements,
            }));
        }
    }

    /// Looks at the file as a whole.
    fn complete(&self, mistakes: &mut Mistakes) {
        for (setting, given) in [
            ("adjectives", !self.adjectives.is_empty()),
            ("game", !self.game.is_empty()),
            ("above", !self.ways[0].is_empty()),
            ("below", !self.ways[1].is_empty()),
        ] {
            if !given {
                mistakes.add(1, What::Missing(setting));
            }
        }
        for (set, number) in self.sets.iter().zip(0..) {
            let known = SET_NAMES.contains(&set.name.as_str());
            let mut elements = self.patterns.iter().flat_map(|pattern| &pattern.elements);
            if set.words.is_empty() {
                mistakes.add(set.line, What::EmptySet(set.name.clone()));
            } else if !known && !elements.any(|element| element.sets.contains(&number)) {
                mistakes.add(set.line, What::UnusedSet(set.name.clone()));
            }
        }
    }
}

/// Whether a block has the first of two values.
fn flag(block: &Block<'_>, values: [&'static str; 2], mistakes: &mut Mistakes) -> bool {
    let value = block.words().map(|(_, word)| word).collect::<String>();
    if !values.contains(&value.as_str()) {
        let known = match values {
            ["nouns", _] => "nouns, names",
            _ => "free, fixed",
        };
        mistakes.add(
            block.line,
            What::UnknownValue {
                value: value.clone(),
                known,
            },
        );
    }
    value == values[0]
}

/// The words of a block with all forms that are meant. A word that is written twice is a mistake;
/// a form of two words is none.
fn words(block: &Block<'_>, inflections: &Inflections, mistakes: &mut Mistakes) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for (line, written) in block.words() {
        let Some(forms) = mistakes.keep(line, inflections.expand(written)) else {
            continue;
        };
        // Common words tell how frequent a word is, and may well be repeated.
        let plain = !written.contains('/');
        if block.keyword != "common"
            && (seen.contains(&written) || plain && forms.iter().any(|form| all.contains(form)))
        {
            mistakes.add(line, What::WordTwice(written.to_owned()));
        }
        seen.push(written);
        for word in forms {
            if mistakes
                .keep(line, folded(&word).map(str::to_owned))
                .is_some()
                && (block.keyword == "common" || !all.contains(&word))
            {
                all.push(word);
            }
        }
    }
    all
}

/// The variant of a role; `None` for any piece.
fn role(name: &str) -> Result<Option<&'static str>, What> {
    Ok(Some(match name {
        "king" => "King",
        "queen" => "Queen",
        "rook" => "Rook",
        "bishop" => "Bishop",
        "knight" => "Knight",
        "pawn" => "Pawn",
        "any" => return Ok(None),
        _ => {
            return Err(What::UnknownValue {
                value: name.to_owned(),
                known: "king, queen, rook, bishop, knight, pawn, any",
            });
        }
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "adjectives: before\ngame: game\nabove: above\nbelow: below\n";

    fn told(text: &str) -> Vec<String> {
        let (claims, mistakes) = Claims::parse("claims.txt", "mate = mate-now\ncheck = checks\n");
        assert_eq!(mistakes, []);
        let (_, mistakes) = Language::parse("en.txt", &format!("{HEAD}{text}"), &claims);
        mistakes.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_file_without_mistakes_has_none() {
        let text = "set not: no never\nset tell: say/v\ninflect v: bare s\n    ~ ~s\n\
            nuance any: a\nnumber 2: two\nordinal 2: second\npiece knight: knight\n\
            pieces any: pieces\ncounted one: move / moves\nmate-name hook: hook; hooked\n\
            claim mate:\n    @tell mate\n    reads: He says mate.\n";
        assert_eq!(told(text), Vec::<String>::new());
    }

    #[test]
    fn every_mistake_is_told_with_its_line() {
        for (text, messages) in [
            (
                "claim stalemate:\n    stalemate",
                &["en.txt:5: no claim is called `stalemate`: see lang/claims.txt for the names"][..],
            ),
            (
                "claim mate:\n    @threat mate\n    mate?",
                &[
                    "en.txt:6: no set is called `threat`: add `set threat: words`, or use words with `|` between",
                    "en.txt:7: nothing is required in `mate?`: an element without `?` is needed",
                ],
            ),
            (
                "set not: no never no\nset not: none\nset black: Größe",
                &[
                    "en.txt:5: `no` stands here twice: leave one out",
                    "en.txt:6: `not` stands in line 5 already: add to that line",
                    "en.txt:7: `Größe` cannot be read: write small letters without accents (`laufer`, `dont` as `don't`), 16 at most",
                    "en.txt:7: `black` has no words: give it some or leave it out",
                ],
            ),
            (
                "set oddity: odd\nset and:",
                &[
                    "en.txt:5: nothing asks for the set `oddity`: use it in a phrase or leave it out",
                    "en.txt:6: `and` has no words: give it some or leave it out",
                ],
            ),
            (
                "words: mate\nset: mate\nnumber many: many\npiece dragon: dragon\ncounted one: move\n\
                 endings dual: os",
                &[
                    "en.txt:5: `words` begins nothing that is known: see the table in lang/README.md",
                    "en.txt:6: `set` needs a name in front of the colon",
                    "en.txt:7: `many` is no number from 0 to 255",
                    "en.txt:8: `dragon` is none of king, queen, rook, bishop, knight, pawn, any",
                    "en.txt:9: write `counted one: move / moves`: the singular, a stroke, the plural",
                    "en.txt:10: `dual` is none of participle, verb, third, manner",
                ],
            ),
            (
                "claim mate:\n    mate\n    read: He is mated.",
                &[
                    "en.txt:7: `read: He is mated.` is no pattern: write `reads:` or `not:` and a sentence, or a pattern",
                ],
            ),
        ] {
            assert_eq!(told(text), messages, "{text}");
        }
    }

    #[test]
    fn what_a_file_must_say_is_missed() {
        let (_, mistakes) = Language::parse("xx.txt", "adjectives: between", &Claims::default());
        let told: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "xx.txt:1: `between` is none of before, after, both",
                "xx.txt:1: the file says nothing about `adjectives`: add a line `adjectives: …`",
                "xx.txt:1: the file says nothing about `game`: add a line `game: …`",
                "xx.txt:1: the file says nothing about `above`: add a line `above: …`",
                "xx.txt:1: the file says nothing about `below`: add a line `below: …`",
            ]
        );
    }
}
