//! The only part that knows the types of the Language Server Protocol.

mod answers;
mod capabilities;
mod commands;
mod configuring;
mod convert;
mod diagnostics;
mod frames;
mod message;
mod names;
mod outbox;
mod painted;
mod parts;
mod places;
mod progress;
mod server;
mod session;
mod settings;
mod shared;
mod survey;
mod transport;
mod walker;
mod workspace;

use std::{
    future::Future,
    pin::Pin,
    sync::Arc,
    task::{Context, Poll},
};

use tokio::{
    io::{AsyncRead, AsyncWrite},
    sync::Notify,
};
use tower_lsp::{ExitedError, LspService, jsonrpc};

use server::Server;

use crate::aids::Aids;

/// How a session ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The client shut the server down first, as it should: exit code 0.
    Properly,
    /// The client went away or exited without shutting down: exit code 1.
    Abruptly,
}

/// Why the server could not run.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The threads could not be made.
    #[error("cannot start the threads of the language server: {0}")]
    Threads(#[from] std::io::Error),
}

/// Serves one client on standard input and output until it exits; `aids` makes the
/// solvers.
///
/// Makes its own threads and blocks the caller.
///
/// # Errors
///
/// When the threads cannot be made.
pub fn serve(aids: Arc<dyn Aids>) -> Result<Ended, ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()?;
    let ended = runtime.block_on(serve_on(tokio::io::stdin(), tokio::io::stdout(), aids));
    // A read of standard input that is under way cannot be called off.
    runtime.shutdown_background();
    Ok(ended)
}

/// Serves one client on any pair of streams until it exits or the input ends. Must be
/// called on a tokio runtime.
pub async fn serve_on<I, O>(input: I, output: O, aids: Arc<dyn Aids>) -> Ended
where
    I: AsyncRead + Unpin,
    O: AsyncWrite,
{
    let mut events = None;
    let (service, socket) = Server::service(aids, &mut events);
    let socket = parts::Watched {
        socket,
        parts: Arc::clone(&service.inner().shared.parts),
    };
    let shut_down = Arc::new(std::sync::atomic::AtomicBool::new(false));
    let exit = Arc::new(Notify::new());
    let service = Watched {
        inner: service,
        exit: Arc::clone(&exit),
        shut_down: Arc::clone(&shut_down),
    };
    tokio::select! {
        () = transport::serve(input, output, socket, service) => {}
        () = exit.notified() => {}
    }
    if let Some(events) = events {
        // The state may be gone already.
        let _ = events.send(crate::state::Event::End);
    }
    if shut_down.load(std::sync::atomic::Ordering::Relaxed) {
        Ended::Properly
    } else {
        Ended::Abruptly
    }
}

/// Watches for the end of the session, which the library leaves to the stream.
struct Watched {
    inner: LspService<Server>,
    exit: Arc<Notify>,
    shut_down: Arc<std::sync::atomic::AtomicBool>,
}

type Answer = Result<Option<jsonrpc::Response>, ExitedError>;

impl tower_service::Service<jsonrpc::Request> for Watched {
    type Response = Option<jsonrpc::Response>;
    type Error = ExitedError;
    type Future = Pin<Box<dyn Future<Output = Answer> + Send>>;

    fn poll_ready(&mut self, cx: &mut Context<'_>) -> Poll<Result<(), Self::Error>> {
        self.inner.poll_ready(cx)
    }

    fn call(&mut self, request: jsonrpc::Request) -> Self::Future {
        match request.method() {
            "exit" => self.exit.notify_one(),
            "shutdown" => self
                .shut_down
                .store(true, std::sync::atomic::Ordering::Relaxed),
            _ => {}
        }
        let id = request.id().cloned();
        let unknown = request.method().starts_with("$/").then(|| {
            let error = jsonrpc::Error::method_not_found();
            id.map(|id| jsonrpc::Response::from_error(id, error))
        });
        let call = self.inner.call(mended(request));
        Box::pin(async move {
            // The library gives no answer to requests of this kind that it does not know;
            // the protocol wants one.
            let answer = call.await?;
            Ok(answer.or_else(|| unknown.flatten()))
        })
    }
}

/// Mends what the library would refuse or not see: some clients write `"params": null`
/// where the protocol has no parameters, and the library looks for the client's
/// `workspace.diagnostics` under a name that is not the protocol's.
fn mended(request: jsonrpc::Request) -> jsonrpc::Request {
    let nothing = request.params() == Some(&serde_json::Value::Null);
    if !nothing && request.method() != "initialize" {
        return request;
    }
    let (method, id, params) = request.into_parts();
    let mut plain = jsonrpc::Request::build(method);
    if let Some(id) = id {
        plain = plain.id(id);
    }
    let Some(mut params) = params.filter(|_| !nothing) else {
        return plain.finish();
    };
    if let Some(workspace) = params
        .pointer_mut("/capabilities/workspace")
        .and_then(serde_json::Value::as_object_mut)
        && let Some(diagnostics) = workspace.get("diagnostics").cloned()
    {
        workspace.entry("diagnostic").or_insert(diagnostics);
    }
    plain.params(params).finish()
}
