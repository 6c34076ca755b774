//! What an author can set, as an editor or a settings file tells it.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use gainsay::{Language, Level, Settings};
use serde_json::Value;

use crate::aids::Wanted;

/// The settings of a document.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Options {
    /// What the core library is to do.
    pub(crate) settings: Settings,
    /// What the solvers are to have.
    pub(crate) wanted: Wanted,
    /// What the editor is to show.
    pub(crate) editor: EditorOptions,
}

/// Where settings come from.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Source<'p> {
    /// The settings file in this folder.
    File(&'p Path),
    /// The author's editor.
    Editor,
}

/// The settings that only an editor has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct EditorOptions {
    /// Whether verdicts are shown behind claims.
    pub(crate) verdict_hints: bool,
    /// Whether missing numbers are shown in long lines.
    pub(crate) number_hints: bool,
    /// Whether hovers draw the board as a picture.
    pub(crate) pictures: bool,
    /// What is done about files that are not open.
    pub(crate) closed_files: ClosedFiles,
    /// Whether manuscripts that are not open are looked at.
    pub(crate) manuscripts: bool,
    /// Whether those in plain text are.
    pub(crate) texts: bool,
    /// The address in front of a rule's name where its page is found.
    pub(crate) rule_pages: Option<String>,
}

/// What is done about files of the workspace that are not open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum ClosedFiles {
    /// They are not looked at.
    Off,
    /// Their findings are told to a client that asks.
    #[default]
    Asked,
    /// Their findings are told to every client.
    Pushed,
}

impl Default for EditorOptions {
    fn default() -> Self {
        Self {
            verdict_hints: true,
            number_hints: true,
            pictures: false,
            closed_files: ClosedFiles::Asked,
            manuscripts: true,
            texts: true,
            rule_pages: None,
        }
    }
}

impl Options {
    /// Takes over what `value`, an object with the keys of the settings file, says.
    /// What it does not name stays. Whatever is wrong is told and left out.
    pub(crate) fn take(&mut self, value: &Value, source: Source<'_>) -> Vec<String> {
        let mut wrong = Vec::new();
        if value.is_null() || is_empty_table(value) {
            return wrong;
        }
        let Some(object) = value.as_object() else {
            wrong.push("The settings must be an object with the keys of gainsay.toml.".into());
            return wrong;
        };
        for (key, value) in object {
            if value.is_null() || is_empty_table(value) {
                continue;
            }
            let most = most_of_a_file(key).filter(|_| matches!(source, Source::File(_)));
            let lowered = most.filter(|&most| value.as_u64().is_some_and(|wanted| wanted > most));
            if let Some(most) = lowered {
                wrong.push(format!(
                    "The setting {key} = {value} of the gainsay.toml that was found is taken as {most}."
                ));
            }
            let lowered = lowered.map(Value::from);
            let value = lowered.as_ref().unwrap_or(value);
            let taken = match key.as_str() {
                "nodes" => match value.as_u64() {
                    Some(nodes @ 1..) => {
                        self.settings.nodes = nodes;
                        Ok(())
                    }
                    _ => Err("a number of at least 1".to_owned()),
                },
                "gameNodes" | "game-nodes" => match value.as_u64() {
                    Some(nodes @ 1..) => {
                        self.settings.game_nodes = Some(nodes);
                        Ok(())
                    }
                    _ => Err("a number of at least 1".to_owned()),
                },
                "language" => self.take_language(value),
                "claims" => take_flag(value, &mut self.settings.claims),
                "rules" => self.take_rules(value, &mut wrong),
                "hints" => self.take_hints(value),
                "pictures" => take_flag(value, &mut self.editor.pictures),
                "closedFiles" | "closed-files" => self.take_closed_files(value),
                "manuscripts" => self.take_manuscripts(value),
                "cache" => {
                    let mut cache = true;
                    let taken = take_flag(value, &mut cache);
                    self.wanted.forgetful = !cache;
                    taken
                }
                "memory" => self.take_memory(value),
                "rulePages" | "rule-pages" => match value.as_str() {
                    Some(address) => {
                        self.editor.rule_pages = (!address.is_empty()).then(|| address.to_owned());
                        Ok(())
                    }
                    None => Err("the address of a page".to_owned()),
                },
                "syzygy" => self.take_syzygy(value, source),
                "engine" => match source {
                    Source::Editor => self.take_engine(value),
                    // A folder that came from somebody else must not start a program by
                    // being opened.
                    Source::File(_) => {
                        wrong.push(
                            "The engine of gainsay.toml is not started; name it in the editor's \
                             own settings."
                                .to_owned(),
                        );
                        Ok(())
                    }
                },
                // The command's alone, and the editors' own.
                "fail-on" | "path" | "server" | "trace" => Ok(()),
                _ => {
                    wrong.push(format!("There is no setting \"{key}\"."));
                    Ok(())
                }
            };
            if let Err(expected) = taken {
                wrong.push(format!("The setting \"{key}\" must be {expected}."));
            }
        }
        wrong
    }

    fn take_language(&mut self, value: &Value) -> Result<(), String> {
        let name = value.as_str().unwrap_or_default();
        if name.is_empty() && value.is_string() {
            self.settings.language = None;
            return Ok(());
        }
        let language = Language::ALL
            .into_iter()
            .find(|language| language.name().eq_ignore_ascii_case(name));
        match language {
            Some(language) => {
                self.settings.language = Some(language);
                Ok(())
            }
            None => Err(format!(
                "one of {}",
                Language::ALL.map(Language::name).join(", ")
            )),
        }
    }

    fn take_closed_files(&mut self, value: &Value) -> Result<(), String> {
        self.editor.closed_files = match value.as_str() {
            Some("off") => ClosedFiles::Off,
            Some("asked") => ClosedFiles::Asked,
            Some("pushed") => ClosedFiles::Pushed,
            _ => return Err("off, asked or pushed".to_owned()),
        };
        Ok(())
    }

    fn take_manuscripts(&mut self, value: &Value) -> Result<(), String> {
        let (any, texts) = match value.as_str() {
            Some("none") => (false, false),
            Some("markdown") => (true, false),
            Some("all") => (true, true),
            _ => return Err("none, markdown or all".to_owned()),
        };
        self.editor.manuscripts = any;
        self.editor.texts = texts;
        Ok(())
    }

    fn take_memory(&mut self, value: &Value) -> Result<(), String> {
        let megabytes = value.as_u64().and_then(|number| number.try_into().ok());
        self.wanted.memory = Some(megabytes.ok_or("a number of megabytes")?);
        Ok(())
    }

    fn take_syzygy(&mut self, value: &Value, source: Source<'_>) -> Result<(), String> {
        let Some(folder) = value.as_str() else {
            return Err("a folder of Syzygy tables".to_owned());
        };
        self.wanted.syzygy = (!folder.is_empty()).then(|| match source {
            Source::File(base) => base.join(folder),
            Source::Editor => PathBuf::from(folder),
        });
        Ok(())
    }

    fn take_engine(&mut self, value: &Value) -> Result<(), String> {
        let words: Option<Vec<String>> = match value {
            Value::String(line) => shlex::split(line),
            _ => serde_json::from_value(value.clone()).ok(),
        };
        let Some(words) = words else {
            return Err("a command as in a shell, or a list of words".to_owned());
        };
        self.wanted.engine = words
            .first()
            .is_some_and(|word| !word.is_empty())
            .then_some(words);
        Ok(())
    }

    fn take_rules(&mut self, value: &Value, wrong: &mut Vec<String>) -> Result<(), String> {
        let Some(rules) = value.as_object() else {
            return Err("an object of levels by the names of rules".to_owned());
        };
        let mut levels = BTreeMap::new();
        for (name, level) in rules {
            if gainsay::rule(name).is_none() {
                wrong.push(format!("There is no rule \"{name}\"."));
                continue;
            }
            match serde_json::from_value::<Level>(level.clone()) {
                Ok(level) => {
                    levels.insert(name.clone(), level);
                }
                Err(_) => wrong.push(format!(
                    "The level of \"{name}\" must be off, hint, information, warning or error."
                )),
            }
        }
        self.settings.levels = levels;
        Ok(())
    }

    fn take_hints(&mut self, value: &Value) -> Result<(), String> {
        let expected = || "true, false or an object with \"verdicts\" and \"numbers\"".to_owned();
        if let Some(both) = value.as_bool() {
            self.editor.verdict_hints = both;
            self.editor.number_hints = both;
            return Ok(());
        }
        let object = value.as_object().ok_or_else(expected)?;
        for (key, flag) in object {
            let flag = flag.as_bool().ok_or_else(expected)?;
            match key.as_str() {
                "verdicts" => self.editor.verdict_hints = flag,
                "numbers" => self.editor.number_hints = flag,
                _ => return Err(expected()),
            }
        }
        Ok(())
    }
}

/// Lua writes an empty table as an empty list.
fn is_empty_table(value: &Value) -> bool {
    value.as_array().is_some_and(Vec::is_empty)
}

fn take_flag(value: &Value, flag: &mut bool) -> Result<(), String> {
    match value.as_bool() {
        Some(told) => {
            *flag = told;
            Ok(())
        }
        None => Err("true or false".to_owned()),
    }
}

/// The most that a settings file that was found may ask for under a key.
fn most_of_a_file(key: &str) -> Option<u64> {
    match key {
        "nodes" => Some(gainsay_files::MOST_NODES),
        "gameNodes" | "game-nodes" => Some(gainsay_files::MOST_GAME_NODES),
        "memory" => u64::try_from(gainsay_files::MOST_MEMORY).ok(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn takes_the_keys_of_the_settings_file() {
        let mut options = Options::default();
        let wrong = options.take(
            &json!({
                "nodes": 5000, "language": "german", "claims": false,
                "rules": {"illegal-move": "warning"}, "hints": {"numbers": false}
            }),
            Source::Editor,
        );
        assert!(wrong.is_empty(), "{wrong:?}");
        assert_eq!(options.settings.nodes, 5000);
        assert_eq!(options.settings.language, Some(Language::German));
        assert!(!options.settings.claims);
        assert_eq!(options.settings.levels["illegal-move"], Level::Warning);
        assert!(options.editor.verdict_hints && !options.editor.number_hints);
    }

    #[test]
    fn tells_what_is_wrong_and_takes_the_rest() {
        let mut options = Options::default();
        let wrong = options.take(
            &json!({
                "nodes": 0, "language": "klingon", "rules": {"no-such": "off", "illegal-move": 3},
                "nonsense": 1, "claims": false
            }),
            Source::Editor,
        );
        assert_eq!(wrong.len(), 5, "{wrong:?}");
        assert_eq!(options.settings.nodes, Settings::default().nodes);
        assert!(!options.settings.claims);
        assert_eq!(options.take(&json!([1]), Source::Editor).len(), 1);
        assert!(options.take(&json!([]), Source::Editor).is_empty());
        let empty = json!({"rules": [], "hints": []});
        assert!(options.take(&empty, Source::Editor).is_empty());
    }

    #[test]
    fn a_file_that_was_found_asks_for_no_more_than_is_sane() {
        let mut options = Options::default();
        let absurd = json!({"nodes": 9_223_372_036_854_775_807_u64, "memory": 1_000_000});
        let wrong = options.take(&absurd, Source::File(Path::new("/book")));
        assert_eq!(wrong.len(), 2, "{wrong:?}");
        assert_eq!(options.settings.nodes, gainsay_files::MOST_NODES);
        assert_eq!(options.wanted.memory, Some(gainsay_files::MOST_MEMORY));
        assert_eq!(options.take(&absurd, Source::Editor), Vec::<String>::new());
        assert_eq!(options.settings.nodes, 9_223_372_036_854_775_807);
    }

    #[test]
    fn an_engine_is_the_editors_to_name() {
        let mut options = Options::default();
        let value = json!({"engine": "some-engine 'a b'", "syzygy": "tables"});
        let wrong = options.take(&value, Source::File(Path::new("/book")));
        assert_eq!(wrong.len(), 1, "{wrong:?}");
        assert_eq!(options.wanted.engine, None);
        assert_eq!(options.wanted.syzygy, Some(PathBuf::from("/book/tables")));
        assert_eq!(options.take(&value, Source::Editor), Vec::<String>::new());
        let words = ["some-engine", "a b"].map(str::to_owned).to_vec();
        assert_eq!(options.wanted.engine, Some(words));
        options.take(&json!({"engine": "", "syzygy": ""}), Source::Editor);
        assert_eq!(options.wanted, Wanted::default());
    }
}
