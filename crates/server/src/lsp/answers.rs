//! Answers about a document: what stands at a place, what can be done there, how it is
//! shown.

use tower_lsp::{
    jsonrpc::Result,
    lsp_types::{
        CodeActionKind, CodeActionOrCommand, CodeActionParams, CodeActionResponse, CodeLens,
        CodeLensParams, CompletionParams, CompletionResponse, DocumentDiagnosticParams,
        DocumentDiagnosticReport, DocumentDiagnosticReportResult, DocumentFormattingParams,
        DocumentOnTypeFormattingParams, DocumentRangeFormattingParams,
        FullDocumentDiagnosticReport, Hover, HoverParams, InlayHint, InlayHintParams, MessageType,
        Range, RelatedFullDocumentDiagnosticReport, RelatedUnchangedDocumentDiagnosticReport,
        SemanticToken, SemanticTokens, SemanticTokensDeltaParams, SemanticTokensFullDeltaResult,
        SemanticTokensParams, SemanticTokensRangeParams, SemanticTokensRangeResult,
        SemanticTokensResult, TextEdit, UnchangedDocumentDiagnosticReport, Url,
    },
};

use super::{
    convert,
    diagnostics::{diagnostics, result_id},
    server::Server,
};
use crate::{features, words::session as words};

impl Server {
    pub(super) async fn answer_diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let uri = params.text_document.uri.clone();
        let items = self
            .look(&params.text_document.uri, move |snapshot, session| {
                diagnostics(snapshot, &uri, session)
            })
            .await?
            .unwrap_or_default();
        let id = result_id(&items);
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

    pub(super) async fn answer_hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        self.look_at(
            params.text_document_position_params,
            |snapshot, session, offset| {
                let mut hover = features::hover::hover(snapshot, offset)?;
                let pictures = snapshot.options.editor.pictures;
                if let Some(position) = hover.position.as_ref().filter(|_| pictures) {
                    let picture =
                        convert::picture(&features::board::picture(position, &hover.marked));
                    hover.markdown = features::hover::with_picture(&hover.markdown, &picture);
                }
                Some(convert::hover(snapshot, hover, session))
            },
        )
        .await
    }

    pub(super) async fn answer_completion(
        &self,
        params: CompletionParams,
    ) -> Result<Option<CompletionResponse>> {
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

    pub(super) async fn answer_code_action(
        &self,
        params: CodeActionParams,
    ) -> Result<Option<CodeActionResponse>> {
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
            let mut actions = features::actions::actions(snapshot, &range);
            if wanted(&CodeActionKind::SOURCE_FIX_ALL) {
                let most = match params.context.only {
                    Some(_) => usize::MAX,
                    None => features::actions::UNASKED,
                };
                actions.extend(features::actions::fix_all(snapshot, most));
            }
            actions
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

    pub(super) async fn answer_code_lens(
        &self,
        params: CodeLensParams,
    ) -> Result<Option<Vec<CodeLens>>> {
        let uri = params.text_document.uri.clone();
        self.look(&params.text_document.uri, move |snapshot, session| {
            features::hints::lenses(snapshot)
                .into_iter()
                .flat_map(|lens| convert::lens(snapshot, lens, &uri, session.columns))
                .collect()
        })
        .await
    }

    pub(super) async fn answer_formatting(
        &self,
        params: DocumentFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        self.format(&params.text_document.uri, None).await
    }

    pub(super) async fn answer_range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let range = Some(params.range);
        self.format(&params.text_document.uri, range).await
    }

    /// The edits that format a document or a part of it. Where there are none although the games
    /// are not in order, the author is told why.
    async fn format(&self, uri: &Url, range: Option<Range>) -> Result<Option<Vec<TextEdit>>> {
        let formatted = self.look(uri, move |snapshot, session| {
            let text = &snapshot.text;
            let range = range.map_or(0..text.len(), |range| {
                convert::bytes(text, range, session.columns)
            });
            let edits = features::format::format(snapshot, &range);
            let doubtful = edits.is_empty().then(|| {
                let start = features::format::doubtful(snapshot, &range)?;
                Some(convert::position(text, start, session.columns).line + 1)
            });
            let edits: Vec<TextEdit> = edits
                .iter()
                .map(|edit| convert::text_edit(text, edit, session.columns))
                .collect();
            (edits, doubtful.flatten())
        });
        let Some((edits, doubtful)) = formatted.await? else {
            return Ok(None);
        };
        if let Some(line) = doubtful {
            let message = words::not_formatted(line);
            self.client.show_message(MessageType::INFO, message).await;
        }
        Ok(Some(edits))
    }

    pub(super) async fn answer_on_type_formatting(
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

    pub(super) async fn answer_inlay_hint(
        &self,
        params: InlayHintParams,
    ) -> Result<Option<Vec<InlayHint>>> {
        self.look(&params.text_document.uri, move |snapshot, session| {
            let range = convert::bytes(&snapshot.text, params.range, session.columns);
            features::hints::hints(snapshot, &range, &snapshot.options.editor)
                .into_iter()
                .map(|hint| convert::hint(snapshot, hint, session))
                .collect()
        })
        .await
    }

    pub(super) async fn answer_semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let uri = &params.text_document.uri;
        let data = self.all_tokens(uri).await?;
        Ok(data.map(|data| SemanticTokensResult::Tokens(self.shared.painted.give(uri, data))))
    }

    pub(super) async fn answer_semantic_tokens_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let uri = &params.text_document.uri;
        let data = self.all_tokens(uri).await?;
        let painted = &self.shared.painted;
        Ok(data.map(|data| painted.change(uri, &params.previous_result_id, data)))
    }

    /// The semantic tokens of a whole document.
    async fn all_tokens(&self, uri: &Url) -> Result<Option<Vec<SemanticToken>>> {
        self.look(uri, |snapshot, session| {
            let all = 0..snapshot.text.len();
            let words = features::tokens::tokens(snapshot, &all);
            convert::semantic_tokens(&snapshot.text, &words, session.columns)
        })
        .await
    }

    pub(super) async fn answer_semantic_tokens_range(
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
}
