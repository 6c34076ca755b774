//! Messages of the client, each turned into an event or a question to a snapshot.

use std::{
    path::PathBuf,
    sync::{Arc, Mutex, OnceLock, PoisonError, RwLock, mpsc::Sender},
    time::Duration,
};

use gainsay_notation::Format;
use serde_json::{Value, json};
use tokio::sync::oneshot;
use tower_lsp::{
    Client, ClientSocket, LanguageServer, LspService,
    jsonrpc::{Error, Result},
    lsp_types::{
        CodeActionKind, CodeActionOptions, CodeActionOrCommand, CodeActionParams,
        CodeActionProviderCapability, CodeActionResponse, CodeLens, CodeLensOptions,
        CodeLensParams, CompletionOptions, CompletionParams, CompletionResponse, ConfigurationItem,
        DiagnosticOptions, DiagnosticServerCapabilities, DidChangeConfigurationParams,
        DidChangeTextDocumentParams, DidChangeWatchedFilesParams,
        DidChangeWatchedFilesRegistrationOptions, DidChangeWorkspaceFoldersParams,
        DidCloseTextDocumentParams, DidOpenTextDocumentParams, DidSaveTextDocumentParams,
        DocumentDiagnosticParams, DocumentDiagnosticReport, DocumentDiagnosticReportResult,
        DocumentFormattingParams, DocumentHighlight, DocumentHighlightParams,
        DocumentOnTypeFormattingOptions, DocumentOnTypeFormattingParams,
        DocumentRangeFormattingParams, DocumentSymbolParams, DocumentSymbolResponse,
        ExecuteCommandOptions, ExecuteCommandParams, FileSystemWatcher, FoldingRange,
        FoldingRangeParams, FoldingRangeProviderCapability, FullDocumentDiagnosticReport,
        GlobPattern, GotoDefinitionParams, GotoDefinitionResponse, Hover, HoverParams,
        HoverProviderCapability, InitializeParams, InitializeResult, InitializedParams, InlayHint,
        InlayHintParams, Location, MessageType, OneOf, PrepareRenameResponse, ReferenceParams,
        Registration, RelatedFullDocumentDiagnosticReport,
        RelatedUnchangedDocumentDiagnosticReport, RenameOptions, RenameParams, SaveOptions,
        SelectionRange, SelectionRangeParams, SelectionRangeProviderCapability, SemanticTokens,
        SemanticTokensFullOptions, SemanticTokensLegend, SemanticTokensOptions,
        SemanticTokensParams, SemanticTokensRangeParams, SemanticTokensRangeResult,
        SemanticTokensResult, SemanticTokensServerCapabilities, ServerCapabilities, ServerInfo,
        SymbolInformation, SymbolKind, TextDocumentPositionParams, TextDocumentSyncCapability,
        TextDocumentSyncKind, TextDocumentSyncOptions, TextDocumentSyncSaveOptions, TextEdit,
        UnchangedDocumentDiagnosticReport, Url, WorkDoneProgressCancelParams,
        WorkDoneProgressOptions, WorkspaceDiagnosticParams, WorkspaceDiagnosticReport,
        WorkspaceDiagnosticReportResult, WorkspaceDocumentDiagnosticReport, WorkspaceEdit,
        WorkspaceFoldersServerCapabilities, WorkspaceFullDocumentDiagnosticReport,
        WorkspaceServerCapabilities, WorkspaceSymbolParams,
    },
};

use super::{
    commands, convert,
    outbox::Outbox,
    session::Session,
    settings::{FILE_NAME, Layers},
};
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
    layers: Mutex<Layers>,
}

impl Shared {
    pub(crate) fn session(&self) -> Arc<Session> {
        self.session.get().cloned().unwrap_or_default()
    }

    pub(crate) fn options(&self) -> Arc<Options> {
        let options = self.options.read().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(&options)
    }

    fn layers<T>(&self, with: impl FnOnce(&mut Layers) -> T) -> T {
        with(&mut self.layers.lock().unwrap_or_else(PoisonError::into_inner))
    }

    fn set_options(&self, options: Options) {
        let mut place = self.options.write().unwrap_or_else(PoisonError::into_inner);
        *place = Arc::new(options);
    }
}

/// A client that does not answer a question for so long is not waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// The server's end of one session.
#[derive(Clone)]
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
        .custom_method("window/workDoneProgress/cancel", Self::progress_cancel)
        .finish()
    }

    /// The author does not want to wait for the claims that are not settled yet.
    async fn progress_cancel(&self, _: WorkDoneProgressCancelParams) {
        self.tell(Event::GiveUp);
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

    /// Looks at a place of a document.
    async fn look_at<T: Send + 'static>(
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
    async fn open_documents(&self) -> Vec<(Url, Snapshot)> {
        self.ask(|view| view.documents())
            .await
            .unwrap_or_default()
            .into_iter()
            .filter_map(|(uri, snapshot)| Some((Url::parse(&uri).ok()?, snapshot)))
            .collect()
    }

    /// Takes over the layers of settings; gives what is wrong with them.
    fn apply_settings(&self) -> Vec<String> {
        let (options, wrong) = self.shared.layers(|layers| layers.options());
        self.tell(Event::Settings(Arc::new(options.settings.clone())));
        self.shared.set_options(options);
        wrong
    }

    /// Tells the author what is wrong.
    async fn complain(&self, complaints: Vec<String>) {
        for complaint in complaints {
            self.client
                .show_message(MessageType::WARNING, format!("gainsay: {complaint}"))
                .await;
        }
    }

    /// Asks the client for its settings, without waiting for it.
    fn fetch_settings(&self) {
        let this = self.clone();
        tokio::spawn(async move {
            let item = ConfigurationItem {
                scope_uri: None,
                section: Some("gainsay".to_owned()),
            };
            let answer =
                tokio::time::timeout(PATIENCE, this.client.configuration(vec![item])).await;
            if let Ok(Ok(values)) = answer
                && let Some(value) = values.first()
            {
                this.shared.layers(|layers| layers.set_told(value));
                let wrong = this.apply_settings();
                this.complain(wrong).await;
            }
        });
    }

    /// Asks the client to watch the settings file, without waiting for it.
    fn watch_settings(&self) {
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

    fn capabilities(session: &Session) -> ServerCapabilities {
        let no_progress = WorkDoneProgressOptions::default;
        ServerCapabilities {
            position_encoding: Some(session.encoding()),
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
            completion_provider: Some(CompletionOptions {
                trigger_characters: Some(["[", "\"", " ", "."].map(str::to_owned).to_vec()),
                ..CompletionOptions::default()
            }),
            code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
                code_action_kinds: Some(vec![
                    CodeActionKind::QUICKFIX,
                    CodeActionKind::SOURCE_FIX_ALL,
                    CodeActionKind::REFACTOR_REWRITE,
                ]),
                ..CodeActionOptions::default()
            })),
            code_lens_provider: Some(CodeLensOptions {
                resolve_provider: Some(false),
            }),
            document_symbol_provider: Some(OneOf::Left(true)),
            workspace_symbol_provider: Some(OneOf::Left(true)),
            folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
            selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
            document_highlight_provider: Some(OneOf::Left(true)),
            definition_provider: Some(OneOf::Left(true)),
            references_provider: Some(OneOf::Left(true)),
            rename_provider: Some(OneOf::Right(RenameOptions {
                prepare_provider: Some(true),
                work_done_progress_options: no_progress(),
            })),
            document_formatting_provider: Some(OneOf::Left(true)),
            document_range_formatting_provider: Some(OneOf::Left(true)),
            document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
                first_trigger_character: " ".to_owned(),
                more_trigger_character: None,
            }),
            inlay_hint_provider: Some(OneOf::Left(true)),
            semantic_tokens_provider: Some(
                SemanticTokensServerCapabilities::SemanticTokensOptions(SemanticTokensOptions {
                    legend: SemanticTokensLegend {
                        token_types: convert::LEGEND.to_vec(),
                        token_modifiers: Vec::new(),
                    },
                    range: Some(true),
                    full: Some(SemanticTokensFullOptions::Bool(true)),
                    ..SemanticTokensOptions::default()
                }),
            ),
            diagnostic_provider: session.pulls.then(|| {
                DiagnosticServerCapabilities::Options(DiagnosticOptions {
                    identifier: Some("gainsay".to_owned()),
                    inter_file_dependencies: false,
                    workspace_diagnostics: true,
                    work_done_progress_options: no_progress(),
                })
            }),
            execute_command_provider: Some(ExecuteCommandOptions {
                commands: commands::ALL.map(str::to_owned).to_vec(),
                work_done_progress_options: no_progress(),
            }),
            workspace: Some(WorkspaceServerCapabilities {
                workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                    supported: Some(true),
                    change_notifications: Some(OneOf::Left(true)),
                }),
                file_operations: None,
            }),
            ..ServerCapabilities::default()
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
        "text" | "plaintext" => Format::Text,
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
        // The protocol allows one `initialize` a session.
        let _ = self.shared.session.set(session);
        tokio::spawn(
            self.outbox
                .clone()
                .run(self.client.clone(), Arc::clone(&self.shared)),
        );
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
        let mut wrong = self.shared.layers(|layers| {
            layers.set_folders(folders);
            if let Some(options) = &params.initialization_options {
                layers.set_initial(options);
            }
            layers.read_file()
        });
        wrong.extend(self.apply_settings());
        self.complain(wrong).await;
        Ok(InitializeResult {
            capabilities: Self::capabilities(&self.shared.session()),
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
            self.watch_settings();
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
        if self.shared.session().configuration {
            // What comes with the message may be settings of others.
            self.fetch_settings();
            return;
        }
        self.shared
            .layers(|layers| layers.set_told(&params.settings));
        let wrong = self.apply_settings();
        self.complain(wrong).await;
    }

    async fn did_change_watched_files(&self, _: DidChangeWatchedFilesParams) {
        // Only the settings file is watched.
        let mut wrong = self.shared.layers(Layers::read_file);
        wrong.extend(self.apply_settings());
        self.complain(wrong).await;
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        let mut wrong = self.shared.layers(|layers| {
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
            layers.read_file()
        });
        wrong.extend(self.apply_settings());
        self.complain(wrong).await;
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let pictures = self.shared.options().editor.pictures;
        self.look_at(
            params.text_document_position_params,
            move |snapshot, session, offset| {
                let mut hover = features::hover::hover(snapshot, offset)?;
                if let Some(position) = hover.position.as_ref().filter(|_| pictures) {
                    hover.markdown.insert_str(
                        0,
                        &convert::picture(&features::picture::svg(
                            position,
                            shakmaty::Color::White,
                            &hover.marked,
                        )),
                    );
                }
                Some(convert::hover(snapshot, hover, session))
            },
        )
        .await
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        self.look_at(
            params.text_document_position,
            |snapshot, session, offset| {
                let items = features::completion::completion(snapshot, offset)
                    .into_iter()
                    .enumerate()
                    .map(|(at, item)| convert::completion(snapshot, item, at, session))
                    .collect();
                Some(CompletionResponse::Array(items))
            },
        )
        .await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let uri = params.text_document.uri.clone();
        self.look(&params.text_document.uri, move |snapshot, session| {
            let range = convert::bytes(&snapshot.text, params.range, session.columns);
            let wanted = |kind: &CodeActionKind| {
                params.context.only.as_ref().is_none_or(|only| {
                    only.iter().any(|wanted| {
                        let (kind, wanted) = (kind.as_str(), wanted.as_str());
                        kind == wanted || kind.starts_with(&format!("{wanted}."))
                    })
                })
            };
            features::actions::actions(snapshot, &range)
                .iter()
                .filter(|action| wanted(&convert::action_kind(action.kind)))
                .map(|action| {
                    let shown = &params.context.diagnostics;
                    CodeActionOrCommand::CodeAction(convert::action(
                        snapshot, action, shown, &uri, session,
                    ))
                })
                .collect()
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        let uri = params.text_document.uri.clone();
        self.look(&params.text_document.uri, move |snapshot, session| {
            features::hints::lenses(snapshot)
                .into_iter()
                .flat_map(|lens| convert::lens(snapshot, lens, &uri, session.columns))
                .collect()
        })
        .await
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        let uri = params.text_document.uri.clone();
        self.look(&params.text_document.uri, move |snapshot, session| {
            let symbols = features::outline::symbols(snapshot);
            if session.symbol_tree {
                DocumentSymbolResponse::Nested(
                    symbols
                        .into_iter()
                        .map(|symbol| convert::symbol(&snapshot.text, symbol, session.columns))
                        .collect(),
                )
            } else {
                DocumentSymbolResponse::Flat(
                    symbols
                        .into_iter()
                        .map(|symbol| {
                            let range =
                                convert::range(&snapshot.text, &symbol.range, session.columns);
                            game_symbol(symbol.name, Location::new(uri.clone(), range))
                        })
                        .collect(),
                )
            }
        })
        .await
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<Vec<SymbolInformation>>> {
        let open = self.open_documents().await;
        let folders = self.shared.layers(|layers| layers.folders().to_vec());
        let columns = self.shared.session().columns;
        let found = tokio::task::spawn_blocking(move || {
            super::workspace::symbols(&open, &folders, &params.query, columns)
                .into_iter()
                .map(|(name, location)| game_symbol(name, location))
                .collect()
        })
        .await;
        found.map(Some).map_err(|_| Error::internal_error())
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.look(&params.text_document.uri, |snapshot, _| {
            features::outline::folds(snapshot)
                .iter()
                .filter_map(|(bytes, fold)| convert::fold(&snapshot.text, bytes, *fold))
                .collect()
        })
        .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        self.look(&params.text_document.uri, move |snapshot, session| {
            params
                .positions
                .iter()
                .map(|&position| {
                    let offset = snapshot
                        .text
                        .offset(convert::place(position), session.columns);
                    let ranges = features::outline::selections(snapshot, offset);
                    convert::selection(&snapshot.text, &ranges, session.columns)
                })
                .collect()
        })
        .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        self.look_at(
            params.text_document_position_params,
            |snapshot, session, offset| {
                let found = features::links::highlights(snapshot, offset);
                Some(
                    found
                        .iter()
                        .map(|(bytes, same)| {
                            convert::highlight(&snapshot.text, bytes, *same, session.columns)
                        })
                        .collect(),
                )
            },
        )
        .await
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        let uri = at.text_document.uri.clone();
        self.look_at(at, move |snapshot, session, offset| {
            let bytes = features::links::definition(snapshot, offset)?;
            let range = convert::range(&snapshot.text, &bytes, session.columns);
            Some(GotoDefinitionResponse::Scalar(Location::new(uri, range)))
        })
        .await
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let at = params.text_document_position;
        let uri = at.text_document.uri.clone();
        self.look_at(at, move |snapshot, session, offset| {
            let found = features::links::references(snapshot, offset);
            Some(
                found
                    .iter()
                    .map(|bytes| convert::range(&snapshot.text, bytes, session.columns))
                    .map(|range| Location::new(uri.clone(), range))
                    .collect(),
            )
        })
        .await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        self.look_at(params, |snapshot, session, offset| {
            let name = features::links::name(snapshot, offset)?;
            Some(PrepareRenameResponse::RangeWithPlaceholder {
                range: convert::range(&snapshot.text, &name.range, session.columns),
                placeholder: name.value,
            })
        })
        .await
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let name = self
            .look_at(params.text_document_position, |snapshot, _, offset| {
                features::links::name(snapshot, offset)
            })
            .await?;
        let Some(name) = name else {
            return Err(Error::invalid_params(
                "Only the name of a player, an event, a site or an annotator can be renamed.",
            ));
        };
        let open = self.open_documents().await;
        let session = self.shared.session();
        let renamed = tokio::task::spawn_blocking(move || {
            let new = features::links::escaped(&params.new_name);
            let edits = open
                .iter()
                .map(|(uri, snapshot)| {
                    let edits: Vec<TextEdit> = features::links::names(snapshot, &name)
                        .iter()
                        .map(|bytes| convert::range(&snapshot.text, bytes, session.columns))
                        .map(|range| TextEdit::new(range, new.clone()))
                        .collect();
                    (uri.clone(), snapshot.version, edits)
                })
                .filter(|(_, _, edits)| !edits.is_empty())
                .collect();
            convert::workspace_edits(edits, &session)
        })
        .await;
        renamed.map(Some).map_err(|_| Error::internal_error())
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.look(&params.text_document.uri, |snapshot, session| {
            features::format::format(snapshot, &(0..snapshot.text.len()))
                .iter()
                .map(|edit| convert::text_edit(&snapshot.text, edit, session.columns))
                .collect()
        })
        .await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.look(&params.text_document.uri, move |snapshot, session| {
            let range = convert::bytes(&snapshot.text, params.range, session.columns);
            features::format::format(snapshot, &range)
                .iter()
                .map(|edit| convert::text_edit(&snapshot.text, edit, session.columns))
                .collect()
        })
        .await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.look_at(
            params.text_document_position,
            |snapshot, session, offset| {
                let edit = features::format::on_type(snapshot, offset)?;
                Some(vec![convert::text_edit(
                    &snapshot.text,
                    &edit,
                    session.columns,
                )])
            },
        )
        .await
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        let options = self.shared.options();
        self.look(&params.text_document.uri, move |snapshot, session| {
            let range = convert::bytes(&snapshot.text, params.range, session.columns);
            features::hints::hints(snapshot, &range, &options.editor)
                .into_iter()
                .map(|hint| convert::hint(snapshot, hint, session))
                .collect()
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        self.look(&params.text_document.uri, |snapshot, session| {
            let all = 0..snapshot.text.len();
            let words = features::tokens::tokens(snapshot, &all);
            SemanticTokensResult::Tokens(SemanticTokens {
                result_id: None,
                data: convert::semantic_tokens(&snapshot.text, &words, session.columns),
            })
        })
        .await
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        self.look(&params.text_document.uri, move |snapshot, session| {
            let range = convert::bytes(&snapshot.text, params.range, session.columns);
            let words = features::tokens::tokens(snapshot, &range);
            SemanticTokensRangeResult::Tokens(SemanticTokens {
                result_id: None,
                data: convert::semantic_tokens(&snapshot.text, &words, session.columns),
            })
        })
        .await
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let uri = params.text_document.uri.clone();
        let options = self.shared.options();
        let items = self
            .look(&params.text_document.uri, move |snapshot, session| {
                convert::diagnostics(snapshot, &uri, session, &options.editor)
            })
            .await?
            .unwrap_or_default();
        let id = format!("{:016x}", convert::fingerprint(&items));
        Ok(DocumentDiagnosticReportResult::Report(
            if params.previous_result_id.as_ref() == Some(&id) {
                DocumentDiagnosticReport::Unchanged(RelatedUnchangedDocumentDiagnosticReport {
                    related_documents: None,
                    unchanged_document_diagnostic_report: UnchangedDocumentDiagnosticReport {
                        result_id: id,
                    },
                })
            } else {
                DocumentDiagnosticReport::Full(RelatedFullDocumentDiagnosticReport {
                    related_documents: None,
                    full_document_diagnostic_report: FullDocumentDiagnosticReport {
                        result_id: Some(id),
                        items,
                    },
                })
            },
        ))
    }

    async fn workspace_diagnostic(
        &self,
        _: WorkspaceDiagnosticParams,
    ) -> Result<WorkspaceDiagnosticReportResult> {
        let open = self.open_documents().await;
        let session = self.shared.session();
        let options = self.shared.options();
        let items = tokio::task::spawn_blocking(move || {
            open.iter()
                .map(|(uri, snapshot)| {
                    let items = convert::diagnostics(snapshot, uri, &session, &options.editor);
                    WorkspaceDocumentDiagnosticReport::Full(WorkspaceFullDocumentDiagnosticReport {
                        uri: uri.clone(),
                        version: Some(snapshot.version.into()),
                        full_document_diagnostic_report: FullDocumentDiagnosticReport {
                            result_id: Some(format!("{:016x}", convert::fingerprint(&items))),
                            items,
                        },
                    })
                })
                .collect()
        })
        .await
        .map_err(|_| Error::internal_error())?;
        Ok(WorkspaceDiagnosticReportResult::Report(
            WorkspaceDiagnosticReport { items },
        ))
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<Value>> {
        let arguments = &params.arguments;
        match params.command.as_str() {
            commands::BOARD | commands::FEN => {
                let (uri, at) = commands::place(arguments)?;
                let fen_only = params.command == commands::FEN;
                let board = self
                    .look(&uri, move |snapshot, session| {
                        commands::board(snapshot, at, session)
                    })
                    .await?
                    .flatten();
                Ok(board.map(|board| {
                    if fen_only {
                        board.get("fen").cloned().unwrap_or_default()
                    } else {
                        board
                    }
                }))
            }
            commands::FINDINGS => {
                let wanted = arguments.first().and_then(Value::as_str).map(str::to_owned);
                let open = self.open_documents().await;
                let session = self.shared.session();
                let options = self.shared.options();
                let found = tokio::task::spawn_blocking(move || {
                    open.iter()
                        .filter(|(uri, _)| {
                            wanted.as_ref().is_none_or(|wanted| uri.as_str() == wanted)
                        })
                        .map(|(uri, snapshot)| {
                            commands::findings(snapshot, uri, &session, &options.editor)
                        })
                        .collect::<Vec<Value>>()
                })
                .await;
                found
                    .map(|found| Some(json!(found)))
                    .map_err(|_| Error::internal_error())
            }
            commands::COUNTS => {
                let uri = commands::document(arguments)?;
                self.look(&uri, |snapshot, _| commands::counts(snapshot))
                    .await
            }
            commands::SETTLE => {
                let (uri, at) = commands::place(arguments)?;
                let offset = self
                    .look(&uri, move |snapshot, session| {
                        snapshot.text.offset(convert::place(at), session.columns)
                    })
                    .await?;
                if let Some(offset) = offset {
                    self.tell(Event::SettleAgain {
                        uri: key(&uri),
                        offset,
                    });
                }
                Ok(None)
            }
            other => Err(Error::invalid_params(format!(
                "There is no command \"{other}\"."
            ))),
        }
    }
}

fn game_symbol(name: String, location: Location) -> SymbolInformation {
    #[allow(deprecated, reason = "the type has no constructor")]
    SymbolInformation {
        name,
        kind: SymbolKind::CLASS,
        tags: None,
        deprecated: None,
        location,
        container_name: None,
    }
}
