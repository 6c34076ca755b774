//! Where settings come from: the settings file of a folder, then what the editor told
//! at the start, then what it tells now.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use serde_json::Value;
use tower_lsp::lsp_types::Url;

use crate::{
    options::{Options, Source},
    state::Resolve,
};

/// The name of the settings file.
pub(super) const FILE_NAME: &str = "gainsay.toml";

/// A folder of the workspace.
#[derive(Clone, Debug, Default)]
struct Folder {
    path: PathBuf,
    /// The folder that its settings file stands in.
    base: PathBuf,
    file: Value,
    /// What the editor tells for this folder.
    told: Value,
}

/// The layers of settings, the weakest first.
#[derive(Debug, Default)]
pub(super) struct Layers {
    folders: Vec<Folder>,
    initial: Value,
    told: Value,
}

impl Layers {
    pub(super) fn folders(&self) -> Vec<PathBuf> {
        let paths = self.folders.iter().map(|folder| folder.path.clone());
        paths.collect()
    }

    pub(super) fn add_folder(&mut self, path: PathBuf) {
        if !self.folders.iter().any(|known| known.path == path) {
            self.folders.push(Folder {
                path,
                ..Folder::default()
            });
        }
    }

    pub(super) fn remove_folder(&mut self, path: &Path) {
        self.folders.retain(|known| known.path != path);
    }

    pub(super) fn set_initial(&mut self, value: &Value) {
        self.initial = own(value);
    }

    /// What the editor tells: for all, or for a folder.
    pub(super) fn set_told(&mut self, folder: Option<&Path>, value: &Value) {
        match folder {
            None => self.told = own(value),
            Some(path) => {
                let known = self.folders.iter_mut().find(|known| known.path == path);
                if let Some(known) = known {
                    known.told = own(value);
                }
            }
        }
    }

    /// Reads the settings file of every folder; a folder without one has the one of the
    /// nearest folder above. Says what is wrong with them.
    pub(super) fn read_files(&mut self) -> Vec<String> {
        let mut wrong = Vec::new();
        for folder in &mut self.folders {
            let found = folder
                .path
                .ancestors()
                .find(|above| above.join(FILE_NAME).is_file());
            folder.file = Value::Null;
            if let Some(base) = found {
                folder.base = base.to_owned();
                match read(&base.join(FILE_NAME)) {
                    Ok(value) => folder.file = value,
                    Err(error) => wrong.push(error),
                }
            }
        }
        wrong.dedup();
        wrong
    }

    /// The settings of a folder, and what is wrong with them.
    fn options(&self, folder: Option<&Folder>) -> (Options, Vec<String>) {
        let mut options = Options::default();
        let mut wrong = Vec::new();
        if let Some(folder) = folder {
            wrong.extend(options.take(&folder.file, Source::File(&folder.base)));
        }
        let told = folder
            .map(|folder| &folder.told)
            .filter(|told| !told.is_null())
            .unwrap_or(&self.told);
        for layer in [&self.initial, told] {
            wrong.extend(options.take(layer, Source::Editor));
        }
        (options, wrong)
    }

    /// The settings of every document, and what is wrong with them: those of the folder
    /// that it lies in, or else of the first folder.
    pub(super) fn resolve(&self) -> (Resolved, Vec<String>) {
        let mut wrong = Vec::new();
        let mut take = |(options, told): (Options, Vec<String>)| {
            wrong.extend(told);
            Arc::new(options)
        };
        let mut folders: Vec<(PathBuf, Arc<Options>)> = self
            .folders
            .iter()
            .map(|folder| (folder.path.clone(), take(self.options(Some(folder)))))
            .collect();
        let rest = match folders.first() {
            Some((_, first)) => Arc::clone(first),
            None => take(self.options(None)),
        };
        // The innermost folder is the one that is meant.
        folders.sort_by_key(|(path, _)| std::cmp::Reverse(path.components().count()));
        let mut seen = std::collections::BTreeSet::new();
        wrong.retain(|sentence| seen.insert(sentence.clone()));
        (Resolved { folders, rest }, wrong)
    }
}

/// Settings by folder.
#[derive(Clone, Debug)]
pub(super) struct Resolved {
    /// The innermost first.
    folders: Vec<(PathBuf, Arc<Options>)>,
    rest: Arc<Options>,
}

impl Resolved {
    /// The different settings.
    pub(super) fn all(&self) -> impl Iterator<Item = &Options> {
        let folders = self.folders.iter().map(|(_, options)| &**options);
        folders.chain([&*self.rest])
    }

    /// Gives the settings of the document at an address.
    pub(super) fn by_address(self) -> Resolve {
        Arc::new(move |uri| {
            let path = Url::parse(uri).ok().and_then(|uri| uri.to_file_path().ok());
            let folder = self
                .folders
                .iter()
                .find(|(folder, _)| path.as_ref().is_some_and(|path| path.starts_with(folder)));
            Arc::clone(folder.map_or(&self.rest, |(_, options)| options))
        })
    }
}

fn read(path: &Path) -> Result<Value, String> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| format!("Cannot read {}: {error}.", path.display()))?;
    toml::from_str::<Value>(&text)
        .map_err(|error| format!("{} is not valid: {}", path.display(), error.message()))
}

/// Our part of an editor's settings.
fn own(value: &Value) -> Value {
    value.get("gainsay").unwrap_or(value).clone()
}
