//! Where settings come from: the settings file nearest to a document, then what the
//! editor told at the start, then what it tells now.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
    sync::Arc,
};

use gainsay_files::{KnownFindings, Layer, SETTINGS, has_settings, settled_by};
use serde_json::Value;

use crate::{address::path_of, options::Options, state::Resolve, words::files as words};

/// What a file or the editor sets, and what is wrong with it, a sentence each.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Told {
    layer: Layer,
    wrong: Vec<String>,
    /// The findings that are known by the list that the layer names.
    known: Arc<KnownFindings>,
}

impl Told {
    fn by_editor(value: &Value) -> Self {
        let (layer, wrong) = Layer::of_editor(own(value));
        Self {
            layer,
            wrong: wrong.iter().map(words::in_editor).collect(),
            known: Arc::default(),
        }
    }

    /// The settings file in `folder`.
    fn by_file(folder: &Path) -> Self {
        let path = folder.join(SETTINGS);
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(error) => {
                return Self {
                    layer: Layer::default(),
                    wrong: vec![words::no_settings(&path, &error)],
                    known: Arc::default(),
                };
            }
        };
        let (mut layer, wrong) = Layer::of_file(&text);
        let told = |wrong| words::in_settings(&path, wrong);
        let mut wrong: Vec<String> = wrong.iter().map(told).collect();
        let distrusted = layer.distrust().into_iter();
        wrong.extend(distrusted.map(words::distrusted));
        layer.syzygy = layer.syzygy_in(folder);
        let known = layer
            .known_in(folder)
            .map(|list| KnownFindings::read(&list));
        let known = match known.transpose() {
            Ok(known) => Arc::new(known.unwrap_or_default()),
            Err(error) => {
                wrong.push(error.to_string());
                Arc::default()
            }
        };
        Self {
            layer,
            wrong,
            known,
        }
    }
}

/// A folder of the workspace.
#[derive(Clone, Debug, Default)]
struct Folder {
    path: PathBuf,
    /// What the editor tells for this folder; `None` where it tells nothing of its own.
    told: Option<Told>,
}

/// The layers of settings, the weakest first.
#[derive(Debug, Default)]
pub(super) struct Layers {
    folders: Vec<Folder>,
    /// Folders of documents, each of which may have a settings file.
    seen: BTreeSet<PathBuf>,
    /// What the editor's extension takes for granted where neither a file nor the author
    /// sets anything.
    usual: Told,
    files: SettingsFiles,
    initial: Told,
    told: Told,
}

/// Settings files by their folders.
pub(super) type SettingsFiles = BTreeMap<PathBuf, Told>;

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
        self.usual = own(value)
            .get("defaults")
            .map(Told::by_editor)
            .unwrap_or_default();
        self.initial = Told::by_editor(value);
    }

    /// What the editor tells: for all, or for a folder.
    pub(super) fn set_told(&mut self, folder: Option<&Path>, value: &Value) {
        match folder {
            None => self.told = Told::by_editor(value),
            Some(path) => {
                let known = self.folders.iter_mut().find(|known| known.path == path);
                if let Some(known) = known {
                    known.told = (!value.is_null()).then(|| Told::by_editor(value));
                }
            }
        }
    }

    /// Takes note of folders that hold documents; `true` when one is new.
    pub(super) fn see(&mut self, folders: impl IntoIterator<Item = PathBuf>) -> bool {
        let known = self.seen.len();
        self.seen.extend(folders);
        self.seen.len() > known
    }

    /// The folders that may have a settings file: those of the workspace and all above
    /// them, and those in it that hold documents.
    pub(super) fn places(&self) -> BTreeSet<PathBuf> {
        let mut places = BTreeSet::new();
        for folder in &self.folders {
            places.extend(folder.path.ancestors().map(Path::to_owned));
            for seen in &self.seen {
                let within = seen.ancestors();
                let within = within.take_while(|above| above.starts_with(&folder.path));
                places.extend(within.map(Path::to_owned));
            }
        }
        places
    }

    /// Takes over the settings files; `true` when they are others than before.
    pub(super) fn set_files(&mut self, files: SettingsFiles) -> bool {
        let changed = self.files != files;
        self.files = files;
        changed
    }

    /// The settings of a folder of the workspace as far as the settings file in `base`
    /// goes, and what is wrong with them.
    fn options(&self, folder: Option<&Folder>, base: Option<&Path>) -> (Options, Vec<String>) {
        let file = base.and_then(|base| self.files.get(base));
        let told = folder.and_then(|folder| folder.told.as_ref());
        let told = told.unwrap_or(&self.told);
        let layers = [Some(&self.usual), file, Some(&self.initial), Some(told)];
        let mut layer = Layer::default();
        let mut wrong = Vec::new();
        for told in layers.into_iter().flatten() {
            layer = told.layer.clone().over(layer);
            wrong.extend_from_slice(&told.wrong);
        }
        let mut options = Options::of(layer);
        if let Some(file) = file {
            options.editor.known = Arc::clone(&file.known);
        }
        (options, wrong)
    }

    /// The settings of every document, and what is wrong with them: those of the
    /// folder of the workspace that it lies in, with the settings file nearest to it, or
    /// else those of the first folder.
    pub(super) fn resolve(&self) -> (Resolved, Vec<String>) {
        let mut wrong = Vec::new();
        let mut all: BTreeMap<FolderPair, Options> = BTreeMap::new();
        for folder in self.folders.iter().map(Some).chain([None]) {
            let path = folder.map(|folder| folder.path.as_path());
            let within = |base: &&PathBuf| {
                path.is_some_and(|path| base.starts_with(path) || path.starts_with(base))
            };
            let bases = self.files.keys().filter(within).map(PathBuf::as_path);
            for base in bases.map(Some).chain([None]) {
                let (options, told) = self.options(folder, base);
                wrong.extend(told);
                all.insert(
                    (path.map(Path::to_owned), base.map(Path::to_owned)),
                    options,
                );
            }
        }
        // The process has one memory, so that the smallest that is named counts.
        let memory = all.values().filter_map(|options| options.wanted.memory);
        let memory = memory.min();
        let mut options = BTreeMap::new();
        for (key, mut own) in all {
            own.wanted.memory = memory;
            options.insert(key, Arc::new(own));
        }
        let mut resolved = Resolved {
            folders: self.folders(),
            options,
            rest: Arc::default(),
        };
        let first = self.folders.first().map(|folder| folder.path.as_path());
        if let Some(rest) = resolved.of(first, first) {
            resolved.rest = Arc::clone(rest);
        }
        // The innermost folder is the one that is meant.
        resolved
            .folders
            .sort_by_key(|path| std::cmp::Reverse(path.components().count()));
        let mut seen = BTreeSet::new();
        wrong.retain(|sentence| seen.insert(sentence.clone()));
        (resolved, wrong)
    }
}

/// A folder of the workspace, and one with a settings file.
type FolderPair = (Option<PathBuf>, Option<PathBuf>);

/// Settings by folder.
#[derive(Clone, Debug)]
pub(super) struct Resolved {
    /// Those of the workspace, the innermost first.
    folders: Vec<PathBuf>,
    options: BTreeMap<FolderPair, Arc<Options>>,
    /// For documents outside.
    rest: Arc<Options>,
}

impl Resolved {
    /// The different settings.
    pub(super) fn all(&self) -> impl Iterator<Item = &Options> {
        self.options.values().map(|options| &**options)
    }

    /// The settings of the documents in `parent`, which lies in a folder of the
    /// workspace.
    fn of(&self, folder: Option<&Path>, parent: Option<&Path>) -> Option<&Arc<Options>> {
        let folder = folder.map(Path::to_owned);
        let has = |base: &Path| {
            let key = (folder.clone(), Some(base.to_owned()));
            self.options.contains_key(&key)
        };
        let base = parent.and_then(|parent| settled_by(parent, has));
        let base = base.map(Path::to_owned);
        self.options.get(&(folder.clone(), base))
    }

    /// The settings of a file.
    pub(super) fn of_file(&self, path: &Path) -> &Arc<Options> {
        let folder = self.folders.iter().find(|folder| path.starts_with(folder));
        folder
            .and_then(|folder| self.of(Some(folder), path.parent()))
            .unwrap_or(&self.rest)
    }

    /// Gives the settings of the document at an address.
    pub(super) fn by_address(self) -> Resolve {
        Arc::new(move |address| {
            let path = path_of(address);
            Arc::clone(path.map_or(&self.rest, |path| self.of_file(&path)))
        })
    }
}

/// Reads the settings files in folders.
pub(super) fn read_files(folders: &BTreeSet<PathBuf>) -> SettingsFiles {
    let with_settings = folders.iter().filter(|folder| has_settings(folder));
    with_settings
        .map(|folder| (folder.clone(), Told::by_file(folder)))
        .collect()
}

/// Our part of an editor's settings.
fn own(value: &Value) -> &Value {
    value.get("gainsay").unwrap_or(value)
}
