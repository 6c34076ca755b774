//! Reading settings: TOML from a file, JSON from an editor.

use std::path::Path;

use gainsay::nearest;
use gainsay_notation::{Columns, LineIndex, Position};
use serde_json::{Map, Value};
use toml::de::{DeTable, DeValue};

use crate::selection::Selection;

use super::{
    layer::Layer,
    names::{self, HINTS, LEVEL, expected},
    place::{SETTINGS, has_settings, settled_by},
    wrong::{Wrong, WrongSetting},
};

/// What editors keep among our settings for themselves.
const OF_EDITORS: [&str; 4] = ["defaults", "path", "server", "trace"];

impl Layer {
    /// Reads a settings file. Whatever is wrong is told and left out, and the rest is taken.
    #[must_use]
    pub fn of_file(text: &str) -> (Self, Vec<Wrong>) {
        let lines = LineIndex::new(text.as_bytes());
        let place = |offset| lines.position(text.as_bytes(), offset, Columns::Scalars);
        let parsed = DeTable::parse(text).and_then(|table| Ok((toml::from_str(text)?, table)));
        let (values, table): (Map<String, Value>, _) = match parsed {
            Ok(parsed) => parsed,
            Err(error) => {
                let wrong = Wrong {
                    at: Some(place(error.span().map_or(0, |span| span.start))),
                    what: WrongSetting::NoToml(error.message().replace('\n', "; ")),
                };
                return (Self::default(), vec![wrong]);
            }
        };
        let mut reader = Reader {
            layer: Self::default(),
            wrong: Vec::new(),
            at: |path: &[&str], on_value: bool| {
                Some(place(offset_of(table.get_ref(), path, on_value)))
            },
            of_editor: false,
        };
        reader.table(values);
        // The order of the keys in JSON is not that of the file.
        reader.wrong.sort_by_key(|wrong| wrong.at);
        (reader.layer, reader.wrong)
    }

    /// Reads what an editor tells: the same keys, or the same in camel case.
    #[must_use]
    pub fn of_editor(told: &Value) -> (Self, Vec<Wrong>) {
        let mut reader = Reader {
            layer: Self::default(),
            wrong: Vec::new(),
            at: |_: &[&str], _| None,
            of_editor: true,
        };
        match told {
            told if is_unset(told) => {}
            Value::Object(told) => reader.table(told.clone()),
            _ => reader.wrong.push(Wrong {
                at: None,
                what: WrongSetting::NoObject,
            }),
        }
        (reader.layer, reader.wrong)
    }
}

/// Which files of a folder are wanted by the settings that hold for it.
#[must_use]
pub fn selection_for(folder: &Path) -> Selection {
    let Some(base) = settled_by(folder, has_settings) else {
        return Selection::default();
    };
    // What is wrong there is told by who reads the settings for their own sake.
    let text = std::fs::read_to_string(base.join(SETTINGS)).unwrap_or_default();
    Layer::of_file(&text).0.selection_in(base)
}

struct Reader<F> {
    layer: Layer,
    wrong: Vec<Wrong>,
    /// Where the key of a path stands, or its value.
    at: F,
    of_editor: bool,
}

impl<F: Fn(&[&str], bool) -> Option<Position>> Reader<F> {
    fn table(&mut self, values: Map<String, Value>) {
        for (written, value) in values {
            if self.of_editor && (is_unset(&value) || OF_EDITORS.contains(&&*written)) {
                continue;
            }
            let key = if self.of_editor {
                kebab(&written)
            } else {
                written.clone()
            };
            match (key.as_str(), value) {
                ("rules", Value::Object(rules)) => self.rules(&written, rules),
                ("hints", Value::Object(hints)) => self.hints(&written, hints),
                (known, value) if names::is_known(known) => {
                    self.take(&[&written], known, value, expected(known));
                }
                _ => self.unknown(&[&written], names::ALL.iter().map(|setting| setting.key)),
            }
        }
    }

    fn rules(&mut self, table: &str, rules: Map<String, Value>) {
        for (name, level) in rules {
            let path = [table, &name];
            if self.of_editor && level.is_null() {
                continue;
            }
            if gainsay::rule(&name).is_none() {
                let what = WrongSetting::UnknownRule(name.clone());
                self.wrong(&path, false, what);
                continue;
            }
            let rule = Value::Object(Map::from_iter([(name.clone(), level)]));
            self.take(&path, "rules", rule, LEVEL.to_owned());
        }
    }

    fn hints(&mut self, table: &str, hints: Map<String, Value>) {
        for (name, flag) in hints {
            let path = [table, &name];
            if self.of_editor && flag.is_null() {
                continue;
            }
            let Some(known) = HINTS.iter().find(|known| known.key == name) else {
                self.unknown(&path, HINTS.iter().map(|known| known.key));
                continue;
            };
            let hint = Value::Object(Map::from_iter([(name.clone(), flag)]));
            self.take(&path, "hints", hint, known.must.to_owned());
        }
    }

    /// Takes the value of one key, by itself, so that a wrong one spoils no other.
    fn take(&mut self, path: &[&str], key: &str, value: Value, expected: String) {
        let unset = value.is_null();
        let alone = Value::Object(Map::from_iter([(key.to_owned(), value)]));
        match serde_json::from_value::<Layer>(alone) {
            // TOML has numbers that JSON has not.
            Ok(layer) if !unset => {
                self.layer = layer.over(std::mem::take(&mut self.layer));
            }
            _ => {
                let name = path.join(".");
                self.wrong(path, true, WrongSetting::Value { name, expected });
            }
        }
    }

    fn unknown<'n>(&mut self, path: &[&str], known: impl IntoIterator<Item = &'n str>) {
        let written = path.last().copied().unwrap_or_default();
        let meant = nearest(&kebab(written), known).map(|meant| {
            if self.of_editor && !written.contains('-') {
                camel(meant)
            } else {
                meant.to_owned()
            }
        });
        let name = path.join(".");
        self.wrong(path, false, WrongSetting::Unknown { name, meant });
    }

    fn wrong(&mut self, path: &[&str], on_value: bool, what: WrongSetting) {
        let at = (self.at)(path, on_value);
        self.wrong.push(Wrong { at, what });
    }
}

/// Editors write `null` for what is not set, and Lua an empty table as an empty list.
fn is_unset(value: &Value) -> bool {
    value.is_null() || value.as_array().is_some_and(Vec::is_empty)
}

/// Where a path stands in a file: its last key, or the value of that.
fn offset_of(table: &DeTable<'_>, path: &[&str], on_value: bool) -> usize {
    let mut table = Some(table);
    let mut offset = 0;
    for key in path {
        let Some((key, value)) = table.and_then(|table| table.get_key_value(*key)) else {
            break;
        };
        offset = if on_value { value.span() } else { key.span() }.start;
        table = match value.get_ref() {
            DeValue::Table(inner) => Some(inner),
            _ => None,
        };
    }
    offset
}

/// `gameNodes` as `game-nodes`.
fn kebab(name: &str) -> String {
    let mut kebab = String::with_capacity(name.len() + 2);
    for letter in name.chars() {
        if letter.is_ascii_uppercase() {
            kebab.push('-');
        }
        kebab.push(letter.to_ascii_lowercase());
    }
    kebab
}

/// `game-nodes` as `gameNodes`.
fn camel(name: &str) -> String {
    let mut parts = name.split('-');
    let mut camel = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let mut letters = part.chars();
        camel.extend(letters.next().map(|first| first.to_ascii_uppercase()));
        camel.push_str(letters.as_str());
    }
    camel
}
