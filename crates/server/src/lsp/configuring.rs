//! Settings on their way from the client and from files to the state.

use std::{path::PathBuf, time::Duration};

use tower_lsp::lsp_types::{
    ConfigurationItem, DidChangeConfigurationParams, DidChangeWatchedFilesRegistrationOptions,
    DidChangeWorkspaceFoldersParams, FileSystemWatcher, GlobPattern, InitializeParams, MessageType,
    Registration, Url,
};

use super::{
    server::Server,
    settings::{FILE_NAME, Layers},
};
use crate::state::Event;

/// A client that does not answer a question for so long is not waited for.
const PATIENCE: Duration = Duration::from_secs(10);

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
        self.configure(|layers| {
            for folder in folders {
                layers.add_folder(folder);
            }
            if let Some(options) = &params.initialization_options {
                layers.set_initial(options);
            }
            layers.read_files()
        })
        .await;
    }

    /// Changes the layers of settings, makes the state use them, and tells the author
    /// what is wrong with them.
    async fn configure(&self, change: impl FnOnce(&mut Layers) -> Vec<String>) {
        let mut wrong = self.shared.layers(|layers| {
            let mut wrong = change(layers);
            let (resolved, more) = layers.resolve();
            wrong.extend(more);
            let mut wanted: Vec<_> = resolved.all().map(|options| &options.wanted).collect();
            wanted.dedup();
            for wanted in wanted {
                wrong.extend(self.shared.aids.troubles(wanted));
            }
            // Sent while the layers are held, so that the last change is the last sent.
            self.tell(Event::Options(resolved.by_address()));
            wrong
        });
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
                .show_message(MessageType::WARNING, format!("gainsay: {complaint}"))
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
                Vec::new()
            })
            .await;
        });
    }

    /// Asks the client to watch the settings files, without waiting for it.
    pub(super) fn watch_settings(&self) {
        let client = self.client.clone();
        tokio::spawn(async move {
            let options = DidChangeWatchedFilesRegistrationOptions {
                watchers: vec![FileSystemWatcher {
                    glob_pattern: GlobPattern::String(format!("**/{FILE_NAME}")),
                    kind: None,
                }],
            };
            let registration = Registration {
                id: "gainsay-settings".to_owned(),
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
        self.configure(|layers| {
            layers.set_told(None, &params.settings);
            Vec::new()
        })
        .await;
    }

    /// Only settings files are watched.
    pub(super) async fn settings_file_changed(&self) {
        self.configure(Layers::read_files).await;
    }

    pub(super) async fn folders_changed(&self, params: DidChangeWorkspaceFoldersParams) {
        self.configure(|layers| {
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
            layers.read_files()
        })
        .await;
        if self.shared.session().configuration {
            self.fetch_settings();
        }
    }
}
