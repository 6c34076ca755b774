//! Answers that lead to places: symbols, folds, selections, definitions, references,
//! names.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use gainsay_notation::SectionKind;
use tower_lsp::{
    jsonrpc::{Error, Result},
    lsp_types::{
        DocumentHighlight, DocumentHighlightParams, DocumentLink, DocumentLinkParams,
        DocumentSymbolParams, DocumentSymbolResponse, FoldingRange, FoldingRangeParams,
        GotoDefinitionParams, GotoDefinitionResponse, Location, MessageType, PrepareRenameResponse,
        ReferenceParams, RenameParams, SelectionRange, SelectionRangeParams, SymbolInformation,
        SymbolKind, TextDocumentPositionParams, TextEdit, WorkspaceEdit, WorkspaceSymbolParams,
    },
};

use super::{
    convert,
    server::Server,
    workspace::{self, FileEdits, Workspace},
};
use crate::{
    features,
    words::{files, session as words},
};

impl Server {
    pub(super) async fn answer_document_symbol(
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

    pub(super) async fn answer_symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<Vec<SymbolInformation>>> {
        let workspace = self.workspace().await;
        // A client that looks for something else takes its question back.
        let stop = RaisedWhenDropped::default();
        let stopped = Arc::clone(&stop.0);
        let found = tokio::task::spawn_blocking(move || {
            workspace::symbols(&workspace, &params.query, &stopped)
                .into_iter()
                .map(|(name, location)| game_symbol(name, location))
                .collect()
        })
        .await;
        found.map(Some).map_err(|_| Error::internal_error())
    }

    pub(super) async fn answer_folding_range(
        &self,
        params: FoldingRangeParams,
    ) -> Result<Option<Vec<FoldingRange>>> {
        self.look(&params.text_document.uri, |snapshot, _| {
            features::outline::folds(snapshot)
                .iter()
                .filter_map(|(bytes, fold)| convert::fold(&snapshot.text, bytes, *fold))
                .collect()
        })
        .await
    }

    pub(super) async fn answer_selection_range(
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

    pub(super) async fn answer_document_highlight(
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

    pub(super) async fn answer_goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        let uri = at.text_document.uri.clone();
        self.look_at(at, move |snapshot, session, offset| {
            let bytes = features::links::definition(snapshot, offset).or_else(|| {
                let place = features::place::Place::at(snapshot, offset)?;
                let prose = place.section.kind == SectionKind::Prose;
                prose.then(|| features::pointers::definition(&place))?
            })?;
            let range = convert::range(&snapshot.text, &bytes, session.columns);
            Some(GotoDefinitionResponse::Scalar(Location::new(uri, range)))
        })
        .await
    }

    pub(super) async fn answer_document_link(
        &self,
        params: DocumentLinkParams,
    ) -> Result<Option<Vec<DocumentLink>>> {
        let uri = params.text_document.uri.clone();
        self.look(&params.text_document.uri, move |snapshot, session| {
            let pointers = features::pointers::pointers(snapshot).into_iter();
            let links = pointers.map(|(words, target)| {
                let mut address = uri.clone();
                let place = convert::position(&snapshot.text, target, session.columns);
                // Editors take such a fragment as a line, from 1.
                address.set_fragment(Some(&format!("L{}", place.line + 1)));
                DocumentLink {
                    range: convert::range(&snapshot.text, &words, session.columns),
                    target: Some(address),
                    tooltip: None,
                    data: None,
                }
            });
            links.collect()
        })
        .await
    }

    pub(super) async fn answer_references(
        &self,
        params: ReferenceParams,
    ) -> Result<Option<Vec<Location>>> {
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

    pub(super) async fn answer_prepare_rename(
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

    pub(super) async fn answer_rename(
        &self,
        params: RenameParams,
    ) -> Result<Option<WorkspaceEdit>> {
        let name = self
            .look_at(params.text_document_position, |snapshot, _, offset| {
                features::links::name(snapshot, offset)
            })
            .await?;
        let Some(name) = name else {
            return Err(Error::invalid_params(words::NO_NAME));
        };
        if features::links::escaped(&params.new_name).trim().is_empty() {
            return Err(Error::invalid_params(words::EMPTY_NAME));
        }
        let workspace = self.workspace().await;
        let session = self.shared.session();
        let renamed = tokio::task::spawn_blocking(move || {
            let new = features::links::escaped(&params.new_name);
            let mut edits: Vec<FileEdits> = workspace
                .open
                .iter()
                .map(|(uri, snapshot)| {
                    let edits: Vec<TextEdit> = features::links::names(snapshot, &name)
                        .iter()
                        .map(|bytes| convert::range(&snapshot.text, bytes, session.columns))
                        .map(|range| TextEdit::new(range, new.clone()))
                        .collect();
                    (uri.clone(), Some(snapshot.version), edits)
                })
                .filter(|(_, _, edits)| !edits.is_empty())
                .collect();
            let (closed, unread) = workspace::rename_in_closed(&workspace, &name, &new);
            edits.extend(closed);
            (convert::workspace_edits(edits, &session), unread)
        })
        .await;
        let (edit, unread) = renamed.map_err(|_| Error::internal_error())?;
        if unread > 0 {
            let message = files::name_stays(unread);
            self.client
                .show_message(MessageType::WARNING, message)
                .await;
        }
        Ok(Some(edit))
    }

    async fn workspace(&self) -> Workspace {
        Workspace {
            open: self.open_documents().await,
            folders: self.shared.layers(|layers| layers.folders()),
            columns: self.shared.session().columns,
        }
    }
}

/// A flag that goes up when a request is answered or taken back.
#[derive(Default)]
struct RaisedWhenDropped(Arc<AtomicBool>);

impl Drop for RaisedWhenDropped {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
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
