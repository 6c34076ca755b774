//! What is shown to the author: the last set of findings of each document.
//!
//! The state puts snapshots in and never waits; one task takes them out as fast as the
//! client reads. A snapshot that a newer one overtook is never sent.

use std::{
    collections::{BTreeMap, HashMap},
    sync::{Arc, Mutex, PoisonError},
};

use std::{
    sync::atomic::{AtomicBool, Ordering},
    time::Duration,
};

use tokio::sync::{Notify, watch};
use tower_lsp::{
    Client, jsonrpc,
    lsp_types::{
        Url,
        request::{CodeLensRefresh, InlayHintRefreshRequest, Request, WorkspaceDiagnosticRefresh},
    },
};

use super::{
    diagnostics::{diagnostics, fingerprint},
    progress,
    shared::Shared,
};
use crate::state::{Show, Shown};

/// The state's end.
#[derive(Clone, Debug, Default)]
pub(crate) struct Outbox {
    inner: Arc<Inner>,
}

#[derive(Debug, Default)]
struct Inner {
    waiting: Mutex<Waiting>,
    filled: Notify,
}

#[derive(Debug, Default)]
struct Waiting {
    shown: BTreeMap<Arc<str>, Shown>,
    settling: Option<usize>,
}

impl Show for Outbox {
    fn show(&mut self, uri: &Arc<str>, shown: Shown) {
        self.put(|waiting| {
            waiting.shown.insert(Arc::clone(uri), shown);
        });
    }

    fn settling(&mut self, count: usize) {
        self.put(|waiting| waiting.settling = Some(count));
    }
}

impl Outbox {
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
    pub(crate) async fn run(self, client: Client, shared: Arc<Shared>) {
        let session = shared.session();
        let mut sent: HashMap<Arc<str>, u64> = HashMap::new();
        let (count, counted) = watch::channel(0);
        if session.progress {
            tokio::spawn(progress::run(client.clone(), counted));
        }
        let findings = Refresh::default();
        let hints = Refresh::default();
        let lenses = Refresh::default();
        loop {
            self.inner.filled.notified().await;
            let waiting = self.take();
            if let Some(settling) = waiting.settling {
                count.send_replace(settling);
            }
            for (uri, shown) in waiting.shown {
                let changed = if session.pulls {
                    remember(&shared, &mut sent, &uri, shown)
                } else {
                    publish(&client, &shared, &mut sent, &uri, shown).await
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
fn remember(
    shared: &Shared,
    sent: &mut HashMap<Arc<str>, u64>,
    uri: &Arc<str>,
    shown: Shown,
) -> bool {
    let Shown::Findings(snapshot) = shown else {
        return sent.remove(uri).is_some();
    };
    let Ok(address) = Url::parse(uri) else {
        return false;
    };
    let diagnostics = diagnostics(&snapshot, &address, &shared.session());
    let fingerprint = fingerprint(&diagnostics);
    sent.insert(Arc::clone(uri), fingerprint) != Some(fingerprint)
}

async fn publish(
    client: &Client,
    shared: &Shared,
    sent: &mut HashMap<Arc<str>, u64>,
    uri: &Arc<str>,
    shown: Shown,
) -> bool {
    let Ok(address) = Url::parse(uri) else {
        return false;
    };
    let snapshot = match shown {
        Shown::Closed => {
            if sent.remove(uri).is_some() {
                client.publish_diagnostics(address, Vec::new(), None).await;
            }
            return false;
        }
        Shown::Findings(snapshot) => snapshot,
    };
    let version = snapshot.version;
    let diagnostics = diagnostics(&snapshot, &address, &shared.session());
    // The next edit can then change the text in place.
    drop(snapshot);
    let fingerprint = fingerprint(&diagnostics);
    let changed = sent.insert(Arc::clone(uri), fingerprint) != Some(fingerprint);
    if changed {
        client
            .publish_diagnostics(address, diagnostics, Some(version))
            .await;
    }
    changed
}
