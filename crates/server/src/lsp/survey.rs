//! Files of the workspace that are not open: finding them, and telling what is in them.

use std::{
    collections::{BTreeMap, BTreeSet, HashMap},
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use gainsay_files::{ClosedFiles, Manuscripts, Picked, pick_within, selection_for};
use gainsay_notation::Format;
use serde_json::{Value, json};
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{
        Diagnostic, MessageType, Url, WorkspaceDiagnosticParams, WorkspaceDiagnosticReport,
        WorkspaceDiagnosticReportResult, WorkspaceDocumentDiagnosticReport,
    },
};

use super::{
    diagnostics::{diagnostics, of_file, report},
    server::Server,
    session::Session,
    settings::Resolved,
};
use crate::{
    address::{address_of, path_of},
    closed::Listed,
    document::Snapshot,
    state::{Event, Survey},
    words::files as words,
};

/// So many files are looked at.
const MOST_FILES: usize = 10_000;
/// In a folder with more in it, of whatever kind, only so much is looked through: an
/// editor may take an author's home for the workspace.
const MOST_ENTRIES: usize = 100_000;
/// What changes meanwhile is looked at together.
const TOGETHER: Duration = Duration::from_millis(50);
/// So often it is looked again before anything is told.
const ROUNDS: usize = 8;
/// A client that reads as findings come in gets them this far apart.
const APART: Duration = Duration::from_millis(300);
/// So many reports make one message.
const CHUNK: usize = 100;

/// Chess files of folders.
pub(super) struct Files {
    pub(super) picked: Vec<Picked>,
    /// How many more there are.
    pub(super) left_out: usize,
}

/// The chess files in folders, each once.
pub(super) fn files_of(folders: &[PathBuf]) -> Files {
    let mut picked = BTreeMap::new();
    let mut left_out = 0;
    // What cannot be read holds nothing for the author.
    let walks = folders
        .iter()
        .map(|folder| pick_within(folder, &selection_for(folder), MOST_ENTRIES));
    for file in walks.flatten().flatten() {
        if picked.len() < MOST_FILES {
            picked.insert(file.path.clone(), file);
        } else if !picked.contains_key(&file.path) {
            left_out += 1;
        }
    }
    Files {
        picked: picked.into_values().collect(),
        left_out,
    }
}

impl Server {
    /// Looks at files that are not open from now on; `touched` are known to have changed.
    pub(super) fn survey(&self, touched: impl IntoIterator<Item = PathBuf>) {
        self.shared.walker.held().wanted = true;
        self.survey_again(touched);
    }

    /// Looks at them again, if somebody wants to know.
    pub(super) fn survey_again(&self, touched: impl IntoIterator<Item = PathBuf>) {
        let mut walks = self.shared.walker.held();
        if !walks.wanted {
            return;
        }
        walks.touched.extend(touched);
        walks.again = true;
        if !std::mem::replace(&mut walks.under_way, true) {
            self.tell(Event::Walk);
            drop(walks);
            let this = self.clone();
            tokio::spawn(async move { this.walk().await });
        }
    }

    /// Begins to look at them unless that has begun.
    fn begin_survey(&self) {
        let begun = self.shared.walker.held().wanted;
        // A client that cannot watch files does not tell what changes.
        if !begun || !self.shared.session().watches {
            self.survey([]);
        }
    }

    async fn walk(self) {
        for round in 1_usize.. {
            tokio::time::sleep(TOGETHER).await;
            self.shared.walker.held().again = false;
            let folders = self.shared.layers(|layers| layers.folders());
            let walk = tokio::task::spawn_blocking(move || files_of(&folders)).await;
            let files = walk.unwrap_or(Files {
                picked: Vec::new(),
                left_out: 0,
            });
            // A folder may have settings of its own.
            let parents = files.picked.iter().filter_map(|file| file.path.parent());
            let parents: BTreeSet<PathBuf> = parents.map(Path::to_owned).collect();
            if self.shared.layers(|layers| layers.see(parents)) {
                self.read_settings_files(false).await;
            }
            let (resolved, _) = self.shared.layers(|layers| layers.resolve());
            let touched = self.shared.walker.held().touched.clone();
            let left_out = files.left_out;
            let listing =
                tokio::task::spawn_blocking(move || listed(files.picked, &resolved, &touched));
            let listed = listing.await.unwrap_or_default();
            // Where files change all the time, the author is told now and then.
            let Some(news) = self.walked(listed, left_out, round % ROUNDS == 0) else {
                continue;
            };
            if news {
                let message = words::too_many(MOST_FILES, left_out);
                self.client
                    .show_message(MessageType::WARNING, message)
                    .await;
            }
            return;
        }
    }

    /// Ends a walk, unless something changed since it began: then there is another, and
    /// what this one found is told only if `told`. Tells whether there is news about files
    /// that are left out.
    fn walked(&self, listed: Vec<Listed>, left_out: usize, told: bool) -> Option<bool> {
        let mut walks = self.shared.walker.held();
        if walks.again {
            if told {
                self.tell(Event::Walked(listed));
                self.tell(Event::Walk);
            }
            return None;
        }
        walks.under_way = false;
        walks.touched.clear();
        self.tell(Event::Walked(listed));
        Some(std::mem::replace(&mut walks.told, left_out) != left_out && left_out > 0)
    }

    pub(super) async fn answer_workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        self.begin_survey();
        let previous = params.previous_result_ids.into_iter();
        let known = previous.map(|id| (Key::of(id.uri.as_str()), (id.uri, id.value)));
        let mut pull = Pull {
            session: self.shared.session(),
            known: known.collect(),
            told: HashMap::new(),
        };
        let token = params.partial_result_params.partial_result_token;
        while self.ask(|view| view.is_walked()).await == Some(false) {
            tokio::time::sleep(TOGETHER).await;
        }
        let mut open = self.open_documents().await;
        loop {
            let survey = self.ask(|view| view.survey()).await.unwrap_or_default();
            let complete = survey.is_complete();
            let first = std::mem::take(&mut open);
            let reports = tokio::task::spawn_blocking(move || {
                let reports = pull.reports(&first, &survey);
                (reports, pull)
            });
            let items;
            (items, pull) = reports.await.map_err(|_| Error::internal_error())?;
            let Some(token) = &token else {
                return Ok(answer(items));
            };
            // The client gets what there is, and the rest while it is found.
            let parts = items.chunks(CHUNK);
            let parts = parts.map(|part| json!({"items": part})).collect();
            self.shared.parts.send(&self.client, token, parts).await;
            if complete {
                return Ok(answer(Vec::new()));
            }
            tokio::time::sleep(APART).await;
        }
    }

    /// Waits until all files that are not open are checked, and gives their findings.
    pub(super) async fn survey_all(&self) -> Vec<Value> {
        self.survey([]);
        self.tell(Event::TakeUpFiles);
        loop {
            let Some(complete) = self.ask(|view| view.is_surveyed()).await else {
                return Vec::new();
            };
            if complete {
                break;
            }
            tokio::time::sleep(APART / 6).await;
        }
        let survey = self.ask(|view| view.survey()).await.unwrap_or_default();
        let session = self.shared.session();
        let files = survey.known.iter().filter_map(|known| {
            let uri = Url::parse(&known.listed.address).ok()?;
            let found = of_file(&known.summary, &known.listed.options, &uri, &session);
            Some(json!({"uri": uri, "version": null, "diagnostics": found}))
        });
        files.collect()
    }
}

fn answer(items: Vec<WorkspaceDocumentDiagnosticReport>) -> WorkspaceDiagnosticReportResult {
    WorkspaceDiagnosticReportResult::Report(WorkspaceDiagnosticReport { items })
}

/// Files as the state wants them.
fn listed(picked: Vec<Picked>, resolved: &Resolved, touched: &BTreeSet<PathBuf>) -> Vec<Listed> {
    let files = picked.into_iter().filter_map(|file| {
        let options = resolved.of_file(&file.path);
        let read = match file.format {
            Format::Markdown => options.editor.manuscripts >= Manuscripts::Markdown,
            Format::Text | Format::Latex | Format::AsciiDoc => {
                options.editor.manuscripts >= Manuscripts::All
            }
            Format::Pgn | Format::Epd => true,
        };
        if options.editor.closed_files == ClosedFiles::Off || !read {
            return None;
        }
        let about = std::fs::metadata(&file.path).ok()?;
        Some(Listed {
            address: address_of(&file.path)?.as_str().into(),
            touched: touched.contains(&file.path),
            path: file.path.into(),
            format: file.format,
            stamp: about.modified().ok().map(|time| (time, about.len())),
            options: Arc::clone(options),
        })
    });
    files.collect()
}

/// What an address stands for: clients write addresses of files in several ways.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Key {
    File(PathBuf),
    Buffer(String),
}

impl Key {
    fn of(address: &str) -> Self {
        path_of(address).map_or_else(|| Self::Buffer(address.to_owned()), Self::File)
    }
}

/// An answer to `workspace/diagnostic`, which may come in parts.
struct Pull {
    session: Arc<Session>,
    /// What the client has from an earlier answer.
    known: HashMap<Key, (Url, String)>,
    /// What this answer has told so far.
    told: HashMap<Key, String>,
}

impl Pull {
    /// Takes up one report, unless it was told already.
    fn take(
        &mut self,
        uri: Url,
        version: Option<i64>,
        items: Vec<Diagnostic>,
    ) -> Option<WorkspaceDocumentDiagnosticReport> {
        let key = Key::of(uri.as_str());
        let known = self.known.remove(&key).map(|(_, id)| id);
        let (id, report) = report(uri, version, items, known.as_ref());
        let news = self.told.get(&key) != Some(&id);
        self.told.insert(key, id);
        news.then_some(report)
    }

    /// The reports that are due: of open documents, of files that are not open, and of
    /// what the client knows that is no more.
    fn reports(
        &mut self,
        open: &[(Url, Snapshot)],
        survey: &Survey,
    ) -> Vec<WorkspaceDocumentDiagnosticReport> {
        let mut reports = Vec::new();
        for (uri, snapshot) in open {
            let items = diagnostics(snapshot, uri, &self.session);
            let version = Some(snapshot.version.into());
            reports.extend(self.take(uri.clone(), version, items));
        }
        for known in &survey.known {
            let Ok(uri) = Url::parse(&known.listed.address) else {
                continue;
            };
            let items = of_file(&known.summary, &known.listed.options, &uri, &self.session);
            reports.extend(self.take(uri, None, items));
        }
        // Of files that are just being checked the client keeps what it has.
        if survey.walked {
            let unknown: BTreeSet<Key> = survey.unknown.iter().map(|at| Key::of(at)).collect();
            let mut gone: Vec<Url> = self
                .known
                .iter()
                .filter(|(key, _)| !unknown.contains(key))
                .map(|(_, (uri, _))| uri.clone())
                .collect();
            gone.sort();
            for uri in gone {
                reports.extend(self.take(uri, None, Vec::new()));
            }
        }
        reports
    }
}
