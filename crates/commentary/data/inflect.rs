//! The forms of words: `attack/v` is written for "attack", "attacks", "attacked", "attacking".

use std::collections::BTreeMap;

use super::blocks::Block;
use super::mistake::{Mistakes, What};

/// Stands for the part of a word that does not change.
const STEM: char = '~';

/// How the words of a language are inflected, by the names of their classes.
#[derive(Debug, Default)]
pub(crate) struct Inflections(BTreeMap<String, Class>);

/// Words that are inflected alike.
#[derive(Debug)]
struct Class {
    /// What its forms are called.
    forms: Vec<String>,
    /// What several of them are called together.
    groups: Vec<(String, Vec<usize>)>,
    /// Rules and single words: a cell for each form, with alternatives.
    rows: Vec<Vec<Vec<String>>>,
}

impl Inflections {
    /// Adds a class: the names of its forms, and a line for each rule or word.
    pub(crate) fn add(&mut self, block: &Block<'_>, mistakes: &mut Mistakes) {
        let Some((&(_, names), rows)) = block.lines.split_first() else {
            return mistakes.add(block.line, What::NoName(block.keyword.to_owned()));
        };
        let mut class = Class {
            forms: Vec::new(),
            groups: Vec::new(),
            rows: Vec::new(),
        };
        for name in names.split_whitespace() {
            let Some((group, forms)) = name.split_once('=') else {
                class.forms.push(name.to_owned());
                continue;
            };
            let forms = forms.split('.').map(|form| class.named(name, form));
            let forms: Result<Vec<Vec<usize>>, What> = forms.collect();
            let forms = mistakes.keep(block.line, forms).unwrap_or_default();
            class.groups.push((group.to_owned(), forms.concat()));
        }
        for &(line, text) in rows {
            let cells = text.split_whitespace();
            let cells = cells.map(|cell| cell.split('|').map(str::to_owned).collect());
            let cells: Vec<Vec<String>> = cells.collect();
            let (found, wanted) = (cells.len(), class.forms.len());
            if found == wanted {
                class.rows.push(cells);
            } else {
                mistakes.add(line, What::Forms { found, wanted });
            }
        }
        self.0.insert(block.name.to_owned(), class);
    }

    /// The words that are meant: itself, or the forms of `word/class` or `word/class.form.form`,
    /// each once.
    pub(crate) fn expand(&self, written: &str) -> Result<Vec<String>, What> {
        let Some((word, asked)) = written.split_once('/') else {
            return Ok(vec![written.to_owned()]);
        };
        let mut asked = asked.split('.');
        let name = asked.next().unwrap_or_default();
        let class = self.0.get(name).ok_or_else(|| What::UnknownClass {
            written: written.to_owned(),
            class: name.to_owned(),
        })?;
        let forms = class.forms_of(word);
        let forms = forms.ok_or_else(|| What::NotInflected(written.to_owned()))?;
        let mut wanted = Vec::new();
        for form in asked {
            wanted.extend(class.named(written, form)?);
        }
        let mut words: Vec<String> = Vec::new();
        for (form, at) in forms.into_iter().zip(0..) {
            if wanted.is_empty() || wanted.contains(&at) {
                let new = form.into_iter().filter(|word| !words.contains(word));
                words.extend(new.collect::<Vec<_>>());
            }
        }
        Ok(words)
    }
}

impl Class {
    /// The forms of this name, which `written` asks for.
    fn named(&self, written: &str, form: &str) -> Result<Vec<usize>, What> {
        if let Some(at) = self.forms.iter().position(|known| known == form) {
            return Ok(vec![at]);
        }
        let group = self.groups.iter().find(|(name, _)| name == form);
        let group = group.map(|(_, forms)| forms.clone());
        group.ok_or_else(|| {
            let groups = self.groups.iter().map(|(name, _)| name.as_str());
            let known: Vec<&str> = self
                .forms
                .iter()
                .map(String::as_str)
                .chain(groups)
                .collect();
            What::UnknownForm {
                written: written.to_owned(),
                form: form.to_owned(),
                known: known.join(", "),
            }
        })
    }

    /// All forms of a word: those of its own line, or by the rule with the longest ending.
    fn forms_of(&self, word: &str) -> Option<Vec<Vec<String>>> {
        let first = |row: &&Vec<Vec<String>>| row.first().and_then(|cell| cell.first()).cloned();
        let own = self
            .rows
            .iter()
            .find(|row| first(row).as_deref() == Some(word));
        if let Some(own) = own {
            return Some(own.clone());
        }
        let rules = self.rows.iter().filter_map(|row| {
            let ending = first(&row)?.strip_prefix(STEM)?.to_owned();
            let stem = word.strip_suffix(ending.as_str())?;
            (!stem.is_empty()).then_some((ending.len(), stem, row))
        });
        let (_, stem, row) = rules.max_by_key(|&(length, _, _)| length)?;
        let cells = row.iter().map(|cell| {
            let forms = cell.iter();
            forms.map(|form| form.replace(STEM, stem)).collect()
        });
        Some(cells.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::super::blocks::blocks;
    use super::*;

    fn english() -> (Inflections, Vec<String>) {
        let mut mistakes = Mistakes::of("en.txt");
        let text = "inflect v: bare s ed en ing now=bare.s.ing\n  ~ ~s ~ed ~ed ~ing\n  ~e ~es ~ed ~ed ~ing\n  \
            give gives gave given giving\n  spoil spoils spoiled|spoilt spoiled|spoilt spoiling\n  lie lies\n";
        let mut inflections = Inflections::default();
        for block in blocks(text, &mut mistakes) {
            inflections.add(&block, &mut mistakes);
        }
        let told = mistakes.found.iter().map(ToString::to_string).collect();
        (inflections, told)
    }

    #[test]
    fn words_have_the_forms_of_their_line_or_of_the_longest_ending() {
        let (inflections, _) = english();
        for (written, forms) in [
            ("mate", "mate"),
            ("attack/v", "attack attacks attacked attacking"),
            ("fire/v", "fire fires fired firing"),
            ("give/v", "give gives gave given giving"),
            ("give/v.s.ing", "gives giving"),
            ("spoil/v.ed", "spoiled spoilt"),
            ("attack/v.now", "attack attacks attacking"),
            ("give/v.now.ed", "give gives gave giving"),
        ] {
            let found = inflections.expand(written).map(|words| words.join(" "));
            assert_eq!(found.as_deref(), Ok(forms), "{written}");
        }
    }

    #[test]
    fn mistakes_are_told() {
        let (inflections, told) = english();
        assert_eq!(told, ["en.txt:6: 2 forms: the class has 5"]);
        for (written, message) in [
            (
                "move/n",
                "`move/n` is inflected as `n`, which is not there: add `inflect n:`",
            ),
            (
                "move/v.x",
                "`move/v.x` asks for the form `x`: the class has bare, s, ed, en, ing, now",
            ),
            (
                "/v",
                "no line of the class inflects `/v`: add its forms to the class",
            ),
        ] {
            let mistake = inflections.expand(written).map_err(|what| what.to_string());
            assert_eq!(mistake, Err(message.to_owned()), "{written}");
        }
    }
}
