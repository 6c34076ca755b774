//! Messages of the client, each turned into an event or a question to a snapshot.

use std::sync::{Arc, OnceLock, PoisonError, RwLock, mpsc::Sender};

use gainsay_notation::Format;
use serde_json::Value;
use tokio::sync::oneshot;
use tower_lsp::{
    Client, ClientSocket, LanguageServer, LspService,
    jsonrpc::{Error, Result},
    lsp_types::{
        DidChangeConfigurationParams, DidChangeTextDocumentParams, DidCloseTextDocumentParams,
        DidOpenTextDocumentParams, DidSaveTextDocumentParams, Hover, HoverParams,
        HoverProviderCapability, InitializeParams, InitializeResult, InitializedParams,
        MessageType, SaveOptions, ServerCapabilities, ServerInfo, TextDocumentSyncCapability,
        TextDocumentSyncKind, TextDocumentSyncOptions, TextDocumentSyncSaveOptions, Url,
    },
};

use super::{convert, outbox::Outbox, session::Session};
use crate::{
    document::{Change, Snapshot},
    features,
    options::Options,
    state::{self, Event, View},
};

/// What the parts of a session share. Both change rarely and are read often.
#[derive(Debug, Default)]
pub(crate) struct Shared {
    session: OnceLock<Arc<Session>>,
    options: RwLock<Arc<Options>>,
}

impl Shared {
    pub(crate) fn session(&self) -> Arc<Session> {
        self.session.get().cloned().unwrap_or_default()
    }

    pub(crate) fn options(&self) -> Arc<Options> {
        let options = self.options.read().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(&options)
    }

    fn set_options(&self, options: Options) {
        let mut place = self.options.write().unwrap_or_else(PoisonError::into_inner);
        *place = Arc::new(options);
    }
}

/// The server's end of one session.
pub(crate) struct Server {
    client: Client,
    shared: Arc<Shared>,
    events: Sender<Event>,
    outbox: Outbox,
}

impl Server {
    /// A service for one client; `events` gets the state's queue.
    pub(crate) fn service(events: &mut Option<Sender<Event>>) -> (LspService<Self>, ClientSocket) {
        let workers = std::thread::available_parallelism()
            .map_or(1, std::num::NonZero::get)
            .saturating_sub(1)
            .clamp(1, 8);
        let outbox = Outbox::default();
        let sender = state::start(workers, outbox.clone());
        *events = Some(sender.clone());
        LspService::build(|client| Self {
            client,
            shared: Arc::default(),
            events: sender,
            outbox,
        })
        .finish()
    }

    fn tell(&self, event: Event) {
        // The state is gone only when the session is over.
        let _ = self.events.send(event);
    }

    /// Asks the state; `None` when the session is over.
    async fn ask<T: Send + 'static>(
        &self,
        question: impl FnOnce(&View<'_>) -> T + Send + 'static,
    ) -> Option<T> {
        let (answer, answered) = oneshot::channel();
        self.tell(Event::Ask(Box::new(move |view| {
            // A request that was cancelled needs no answer.
            if !answer.is_closed() {
                let _ = answer.send(question(view));
            }
        })));
        answered.await.ok()
    }

    /// Looks at a document as it is after all edits that came before, on another thread.
    /// `None` where the document is not open.
    async fn look<T: Send + 'static>(
        &self,
        uri: &Url,
        look: impl FnOnce(&Snapshot, &Session) -> T + Send + 'static,
    ) -> Result<Option<T>> {
        let uri = uri.as_str().to_owned();
        let snapshot = self.ask(move |view| view.document(&uri)).await.flatten();
        let Some(snapshot) = snapshot else {
            return Ok(None);
        };
        let session = self.shared.session();
        match tokio::task::spawn_blocking(move || look(&snapshot, &session)).await {
            Ok(seen) => Ok(Some(seen)),
            Err(_) => Err(Error::internal_error()),
        }
    }

    /// Takes over settings; what is wrong with them is told to the author.
    async fn take_settings(&self, value: &Value) {
        let value = value.get("gainsay").unwrap_or(value);
        let mut options = self.shared.options().as_ref().clone();
        let wrong = options.take(value);
        self.tell(Event::Settings(Arc::new(options.settings.clone())));
        self.shared.set_options(options);
        for complaint in wrong {
            self.client
                .show_message(MessageType::WARNING, format!("gainsay: {complaint}"))
                .await;
        }
    }
}

fn key(uri: &Url) -> Arc<str> {
    Arc::from(uri.as_str())
}

/// The format of a document, by the name of its language or, failing that, of its file.
fn format(language: &str, uri: &Url) -> Format {
    match language {
        "pgn" => Format::Pgn,
        "epd" | "fen" => Format::Epd,
        "markdown" => Format::Markdown,
        _ => Format::from_path(std::path::Path::new(uri.path())).unwrap_or_default(),
    }
}

// Each handler of a notification sends its event before it first awaits, which keeps
// events in the order of the messages.
#[tower_lsp::async_trait]
impl LanguageServer for Server {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let session = Arc::new(Session::of(&params));
        self.tell(Event::Columns(session.columns));
        let encoding = session.encoding();
        // The protocol allows one `initialize` a session.
        let _ = self.shared.session.set(session);
        tokio::spawn(
            self.outbox
                .clone()
                .run(self.client.clone(), Arc::clone(&self.shared)),
        );
        if let Some(options) = &params.initialization_options {
            self.take_settings(options).await;
        }
        Ok(InitializeResult {
            capabilities: ServerCapabilities {
                position_encoding: Some(encoding),
                text_document_sync: Some(TextDocumentSyncCapability::Options(
                    TextDocumentSyncOptions {
                        open_close: Some(true),
                        change: Some(TextDocumentSyncKind::INCREMENTAL),
                        save: Some(TextDocumentSyncSaveOptions::SaveOptions(SaveOptions {
                            include_text: Some(false),
                        })),
                        ..TextDocumentSyncOptions::default()
                    },
                )),
                hover_provider: Some(HoverProviderCapability::Simple(true)),
                ..ServerCapabilities::default()
            },
            server_info: Some(ServerInfo {
                name: "gainsay".to_owned(),
                version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            }),
        })
    }

    async fn initialized(&self, _: InitializedParams) {}

    async fn shutdown(&self) -> Result<()> {
        Ok(())
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        let document = params.text_document;
        self.tell(Event::Open {
            uri: key(&document.uri),
            version: document.version,
            format: format(&document.language_id, &document.uri),
            text: document.text,
        });
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        let changes = params
            .content_changes
            .into_iter()
            .map(|change| Change {
                range: change
                    .range
                    .map(|range| convert::place(range.start)..convert::place(range.end)),
                text: change.text,
            })
            .collect();
        self.tell(Event::Change {
            uri: key(&params.text_document.uri),
            version: params.text_document.version,
            changes,
        });
    }

    async fn did_save(&self, _: DidSaveTextDocumentParams) {
        // What is on disk is what is open: nothing changes.
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        self.tell(Event::Close {
            uri: key(&params.text_document.uri),
        });
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        self.take_settings(&params.settings).await;
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        self.look(&at.text_document.uri, move |snapshot, session| {
            let offset = snapshot
                .text
                .offset(convert::place(at.position), session.columns);
            features::hover::hover(snapshot, offset)
                .map(|hover| convert::hover(snapshot, hover, session))
        })
        .await
        .map(Option::flatten)
    }
}
