//! No sentences before the end: what was found out about a claim is data until `words` says it.
//!
//! A string of two words or more in one of these folders would be a sentence that some other
//! part has to read again, or that no other language can say.

use std::{error::Error, fs, path::Path};

use syn::{Attribute, Lit, Macro, visit::Visit};

/// Where nothing is said to people.
const SILENT: &[&str] = &[
    "gainsay/src/claims",
    "gainsay/src/outcome",
    "gainsay/src/question",
    "gainsay/src/passage.rs",
    "gainsay/src/questions.rs",
    "gainsay/src/scene.rs",
    "gainsay/src/memory.rs",
    "proof/src/facts",
    "proof/src/mate",
    "proof/src/search",
    "server/src/aids.rs",
    "server/src/closed",
    "server/src/document.rs",
    "server/src/features",
    "server/src/lsp",
    "server/src/pool.rs",
    "server/src/state",
];

/// The strings of a file, those of its tests, documentation and errors left out.
#[derive(Default)]
struct Strings(Vec<String>);

impl Visit<'_> for Strings {
    fn visit_lit(&mut self, literal: &Lit) {
        if let Lit::Str(text) = literal {
            self.0.push(text.value());
        }
    }

    fn visit_attribute(&mut self, _: &Attribute) {}

    fn visit_item_mod(&mut self, module: &syn::ItemMod) {
        if module.ident != "tests" {
            syn::visit::visit_item_mod(self, module);
        }
    }

    fn visit_macro(&mut self, called: &Macro) {
        // The documentation of a rule, or of a type, stands in its macro.
        if !["rule", "as_text"]
            .iter()
            .any(|name| called.path.is_ident(name))
        {
            // A quotation mark within a string or a character ends no string.
            let text = called.tokens.to_string();
            let text = text.replace("\\\"", "'").replace("'\"'", "' '");
            for part in text.split('"').skip(1).step_by(2) {
                self.0.push(part.to_owned());
            }
        }
    }
}

/// Whether a text has two words of two letters or more next to each other.
fn is_sentence(text: &str) -> bool {
    let words: Vec<bool> = text
        .split(' ')
        .map(|word| word.trim_matches(|c: char| c.is_ascii_punctuation() && c != '{' && c != '}'))
        .map(|word| word.len() >= 2 && word.bytes().all(|byte| byte.is_ascii_alphabetic()))
        .collect();
    words.windows(2).any(|pair| pair == [true, true])
}

#[test]
fn nothing_is_said_before_the_end() -> Result<(), Box<dyn Error>> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut files = Vec::new();
    let mut places: Vec<_> = SILENT.iter().map(|place| crates.join(place)).collect();
    while let Some(place) = places.pop() {
        if place.is_dir() {
            for entry in fs::read_dir(&place)? {
                places.push(entry?.path());
            }
        } else if place.extension().is_some_and(|end| end == "rs") && !place.ends_with("tests.rs") {
            files.push(place);
        }
    }
    assert!(files.len() > 100, "the folders have moved");
    let mut said = Vec::new();
    for file in files {
        let mut strings = Strings::default();
        strings.visit_file(&syn::parse_file(&fs::read_to_string(&file)?)?);
        let sentences = strings.0.into_iter().filter(|text| is_sentence(text));
        said.extend(sentences.map(|text| format!("{}: {text}", file.display())));
    }
    assert!(said.is_empty(), "{}", said.join("\n"));
    Ok(())
}

#[test]
fn sentences_are_found() {
    for (text, sentence) in [
        ("the king stands on {king}", true),
        ("{side} has castled, by {}.", true),
        ("{number} {} ", false),
        ("mate {moves} {}", false),
        ("rnbqkbnr w KQkq - 0 1", false),
        ("claim", false),
    ] {
        assert_eq!(is_sentence(text), sentence, "{text}");
    }
}
