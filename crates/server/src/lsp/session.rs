//! What client and server agreed upon.

use gainsay_notation::Columns;
use tower_lsp::lsp_types::{ClientCapabilities, InitializeParams, PositionEncodingKind};

/// What the client can do, as far as it matters.
#[derive(Clone, Debug)]
pub(crate) struct Session {
    /// The unit of columns.
    pub(crate) columns: Columns,
    /// It asks for diagnostics itself and can be told to ask again.
    pub(crate) pulls: bool,
    /// It shows Markdown in hovers.
    pub(crate) markdown: bool,
    /// It shows related places of a diagnostic.
    pub(crate) related: bool,
    /// It can be asked for its settings.
    pub(crate) configuration: bool,
    /// It shows progress.
    pub(crate) progress: bool,
    /// It can be told to ask again for inlay hints.
    pub(crate) hint_refresh: bool,
    /// It can be told to ask again for code lenses.
    pub(crate) lens_refresh: bool,
    /// It can watch files for the server.
    pub(crate) watches: bool,
    /// It takes document symbols as a tree.
    pub(crate) symbol_tree: bool,
    /// It takes edits with document versions.
    pub(crate) versioned_edits: bool,
}

impl Default for Session {
    fn default() -> Self {
        Self::of(&InitializeParams::default())
    }
}

impl Session {
    pub(crate) fn of(params: &InitializeParams) -> Self {
        let capabilities: &ClientCapabilities = &params.capabilities;
        let text = capabilities.text_document.as_ref();
        let workspace = capabilities.workspace.as_ref();
        let window = capabilities.window.as_ref();
        let offered = capabilities
            .general
            .as_ref()
            .and_then(|general| general.position_encodings.as_deref())
            .unwrap_or_default();
        let columns = if offered.contains(&PositionEncodingKind::UTF8) {
            Columns::Utf8
        } else if offered.first() == Some(&PositionEncodingKind::UTF32) {
            // Only for who likes it best.
            Columns::Scalars
        } else {
            Columns::Utf16
        };
        let pull_refresh = workspace
            .and_then(|workspace| workspace.diagnostic.as_ref())
            .and_then(|diagnostic| diagnostic.refresh_support)
            .unwrap_or(false);
        Self {
            columns,
            pulls: pull_refresh && text.is_some_and(|text| text.diagnostic.is_some()),
            markdown: text
                .and_then(|text| text.hover.as_ref())
                .and_then(|hover| hover.content_format.as_ref())
                .is_none_or(|formats| {
                    formats.contains(&tower_lsp::lsp_types::MarkupKind::Markdown)
                }),
            related: text
                .and_then(|text| text.publish_diagnostics.as_ref())
                .and_then(|publish| publish.related_information)
                .unwrap_or(false),
            configuration: workspace
                .and_then(|workspace| workspace.configuration)
                .unwrap_or(false),
            progress: window
                .and_then(|window| window.work_done_progress)
                .unwrap_or(false),
            hint_refresh: workspace
                .and_then(|workspace| workspace.inlay_hint.as_ref())
                .and_then(|hints| hints.refresh_support)
                .unwrap_or(false),
            lens_refresh: workspace
                .and_then(|workspace| workspace.code_lens.as_ref())
                .and_then(|lens| lens.refresh_support)
                .unwrap_or(false),
            watches: workspace
                .and_then(|workspace| workspace.did_change_watched_files.as_ref())
                .and_then(|watch| watch.dynamic_registration)
                .unwrap_or(false),
            symbol_tree: text
                .and_then(|text| text.document_symbol.as_ref())
                .and_then(|symbol| symbol.hierarchical_document_symbol_support)
                .unwrap_or(false),
            versioned_edits: workspace
                .and_then(|workspace| workspace.workspace_edit.as_ref())
                .and_then(|edit| edit.document_changes)
                .unwrap_or(false),
        }
    }

    /// The name of the unit of columns in the protocol.
    pub(crate) fn encoding(&self) -> PositionEncodingKind {
        match self.columns {
            Columns::Utf8 => PositionEncodingKind::UTF8,
            Columns::Utf16 => PositionEncodingKind::UTF16,
            Columns::Scalars => PositionEncodingKind::UTF32,
        }
    }
}
