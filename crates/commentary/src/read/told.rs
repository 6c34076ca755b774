//! The sentences that stand beside the phrases in the files of the languages.

use super::{Context, LEXICON, Prose, Reader};
use crate::data::{Claims, Language};
use crate::pattern::Alive;
use crate::tongue::Tongue;

const FILES: [(Tongue, &str); Tongue::COUNT] = [
    (Tongue::English, include_str!("../../lang/en.txt")),
    (Tongue::German, include_str!("../../lang/de.txt")),
    (Tongue::Spanish, include_str!("../../lang/es.txt")),
    (Tongue::French, include_str!("../../lang/fr.txt")),
    (Tongue::Russian, include_str!("../../lang/ru.txt")),
];

/// The names of the phrases of which claims are made in a text.
fn told(text: &str, tongue: Tongue) -> Vec<&'static str> {
    let (mut reader, mut prose, mut alive) = (Reader::new(), Prose::default(), Alive::default());
    let context = Context {
        tongue: Some(tongue),
        ..Context::default()
    };
    reader.read(text.as_bytes(), &context, &mut prose);
    let (senses, patterns) = (LEXICON.senses(tongue), LEXICON.patterns(tongue));
    let chunks = &reader.chunks.chunks;
    let mut names = Vec::new();
    for sentence in &reader.chunks.sentences {
        let finders = &reader.chunks.finders[sentence.finders.clone()];
        patterns.find(chunks, finders, &sentence.there, senses, &mut alive);
        for at in sentence.chunks.clone() {
            let Some(found) = patterns.longest(chunks, at, senses, &alive) else {
                continue;
            };
            let span = chunks[at].span.to(chunks[found.end - 1].span);
            if prose.claims.iter().any(|claim| claim.span == span) {
                names.push(found.phrase.name);
            }
        }
    }
    names
}

#[test]
fn what_stands_beside_the_phrases_is_true() {
    let (claims, mistakes) = Claims::parse("claims.txt", include_str!("../../lang/claims.txt"));
    assert_eq!(mistakes, []);
    let mut wrong = Vec::new();
    for (tongue, text) in FILES {
        let (language, mistakes) = Language::parse("", text, &claims);
        assert_eq!(mistakes, []);
        assert!(!language.sentences.is_empty(), "{tongue:?}");
        for sentence in &language.sentences {
            let names = told(&sentence.text, tongue);
            let claim = &claims.0[sentence.claim].name;
            if names.contains(&claim.as_str()) != sentence.reads {
                wrong.push(format!(
                    "{tongue:?}, line {}: `{}` is read as {names:?}",
                    sentence.line, sentence.text
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
