//! Settings on their way from the client and from files to the state.

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

use gainsay_files::{ClosedFiles, SETTINGS};

use tower_lsp::lsp_types::{
    ConfigurationItem, DidChangeConfigurationParams, DidChangeWatchedFilesParams,
    DidChangeWatchedFilesRegistrationOptions, DidChangeWorkspaceFoldersParams, FileSystemWatcher,
    GlobPattern, InitializeParams, MessageType, Registration, Url,
};

use super::{
    server::Server,
    settings::{Layers, read_files},
};
use crate::{options::Options, state::Event, words::files as words};

/// A client that does not answer a question for so long is not waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// The files that are picked in a folder, in the protocol's patterns.
const CHESS_FILES: &str = "*.{pgn,epd,fen,md,markdown,txt,text}";

impl Server {
    /// Takes over the folders and settings that a client starts with.
    pub(super) async fn configure_first(&self, params: &InitializeParams) {
        let mut folders: Vec<PathBuf> = params
            .workspace_folders
            .iter()
            .flatten()
            .filter_map(|folder| folder.uri.to_file_path().ok())
            .collect();
        if folders.is_empty()
            && let Some(root) = &params.root_uri
        {
            folders.extend(root.to_file_path());
        }
        self.shared.layers(|layers| {
            for folder in folders {
                layers.add_folder(folder);
            }
            if let Some(options) = &params.initialization_options {
                layers.set_initial(options);
            }
        });
        self.read_settings_files(true).await;
    }

    /// Reads the settings files again, and takes them over if they are others than
    /// before or if something else has changed.
    pub(super) async fn read_settings_files(&self, changed: bool) {
        // One at a time, so that what was read last is what counts.
        let reading = self.shared.reading.lock().await;
        let places = self.shared.layers(|layers| layers.places());
        let read = tokio::task::spawn_blocking(move || read_files(&places)).await;
        let Ok(files) = read else { return };
        let others = self.shared.layers(|layers| layers.set_files(files));
        drop(reading);
        if others || changed {
            self.configure(|_| {}).await;
        }
    }

    /// Takes note of a document, whose folder may have a settings file of its own.
    pub(super) fn see(&self, uri: &Url) {
        let folder = uri.to_file_path().ok();
        let folder = folder.and_then(|path| path.parent().map(Path::to_owned));
        if self.shared.layers(|layers| layers.see(folder)) {
            let this = self.clone();
            tokio::spawn(async move { this.read_settings_files(false).await });
        }
    }

    /// Changes the layers of settings, makes the state use them, and tells the author
    /// what is wrong with them.
    async fn configure(&self, change: impl FnOnce(&mut Layers)) {
        let mut push = false;
        let mut wrong = self.shared.layers(|layers| {
            change(layers);
            let (resolved, mut wrong) = layers.resolve();
            let mut wanted: Vec<_> = resolved.all().map(|options| &options.wanted).collect();
            wanted.dedup();
            for wanted in wanted {
                wrong.extend(self.shared.aids.troubles(wanted));
            }
            let pushes = |options: &Options| options.editor.closed_files == ClosedFiles::Pushed;
            push = resolved.all().any(pushes);
            // Sent while the layers are held, so that the last change is the last sent.
            self.tell(Event::Options(resolved.by_address()));
            wrong
        });
        if push {
            self.survey([]);
        } else {
            self.survey_again([]);
        }
        if self.shared.session().hint_refresh {
            // What was found may stay the same while less of it is to be shown.
            let client = self.client.clone();
            tokio::spawn(async move {
                let _ = tokio::time::timeout(PATIENCE, client.inlay_hint_refresh()).await;
            });
        }
        wrong.dedup();
        for complaint in wrong {
            self.client
                .show_message(MessageType::WARNING, words::complaint(&complaint))
                .await;
        }
    }

    /// Asks the client for its settings, for all and for every folder, without waiting
    /// for it.
    pub(super) fn fetch_settings(&self) {
        let this = self.clone();
        tokio::spawn(async move {
            let folders = this.shared.layers(|layers| layers.folders());
            let scopes = folders.iter().map(|path| Url::from_file_path(path).ok());
            let items = [None]
                .into_iter()
                .chain(scopes)
                .map(|scope_uri| ConfigurationItem {
                    scope_uri,
                    section: Some("gainsay".to_owned()),
                })
                .collect();
            let answer = tokio::time::timeout(PATIENCE, this.client.configuration(items)).await;
            let Ok(Ok(values)) = answer else { return };
            this.configure(|layers| {
                let scopes = [None]
                    .into_iter()
                    .chain(folders.iter().map(|path| Some(path.as_path())));
                for (scope, value) in scopes.zip(&values) {
                    layers.set_told(scope, value);
                }
            })
            .await;
        });
    }

    /// Asks the client to watch the settings files and the files that hold chess, without
    /// waiting for it.
    pub(super) fn watch_files(&self) {
        let client = self.client.clone();
        tokio::spawn(async move {
            // Lists of known findings are named in the settings.
            let globs = [SETTINGS, ".gitignore", ".ignore", "*.jsonl", CHESS_FILES];
            let options = DidChangeWatchedFilesRegistrationOptions {
                watchers: globs
                    .map(|glob| FileSystemWatcher {
                        glob_pattern: GlobPattern::String(format!("**/{glob}")),
                        kind: None,
                    })
                    .to_vec(),
            };
            let registration = Registration {
                id: "gainsay-files".to_owned(),
                method: "workspace/didChangeWatchedFiles".to_owned(),
                register_options: serde_json::to_value(options).ok(),
            };
            // A client that refuses does not watch; settings are then read at the start.
            let _ = tokio::time::timeout(PATIENCE, client.register_capability(vec![registration]))
                .await;
        });
    }

    pub(super) async fn settings_changed(&self, params: DidChangeConfigurationParams) {
        if self.shared.session().configuration {
            // What comes with the message may be settings of others.
            self.fetch_settings();
            return;
        }
        self.configure(|layers| layers.set_told(None, &params.settings))
            .await;
    }

    /// Files were written, made or deleted.
    pub(super) async fn files_changed(&self, params: DidChangeWatchedFilesParams) {
        let changed = params.changes.iter();
        let paths: Vec<PathBuf> = changed
            .filter_map(|change| change.uri.to_file_path().ok())
            .collect();
        let is_settings = |path: &PathBuf| {
            path.file_name().is_some_and(|name| name == SETTINGS)
                || path.extension().is_some_and(|ending| ending == "jsonl")
        };
        if paths.iter().any(is_settings) {
            self.read_settings_files(false).await;
        }
        self.survey_again(paths);
    }

    pub(super) async fn folders_changed(&self, params: DidChangeWorkspaceFoldersParams) {
        self.shared.layers(|layers| {
            for folder in &params.event.removed {
                if let Ok(path) = folder.uri.to_file_path() {
                    layers.remove_folder(&path);
                }
            }
            for folder in &params.event.added {
                if let Ok(path) = folder.uri.to_file_path() {
                    layers.add_folder(path);
                }
            }
        });
        self.read_settings_files(true).await;
        if self.shared.session().configuration {
            self.fetch_settings();
        }
    }
}
