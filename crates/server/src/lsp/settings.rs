//! Where settings come from: the settings file of a folder, then what the editor told
//! at the start, then what it tells now.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::options::Options;

/// The name of the settings file.
pub(super) const FILE_NAME: &str = "gainsay.toml";

/// The layers of settings, the weakest first.
#[derive(Debug, Default)]
pub(super) struct Layers {
    folders: Vec<PathBuf>,
    file: Value,
    initial: Value,
    told: Value,
}

impl Layers {
    pub(super) fn set_folders(&mut self, folders: Vec<PathBuf>) {
        self.folders = folders;
    }

    pub(super) fn folders(&self) -> &[PathBuf] {
        &self.folders
    }

    pub(super) fn add_folder(&mut self, folder: PathBuf) {
        if !self.folders.contains(&folder) {
            self.folders.push(folder);
        }
    }

    pub(super) fn remove_folder(&mut self, folder: &Path) {
        self.folders.retain(|known| known != folder);
    }

    pub(super) fn set_initial(&mut self, value: &Value) {
        self.initial = own(value);
    }

    pub(super) fn set_told(&mut self, value: &Value) {
        self.told = own(value);
    }

    /// Reads the settings file of the first folder that has one; a folder without one
    /// has the one of the nearest folder above. Says what is wrong with it.
    pub(super) fn read_file(&mut self) -> Vec<String> {
        self.file = Value::Null;
        let path = self
            .folders
            .iter()
            .flat_map(|folder| folder.ancestors())
            .map(|folder| folder.join(FILE_NAME))
            .find(|path| path.is_file());
        let Some(path) = path else {
            return Vec::new();
        };
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(error) => return vec![format!("Cannot read {}: {error}.", path.display())],
        };
        match toml::from_str::<Value>(&text) {
            Ok(value) => {
                self.file = value;
                Vec::new()
            }
            Err(error) => vec![format!(
                "{} is not valid: {}",
                path.display(),
                error.message()
            )],
        }
    }

    /// The settings of all layers together, and what is wrong with them.
    pub(super) fn options(&self) -> (Options, Vec<String>) {
        let mut options = Options::default();
        let mut wrong = Vec::new();
        for layer in [&self.file, &self.initial, &self.told] {
            wrong.extend(options.take(layer));
        }
        wrong.dedup();
        (options, wrong)
    }
}

/// Our part of an editor's settings.
fn own(value: &Value) -> Value {
    value.get("gainsay").unwrap_or(value).clone()
}
