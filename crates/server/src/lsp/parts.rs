//! Answers in parts: `$/progress` with partial results.
//!
//! The library has one way out for notifications and another for answers, and an answer
//! could overtake its last part; a client then throws the part away. So an answer waits
//! until its parts are on their way.

use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use futures_util::{StreamExt as _, stream::Inspect};
use serde_json::{Value, json};
use tokio::sync::Notify;
use tower_lsp::{
    Client, ClientSocket, Loopback,
    jsonrpc::Request,
    lsp_types::{NumberOrString, notification::Notification},
};

/// Parts that were given to the library and are not on their way yet, by token.
#[derive(Debug, Default)]
pub(crate) struct Parts {
    waiting: Mutex<HashMap<String, usize>>,
    moved: Notify,
}

/// `$/progress` with a part of an answer.
struct Part;

impl Notification for Part {
    type Params = Value;
    const METHOD: &'static str = "$/progress";
}

impl Parts {
    fn held(&self) -> MutexGuard<'_, HashMap<String, usize>> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Sends parts, and waits until they are on their way.
    pub(super) async fn send(&self, client: &Client, token: &NumberOrString, parts: Vec<Value>) {
        let name = json!(token).to_string();
        *self.held().entry(name.clone()).or_default() += parts.len();
        // A client may take its question back meanwhile.
        let forgotten = Forgotten(self, &name);
        for part in parts {
            let part = json!({"token": token, "value": part});
            client.send_notification::<Part>(part).await;
        }
        loop {
            let moved = self.moved.notified();
            if self.held().get(&name).is_none_or(|left| *left == 0) {
                break;
            }
            moved.await;
        }
        drop(forgotten);
    }

    /// Takes note of a message that is on its way.
    fn see(&self, message: &Request) {
        if message.method() != Part::METHOD {
            return;
        }
        let token = message.params().and_then(|params| params.get("token"));
        let token = token.map(Value::to_string).unwrap_or_default();
        if let Some(left) = self.held().get_mut(&token) {
            *left = left.saturating_sub(1);
            self.moved.notify_waiters();
        }
    }
}

struct Forgotten<'p>(&'p Parts, &'p str);

impl Drop for Forgotten<'_> {
    fn drop(&mut self) {
        self.0.held().remove(self.1);
    }
}

/// The library's socket, watched for parts.
pub(super) struct Watched {
    pub(super) socket: ClientSocket,
    pub(super) parts: Arc<Parts>,
}

type See = Box<dyn FnMut(&Request) + Send>;

impl Loopback for Watched {
    type RequestStream = Inspect<<ClientSocket as Loopback>::RequestStream, See>;
    type ResponseSink = <ClientSocket as Loopback>::ResponseSink;

    fn split(self) -> (Self::RequestStream, Self::ResponseSink) {
        let (requests, responses) = self.socket.split();
        let parts = self.parts;
        let see: See = Box::new(move |message| parts.see(message));
        (requests.inspect(see), responses)
    }
}
