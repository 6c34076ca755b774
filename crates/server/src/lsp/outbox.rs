//! What is shown to the author: the last set of findings of each document.
//!
//! The state puts snapshots in and never waits; one task takes them out as fast as the
//! client reads. A snapshot that a newer one overtook is never sent.

use std::{
    collections::{BTreeMap, HashMap},
    sync::{Arc, Mutex, PoisonError},
};

use tokio::sync::Notify;
use tower_lsp::{Client, lsp_types::Url};

use super::{convert, server::Shared};
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
        let mut sent: HashMap<Arc<str>, u64> = HashMap::new();
        loop {
            self.inner.filled.notified().await;
            let waiting = self.take();
            for (uri, shown) in waiting.shown {
                publish(&client, &shared, &mut sent, &uri, shown).await;
            }
        }
    }
}

async fn publish(
    client: &Client,
    shared: &Shared,
    sent: &mut HashMap<Arc<str>, u64>,
    uri: &Arc<str>,
    shown: Shown,
) {
    let Ok(address) = Url::parse(uri) else {
        return;
    };
    let snapshot = match shown {
        Shown::Closed => {
            if sent.remove(uri).is_some() {
                client.publish_diagnostics(address, Vec::new(), None).await;
            }
            return;
        }
        Shown::Findings(snapshot) => snapshot,
    };
    let version = snapshot.version;
    let diagnostics = {
        let session = shared.session();
        let options = shared.options();
        // Dropping the snapshot here lets the next edit change the text in place.
        let snapshot = snapshot;
        convert::diagnostics(&snapshot, &address, &session, &options.editor)
    };
    let fingerprint = convert::fingerprint(&diagnostics);
    if sent.insert(Arc::clone(uri), fingerprint) != Some(fingerprint) {
        client
            .publish_diagnostics(address, diagnostics, Some(version))
            .await;
    }
}
