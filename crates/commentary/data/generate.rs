//! Rust tables of the data, which `src/lang` includes.

use std::fmt::Write;

use crate::data::{Claim, Claims, Element, Language};
use crate::set::SET_NAMES;

/// The claims, as the slice `PHRASES`.
pub(crate) fn claims(claims: &Claims, out: &mut String) -> std::fmt::Result {
    writeln!(out, "pub(super) static PHRASES: &[Phrase] = &[")?;
    for claim in &claims.0 {
        claim_entry(claim, out)?;
    }
    writeln!(out, "];")
}

fn claim_entry(claim: &Claim, out: &mut String) -> std::fmt::Result {
    let maker = claim.maker.replace('-', "_");
    write!(out, "    Phrase {{ ")?;
    let some = |what: &str, value: &str| format!("Some({what}::{value})");
    for (field, value) in [
        ("subject", claim.subject.map(|who| format!("Who::{who}"))),
        ("tie", claim.tie.map(|tie| format!("Tie::{tie}"))),
        (
            "polarity",
            claim.polarity.map(|value| some("Polarity", value)),
        ),
        ("mood", claim.mood.map(|value| some("Mood", value))),
        ("tense", claim.tense.map(|value| some("Tense", value))),
        ("named", claim.named.then(|| "true".to_owned())),
        ("silent", claim.silent.then(|| "true".to_owned())),
        ("picky", claim.picky.then(|| "true".to_owned())),
        ("of_games", claim.of_games.then(|| "true".to_owned())),
    ] {
        if let Some(value) = value {
            write!(out, "{field}: {value}, ")?;
        }
    }
    let (name, line) = (&claim.name, claim.line);
    writeln!(
        out,
        "..Phrase::new({name:?}, make::{maker}) }}, // lang/claims.txt:{line}"
    )
}

/// A language, as the static `name`.
pub(crate) fn language(name: &str, language: &Language, out: &mut String) -> std::fmt::Result {
    writeln!(out, "pub(super) static {name}: Data = Data {{")?;
    writeln!(out, "adjectives: Adjectives::{},", language.adjectives)?;
    writeln!(out, "capitals: {},", language.capitals)?;
    writeln!(out, "free_order: {},", language.free_order)?;
    writeln!(out, "game: {:?},", language.game)?;
    writeln!(out, "number_signs: &{:?},", language.number_signs)?;
    writeln!(out, "ways: {:?},", language.ways)?;
    let [participle, verb, third, manner] = &language.endings;
    writeln!(
        out,
        "endings: Endings {{ participle: &{participle:?}, verb: &{verb:?}, third: &{third:?}, \
         manner: &{manner:?} }},"
    )?;
    writeln!(out, "common: &{:?},", language.common)?;
    writeln!(out, "numbers: &{:?},", language.numbers)?;
    writeln!(out, "ordinals: &{:?},", language.ordinals)?;
    writeln!(out, "times: &{:?},", language.times)?;
    writeln!(out, "sets: &[")?;
    for set in &language.sets {
        let known = SET_NAMES.iter().position(|known| *known == set.name);
        writeln!(
            out,
            "    SetWords {{ known: {known:?}, words: &{:?} }},",
            set.words
        )?;
    }
    writeln!(out, "],\nnuances: &[")?;
    for nuance in &language.nuances {
        let (name, line) = (variant(&nuance.name), nuance.line);
        writeln!(
            out,
            "    (Nuance::{name}, &{:?}), // line {line}",
            nuance.words
        )?;
    }
    writeln!(out, "],\nmate_names: &[")?;
    for mate in &language.mate_names {
        let (name, line) = (variant(&mate.name), mate.line);
        writeln!(
            out,
            "    (MateName::{name}, &{:?}), // line {line}",
            mate.words
        )?;
    }
    writeln!(out, "],\npieces: &[")?;
    for (word, role, plural) in &language.pieces {
        let role = role.map_or_else(|| "None".to_owned(), |role| format!("Some(Role::{role})"));
        writeln!(out, "    ({word:?}, {role}, {plural}),")?;
    }
    writeln!(out, "],\ncounted: &[")?;
    for counted in &language.counted {
        let (one, singular) = (&counted.one, &counted.singular);
        let (plural, many) = (&counted.plural, &counted.many);
        writeln!(
            out,
            "    Counted {{ one: {one:?}, singular: &{singular:?}, plural: &{plural:?}, many: &{many:?} }},"
        )?;
    }
    writeln!(out, "],\npatterns: &[")?;
    for pattern in &language.patterns {
        let (claim, line) = (pattern.claim, pattern.line);
        writeln!(
            out,
            "    PatternText {{ phrase: {claim}, elements: &[ // line {line}"
        )?;
        for element in &pattern.elements {
            element_entry(element, out)?;
        }
        writeln!(out, "    ] }},")?;
    }
    writeln!(out, "] }};")
}

fn element_entry(element: &Element, out: &mut String) -> std::fmt::Result {
    let slot = match element.slot {
        Some(slot) => format!("Some(Slot::{slot:?})"),
        None => "None".to_owned(),
    };
    let (optional, sets, words) = (element.optional, &element.sets, &element.words);
    writeln!(
        out,
        "        ElementText {{ slot: {slot}, optional: {optional}, sets: &{sets:?}, words: &{words:?} }},"
    )
}

/// The name of a variant: `back-rank` is `BackRank`.
fn variant(name: &str) -> String {
    let parts = name.split('-').map(|part| {
        let mut letters = part.chars();
        let first = letters.next().map(|first| first.to_ascii_uppercase());
        first.into_iter().chain(letters).collect::<String>()
    });
    parts.collect()
}
