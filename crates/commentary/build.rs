//! Makes Rust tables of the words and phrases in `lang/`; each mistake there is an error of the
//! build, with its file and line.

use std::{env, error::Error, fs, path::Path, process::exit};

#[allow(dead_code)] // The tests of the library ask for more of all that it shares.
mod data;
#[path = "data/generate.rs"]
mod generate;
#[allow(dead_code)]
#[path = "src/set.rs"]
mod set;
#[allow(dead_code)]
#[path = "src/slot.rs"]
mod slot;

use data::{Claims, Language, Mistake, check_known, check_reviewed, reviewed_words};

/// The language whose open class of adverbs stands in a file of its own.
const WITH_ADVERBS: &str = "en";

/// The names of the files, and of the tables that are made of them.
const LANGUAGES: [(&str, &str); 5] = [
    ("en", "ENGLISH"),
    ("de", "GERMAN"),
    ("es", "SPANISH"),
    ("fr", "FRENCH"),
    ("ru", "RUSSIAN"),
];

fn main() -> Result<(), Box<dyn Error>> {
    for path in ["lang", "data", "src/set.rs", "src/slot.rs"] {
        println!("cargo::rerun-if-changed={path}");
    }
    let mut all: Vec<Mistake> = Vec::new();
    let mut tables = String::new();
    let (claims, mistakes) = Claims::parse("lang/claims.txt", &read("lang/claims.txt")?);
    all.extend(mistakes);
    generate::claims(&claims, &mut tables)?;
    for (code, name) in LANGUAGES {
        let file = format!("lang/{code}.txt");
        let (language, mistakes) = Language::parse(&file, &read(&file)?, &claims);
        all.extend(mistakes);
        generate::language(name, &language, &mut tables)?;
        let reviewed = format!("lang/{code}.reviewed.txt");
        let words = read(&reviewed)?;
        all.extend(check_reviewed(&reviewed, &words));
        if code == WITH_ADVERBS {
            let adverbs = format!("lang/{code}.adverbs.txt");
            let text = read(&adverbs)?;
            all.extend(check_reviewed(&adverbs, &text));
            let known = [
                (file.as_str(), language.words()),
                (reviewed.as_str(), reviewed_words(&words)),
            ];
            all.extend(check_known(&adverbs, &text, &known));
        }
    }
    for mistake in &all {
        println!("cargo::error={mistake}");
    }
    if !all.is_empty() {
        exit(1);
    }
    let folder = env::var_os("OUT_DIR").ok_or("cargo sets OUT_DIR for build scripts")?;
    fs::write(Path::new(&folder).join("lang.rs"), tables)?;
    Ok(())
}

/// The text of a file of the crate's folder, from which build scripts run.
fn read(path: &str) -> Result<String, String> {
    fs::read_to_string(path).map_err(|error| format!("{path} cannot be read: {error}"))
}
