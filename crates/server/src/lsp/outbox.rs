//! What is shown to the author: the last set of findings of each document.
//!
//! The state puts sets of diagnostics in and never waits; one task takes them out as fast
//! as the client reads. A set that a newer one overtook is never sent. No snapshot is
//! held meanwhile, so that the next edit changes the text in place.

use std::{
    collections::{BTreeMap, HashMap},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use tokio::sync::{Notify, watch};
use tower_lsp::{
    Client, jsonrpc,
    lsp_types::{
        Diagnostic, Url,
        request::{CodeLensRefresh, InlayHintRefreshRequest, Request, WorkspaceDiagnosticRefresh},
    },
};

use super::{
    diagnostics::{diagnostics, fingerprint, of_file},
    progress,
    shared::Shared,
};
use crate::state::{Known, Show, Shown};

/// The state's end.
#[derive(Clone)]
pub(crate) struct Outbox {
    inner: Arc<Inner>,
    shared: Arc<Shared>,
}

#[derive(Debug, Default)]
struct Inner {
    waiting: Mutex<Waiting>,
    filled: Notify,
    /// How many pieces wait to be settled, and how many files to be checked.
    settling: watch::Sender<usize>,
    surveying: watch::Sender<usize>,
}

#[derive(Debug, Default)]
struct Waiting {
    shown: BTreeMap<Arc<str>, Message>,
    /// Findings of files that are not open changed, which the client is to ask for.
    files: bool,
}

/// What is to be told of one document.
#[derive(Debug)]
enum Message {
    Findings {
        address: Url,
        /// None of a file that is not open.
        version: Option<i32>,
        diagnostics: Vec<Diagnostic>,
    },
    Closed,
}

impl Message {
    fn of(uri: &str, shown: Shown, shared: &Shared) -> Option<Self> {
        let snapshot = match shown {
            Shown::Closed => return Some(Self::Closed),
            Shown::Findings(snapshot) => snapshot,
        };
        let address = Url::parse(uri).ok()?;
        Some(Self::Findings {
            version: Some(snapshot.version),
            diagnostics: diagnostics(&snapshot, &address, &shared.session()),
            address,
        })
    }

    fn of_file(uri: &str, known: Option<&Known>, shared: &Shared) -> Option<Self> {
        let Some(known) = known else {
            return Some(Self::Closed);
        };
        let address = Url::parse(uri).ok()?;
        let session = shared.session();
        let found = of_file(&known.summary, &known.listed.options, &address, &session);
        Some(Self::Findings {
            address,
            version: None,
            diagnostics: found,
        })
    }
}

impl Show for Outbox {
    fn show(&mut self, uri: &Arc<str>, shown: Shown) {
        if let Some(message) = Message::of(uri, shown, &self.shared) {
            self.put(|waiting| {
                waiting.shown.insert(Arc::clone(uri), message);
            });
        }
    }

    fn settling(&mut self, count: usize) {
        count_down(&self.inner.settling, count);
    }

    fn file(&mut self, address: &Arc<str>, known: Option<Known>) {
        if self.shared.session().pulls {
            self.put(|waiting| waiting.files = true);
            return;
        }
        let pushed = known.filter(|known| {
            let options = &known.listed.options;
            options.editor.closed_files == gainsay_files::ClosedFiles::Pushed
        });
        let Some(message) = Message::of_file(address, pushed.as_ref(), &self.shared) else {
            return;
        };
        self.put(|waiting| {
            waiting.shown.insert(Arc::clone(address), message);
        });
    }

    fn surveying(&mut self, count: usize) {
        count_down(&self.inner.surveying, count);
    }
}

impl Outbox {
    pub(crate) fn new(shared: Arc<Shared>) -> Self {
        Self {
            inner: Arc::default(),
            shared,
        }
    }

    fn put(&self, put: impl FnOnce(&mut Waiting)) {
        let mut waiting = self
            .inner
            .waiting
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        put(&mut waiting);
        drop(waiting);
        self.inner.filled.notify_one();
    }

    fn take(&self) -> Waiting {
        let mut waiting = self
            .inner
            .waiting
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        std::mem::take(&mut *waiting)
    }

    /// Sends what comes in, for ever.
    pub(crate) async fn run(self, client: Client) {
        let session = self.shared.session();
        let mut sent: HashMap<Arc<str>, u64> = HashMap::new();
        if session.progress {
            let run = |work, count: &watch::Sender<usize>| {
                tokio::spawn(progress::run(client.clone(), work, count.subscribe()))
            };
            run(progress::SETTLING, &self.inner.settling);
            run(progress::FILES, &self.inner.surveying);
        }
        let findings = Refresh::default();
        let hints = Refresh::default();
        let lenses = Refresh::default();
        loop {
            self.inner.filled.notified().await;
            let waiting = self.take();
            if waiting.files {
                findings.ask::<WorkspaceDiagnosticRefresh>(&client);
            }
            for (uri, message) in waiting.shown {
                let changed = if session.pulls {
                    remember(&mut sent, &uri, &message)
                } else {
                    publish(&client, &mut sent, &uri, message).await
                };
                if !changed {
                    continue;
                }
                if session.pulls {
                    findings.ask::<WorkspaceDiagnosticRefresh>(&client);
                }
                if session.hint_refresh {
                    hints.ask::<InlayHintRefreshRequest>(&client);
                }
                if session.lens_refresh {
                    lenses.ask::<CodeLensRefresh>(&client);
                }
            }
        }
    }
}

/// Changes a count that somebody looks at now and then. Only that work begins or ends wakes
/// anybody: thousands of pieces may be settled in a second.
fn count_down(counted: &watch::Sender<usize>, count: usize) {
    counted.send_if_modified(|known| {
        let turns = (*known == 0) != (count == 0);
        *known = count;
        turns
    });
}

/// Asks the client to ask again, at most once at a time: a client that never answers is
/// asked once.
#[derive(Clone, Debug, Default)]
struct Refresh {
    asked: Arc<AtomicBool>,
    again: Arc<AtomicBool>,
}

impl Refresh {
    fn ask<R: Request<Params = (), Result = ()> + 'static>(&self, client: &Client) {
        self.again.store(true, Ordering::SeqCst);
        if self.asked.swap(true, Ordering::SeqCst) {
            return;
        }
        let (client, this) = (client.clone(), self.clone());
        tokio::spawn(async move {
            // What happens meanwhile is told together.
            tokio::time::sleep(Duration::from_millis(30)).await;
            while this.again.swap(false, Ordering::SeqCst) {
                let answer: jsonrpc::Result<()> = client.send_request::<R>(()).await;
                if answer.is_err() {
                    // The client cannot do it after all, and is not asked again.
                    return;
                }
            }
            this.asked.store(false, Ordering::SeqCst);
        });
    }
}

/// Whether the client's findings of a document are no longer right; it will ask for the
/// new ones.
fn remember(sent: &mut HashMap<Arc<str>, u64>, uri: &Arc<str>, message: &Message) -> bool {
    match message {
        Message::Closed => sent.remove(uri).is_some(),
        Message::Findings { diagnostics, .. } => {
            let fingerprint = fingerprint(diagnostics);
            sent.insert(Arc::clone(uri), fingerprint) != Some(fingerprint)
        }
    }
}

async fn publish(
    client: &Client,
    sent: &mut HashMap<Arc<str>, u64>,
    uri: &Arc<str>,
    message: Message,
) -> bool {
    let changed = remember(sent, uri, &message);
    match message {
        Message::Findings {
            address,
            version,
            diagnostics,
        } => {
            if changed {
                client
                    .publish_diagnostics(address, diagnostics, version)
                    .await;
            }
            changed
        }
        Message::Closed => {
            if changed && let Ok(address) = Url::parse(uri) {
                client.publish_diagnostics(address, Vec::new(), None).await;
            }
            false
        }
    }
}
