//! `gainsay settings`: what holds for a file or folder, as a settings file that says the same.

use std::path::Path;

use gainsay_files::{Held, SETTINGS, held};

use crate::{
    exit::TROUBLE,
    print::{self, complain, name},
    settings::{nearest, read},
};

/// Prints the settings that hold for `path`.
pub(crate) fn run(path: &Path) -> u8 {
    if let Err(error) = std::fs::metadata(path) {
        complain(&format!("{}: {error}", name(path)));
        return TROUBLE;
    }
    let file = nearest(path);
    let mut text = format!("# What holds for {}.\n", name(path));
    let mut source = String::new();
    match &file {
        None => text.push_str(&format!("# There is no {SETTINGS} here or above.\n")),
        Some(file) => {
            let mut layer = match read(file) {
                Ok(layer) => layer,
                Err(errors) => {
                    for error in errors {
                        complain(&error.to_string());
                    }
                    return TROUBLE;
                }
            };
            text.push_str(&format!("# Settings file: {}\n", name(file)));
            for distrusted in layer.distrust() {
                text.push_str(&format!(
                    "# {distrusted}; --settings takes it as it stands\n"
                ));
            }
            // It was read just now; what became of it since is the next run's.
            source = std::fs::read_to_string(file).unwrap_or_default();
        }
    }
    let all = held(&source);
    let width = all.iter().map(|held| written(held).chars().count()).max();
    let mut table = "";
    for held in &all {
        if held.table != table {
            table = held.table;
            text.push_str(&format!("\n[{table}]\n"));
        }
        let from = match held.line {
            Some(line) => format!("{SETTINGS}, line {line}"),
            None => "as usual".to_owned(),
        };
        let width = width.unwrap_or(0).min(WIDEST);
        text.push_str(&format!("{:width$}  # {from}\n", written(held)));
    }
    print::all(text.as_bytes())
}

/// No value is so long that the others should follow it.
const WIDEST: usize = 40;

/// A setting as it stands in a file; one that is not set and has no value stands in a remark.
fn written(held: &Held) -> String {
    match held.value.strip_prefix('#') {
        Some(words) => format!("# {}:{words}", held.key),
        None => format!("{} = {}", held.key, held.value),
    }
}
