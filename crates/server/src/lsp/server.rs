//! Messages of the client, each turned into an event or a question to a snapshot.

use std::sync::{Arc, mpsc::Sender};

use gainsay_notation::Format;
use serde_json::Value;
use tokio::sync::oneshot;
use tower_lsp::{
    Client, ClientSocket, LanguageServer, LspService,
    jsonrpc::{Error, Result},
    lsp_types::{
        CodeActionParams, CodeActionResponse, CodeLens, CodeLensParams, CompletionParams,
        CompletionResponse, DeleteFilesParams, DidChangeConfigurationParams,
        DidChangeTextDocumentParams, DidChangeWatchedFilesParams, DidChangeWorkspaceFoldersParams,
        DidCloseTextDocumentParams, DidOpenTextDocumentParams, DidSaveTextDocumentParams,
        DocumentDiagnosticParams, DocumentDiagnosticReportResult, DocumentFormattingParams,
        DocumentHighlight, DocumentHighlightParams, DocumentLink, DocumentLinkParams,
        DocumentOnTypeFormattingParams, DocumentRangeFormattingParams, DocumentSymbolParams,
        DocumentSymbolResponse, ExecuteCommandParams, FoldingRange, FoldingRangeParams,
        GotoDefinitionParams, GotoDefinitionResponse, Hover, HoverParams, InitializeParams,
        InitializeResult, InitializedParams, InlayHint, InlayHintParams, Location,
        PrepareRenameResponse, ReferenceParams, RenameFilesParams, RenameParams, SelectionRange,
        SelectionRangeParams, SemanticTokensDeltaParams, SemanticTokensFullDeltaResult,
        SemanticTokensParams, SemanticTokensRangeParams, SemanticTokensRangeResult,
        SemanticTokensResult, ServerInfo, SymbolInformation, TextDocumentPositionParams, TextEdit,
        Url, WorkDoneProgressCancelParams, WorkspaceDiagnosticParams,
        WorkspaceDiagnosticReportResult, WorkspaceEdit, WorkspaceSymbolParams,
    },
};

use super::{
    capabilities::capabilities, convert, outbox::Outbox, progress, session::Session, shared::Shared,
};
use crate::{
    aids::Aids,
    document::{Change, Snapshot},
    state::{self, Event, View},
};

/// The server's end of one session.
#[derive(Clone)]
pub(crate) struct Server {
    pub(super) client: Client,
    pub(super) shared: Arc<Shared>,
    events: Sender<Event>,
    outbox: Outbox,
}

impl Server {
    /// A service for one client; `events` gets the state's queue.
    pub(crate) fn service(
        aids: Arc<dyn Aids>,
        events: &mut Option<Sender<Event>>,
    ) -> (LspService<Self>, ClientSocket) {
        let workers = std::thread::available_parallelism()
            .map_or(1, std::num::NonZero::get)
            .saturating_sub(1)
            .clamp(1, 8);
        let shared = Arc::new(Shared::new(Arc::clone(&aids)));
        let outbox = Outbox::new(Arc::clone(&shared));
        let sender = state::start(workers, &aids, outbox.clone());
        *events = Some(sender.clone());
        LspService::build(|client| Self {
            client,
            shared,
            events: sender,
            outbox,
        })
        .custom_method("window/workDoneProgress/cancel", Self::progress_cancel)
        .finish()
    }

    /// The author does not want to wait for the claims that are not settled yet, or for
    /// the files that are not checked yet.
    async fn progress_cancel(&self, params: WorkDoneProgressCancelParams) {
        self.tell(if progress::is_of_files(&params.token) {
            Event::LeaveFiles
        } else {
            Event::GiveUp
        });
    }

    pub(super) fn tell(&self, event: Event) {
        // The state is gone only when the session is over.
        let _ = self.events.send(event);
    }

    /// Asks the state; `None` when the session is over.
    pub(super) async fn ask<T: Send + 'static>(
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
    pub(super) async fn look<T: Send + 'static>(
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

    /// Looks at a place of a document.
    pub(super) async fn look_at<T: Send + 'static>(
        &self,
        at: TextDocumentPositionParams,
        look: impl FnOnce(&Snapshot, &Session, usize) -> Option<T> + Send + 'static,
    ) -> Result<Option<T>> {
        self.look(&at.text_document.uri, move |snapshot, session| {
            let offset = snapshot
                .text
                .offset(convert::place(at.position), session.columns);
            look(snapshot, session, offset)
        })
        .await
        .map(Option::flatten)
    }

    /// All open documents as they are after all edits that came before.
    pub(super) async fn open_documents(&self) -> Vec<(Url, Snapshot)> {
        self.ask(|view| view.documents())
            .await
            .unwrap_or_default()
            .into_iter()
            .filter_map(|(uri, snapshot)| Some((Url::parse(&uri).ok()?, snapshot)))
            .collect()
    }
}

/// An address as the state knows it.
pub(super) fn key(uri: &Url) -> Arc<str> {
    Arc::from(uri.as_str())
}

/// The format of a document, by the name of its language or, failing that, of its file.
fn format(language: &str, uri: &Url) -> Format {
    match language {
        "pgn" => Format::Pgn,
        "epd" | "fen" => Format::Epd,
        "markdown" => Format::Markdown,
        "text" | "plaintext" => Format::Text,
        "latex" | "tex" => Format::Latex,
        "asciidoc" | "adoc" => Format::AsciiDoc,
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
        self.shared.agree(session);
        tokio::spawn(self.outbox.clone().run(self.client.clone()));
        self.configure_first(&params).await;
        Ok(InitializeResult {
            capabilities: capabilities(&self.shared.session()),
            server_info: Some(ServerInfo {
                name: "gainsay".to_owned(),
                version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            }),
        })
    }

    async fn initialized(&self, _: InitializedParams) {
        let session = self.shared.session();
        if session.configuration {
            self.fetch_settings();
        }
        if session.watches {
            self.watch_files();
        }
    }

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
        self.see(&document.uri);
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
        self.shared.painted.forget(&params.text_document.uri);
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        self.settings_changed(params).await;
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        self.files_changed(params).await;
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        self.folders_changed(params).await;
    }

    async fn did_rename_files(&self, params: RenameFilesParams) {
        for file in params.files {
            self.tell(Event::Rename {
                old: file.old_uri.into(),
                new: file.new_uri.into(),
            });
        }
        self.survey_again([]);
    }

    async fn did_delete_files(&self, params: DeleteFilesParams) {
        for file in params.files {
            self.tell(Event::Delete {
                uri: file.uri.into(),
            });
        }
        self.survey_again([]);
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        self.answer_hover(params).await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        self.answer_completion(params).await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        self.answer_code_action(params).await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.answer_code_lens(params).await
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        self.answer_document_symbol(params).await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<Vec<SymbolInformation>>> {
        self.answer_symbol(params).await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.answer_folding_range(params).await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.answer_selection_range(params).await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        self.answer_document_highlight(params).await
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        self.answer_goto_definition(params).await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.answer_document_link(params).await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        self.answer_references(params).await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        self.answer_prepare_rename(params).await
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        self.answer_rename(params).await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.answer_formatting(params).await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.answer_range_formatting(params).await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.answer_on_type_formatting(params).await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        self.answer_inlay_hint(params).await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        self.answer_semantic_tokens_full(params).await
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        self.answer_semantic_tokens_delta(params).await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        self.answer_semantic_tokens_range(params).await
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        self.answer_diagnostic(params).await
    }

    async fn workspace_diagnostic(
        &self,
        params: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        self.answer_workspace_diagnostic(params).await
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        self.execute(params).await
    }
}
