//! From bytes and plain types to the types of the protocol.

use std::ops::Range as Bytes;

use gainsay::Edit;
use gainsay_notation::{Columns, Position as Place};
use serde_json::json;
use tower_lsp::lsp_types::{
    CodeAction, CodeActionKind, CodeLens, Command, CompletionItem, CompletionItemKind,
    CompletionTextEdit, Diagnostic, DocumentChanges, DocumentHighlight, DocumentHighlightKind,
    DocumentSymbol, Documentation, FoldingRange, FoldingRangeKind, HoverContents, InlayHint,
    InlayHintKind, InlayHintLabel, InlayHintTooltip, MarkupContent, MarkupKind, NumberOrString,
    OneOf, OptionalVersionedTextDocumentIdentifier, Position, Range, SelectionRange, SemanticToken,
    SemanticTokenType, SymbolKind, TextDocumentEdit, TextEdit, Url, WorkspaceEdit,
};

use super::{names, session::Session};
use crate::{
    document::Snapshot,
    features::{
        actions::{self, Action},
        completion::{self, Item},
        hints::{Hint, Lens},
        hover::Hover,
        outline::{Fold, Symbol},
        tokens,
    },
    text::Text,
    words::counts,
};

pub(crate) const fn place(position: Position) -> Place {
    Place {
        line: position.line,
        column: position.character,
    }
}

pub(crate) const fn at(place: Place) -> Position {
    Position {
        line: place.line,
        character: place.column,
    }
}

pub(crate) fn position(text: &Text, offset: usize, columns: Columns) -> Position {
    at(text.position(offset, columns))
}

pub(crate) fn range(text: &Text, bytes: &Bytes<usize>, columns: Columns) -> Range {
    Range::new(
        position(text, bytes.start, columns),
        position(text, bytes.end, columns),
    )
}

/// The bytes of a range of the protocol; clamped, and never backwards.
pub(crate) fn bytes(text: &Text, range: Range, columns: Columns) -> Bytes<usize> {
    let start = text.offset(place(range.start), columns);
    let end = text.offset(place(range.end), columns);
    start.min(end)..start.max(end)
}

pub(crate) fn hover(
    snapshot: &Snapshot,
    hover: Hover,
    session: &Session,
) -> tower_lsp::lsp_types::Hover {
    let (kind, value) = if session.markdown {
        (MarkupKind::Markdown, hover.markdown)
    } else {
        (MarkupKind::PlainText, plain(&hover.markdown))
    };
    tower_lsp::lsp_types::Hover {
        contents: HoverContents::Markup(MarkupContent { kind, value }),
        range: Some(range(&snapshot.text, &hover.range, session.columns)),
    }
}

/// Markdown of ours without its marks.
fn plain(markdown: &str) -> String {
    markdown
        .lines()
        .filter(|line| !line.starts_with("```"))
        .map(|line| line.replace("**", "").replace('`', ""))
        .collect::<Vec<_>>()
        .join("\n")
}

fn markdown(session: &Session, markdown: String) -> MarkupContent {
    if session.markdown {
        MarkupContent {
            kind: MarkupKind::Markdown,
            value: markdown,
        }
    } else {
        MarkupContent {
            kind: MarkupKind::PlainText,
            value: plain(&markdown),
        }
    }
}

pub(crate) fn text_edit(text: &Text, edit: &Edit, columns: Columns) -> TextEdit {
    TextEdit::new(range(text, &edit.span, columns), edit.text.clone())
}

/// Edits of one document; without a version it is not open.
pub(crate) fn workspace_edit(
    edits: Vec<TextEdit>,
    uri: &Url,
    version: Option<i32>,
    session: &Session,
) -> WorkspaceEdit {
    if session.versioned_edits {
        WorkspaceEdit {
            document_changes: Some(DocumentChanges::Edits(vec![TextDocumentEdit {
                text_document: OptionalVersionedTextDocumentIdentifier {
                    uri: uri.clone(),
                    version,
                },
                edits: edits.into_iter().map(OneOf::Left).collect(),
            }])),
            ..WorkspaceEdit::default()
        }
    } else {
        WorkspaceEdit {
            changes: Some([(uri.clone(), edits)].into()),
            ..WorkspaceEdit::default()
        }
    }
}

/// Edits of several documents.
pub(crate) fn workspace_edits(
    edits: Vec<(Url, Option<i32>, Vec<TextEdit>)>,
    session: &Session,
) -> WorkspaceEdit {
    let mut all = WorkspaceEdit::default();
    for (uri, version, edits) in edits {
        let one = workspace_edit(edits, &uri, version, session);
        if let Some(DocumentChanges::Edits(one)) = one.document_changes {
            match &mut all.document_changes {
                Some(DocumentChanges::Edits(list)) => list.extend(one),
                _ => all.document_changes = Some(DocumentChanges::Edits(one)),
            }
        }
        if let Some(one) = one.changes {
            all.changes.get_or_insert_default().extend(one);
        }
    }
    all
}

/// A picture as Markdown with the picture in its address.
pub(crate) fn picture(svg: &str) -> String {
    // Editors show what is pointed at in a low window: the words below must fit in as well.
    let svg = svg.replacen("<svg ", "<svg width=\"168\" height=\"168\" ", 1);
    const SAFE: &[u8] = b"-_.~!*'()/:=, ";
    let mut address = String::with_capacity(svg.len() * 3 / 2);
    for &byte in svg.as_bytes() {
        if byte.is_ascii_alphanumeric() || SAFE.contains(&byte) && byte != b' ' {
            address.push(char::from(byte));
        } else {
            use std::fmt::Write as _;
            let _ = write!(address, "%{byte:02X}");
        }
    }
    let address = address.replace('(', "%28").replace(')', "%29");
    format!("![board](data:image/svg+xml,{address})\n\n")
}

/// The kind of an action in the protocol.
pub(crate) fn action_kind(kind: actions::Kind) -> CodeActionKind {
    match kind {
        actions::Kind::QuickFix => CodeActionKind::QUICKFIX,
        actions::Kind::FixAll => CodeActionKind::SOURCE_FIX_ALL,
        actions::Kind::Rewrite => CodeActionKind::REFACTOR_REWRITE,
    }
}

/// An action; `shown` are the diagnostics that the client has at the place.
pub(crate) fn action(
    snapshot: &Snapshot,
    action: &Action,
    shown: &[Diagnostic],
    uri: &Url,
    session: &Session,
) -> CodeAction {
    let text = &snapshot.text;
    let edits = action
        .edits
        .iter()
        .map(|edit| text_edit(text, edit, session.columns))
        .collect();
    let diagnostics: Option<Vec<Diagnostic>> = action.mends.as_ref().map(|(rule, span)| {
        let place = range(text, span, session.columns);
        shown
            .iter()
            .filter(|diagnostic| {
                diagnostic.range == place
                    && diagnostic.code == Some(NumberOrString::String((*rule).to_owned()))
            })
            .cloned()
            .collect()
    });
    CodeAction {
        title: action.title.clone(),
        kind: Some(action_kind(action.kind)),
        diagnostics: diagnostics.filter(|mended| !mended.is_empty()),
        edit: Some(workspace_edit(edits, uri, Some(snapshot.version), session)),
        is_preferred: action.preferred.then_some(true),
        ..CodeAction::default()
    }
}

pub(crate) fn completion(
    snapshot: &Snapshot,
    item: Item,
    at: usize,
    session: &Session,
) -> CompletionItem {
    let place = range(&snapshot.text, &item.range, session.columns);
    CompletionItem {
        kind: Some(match item.kind {
            completion::Kind::Move => CompletionItemKind::METHOD,
            completion::Kind::Number => CompletionItemKind::UNIT,
            completion::Kind::Tag => CompletionItemKind::PROPERTY,
            completion::Kind::Value => CompletionItemKind::VALUE,
            completion::Kind::Rule => CompletionItemKind::ENUM_MEMBER,
            completion::Kind::Word => CompletionItemKind::TEXT,
            completion::Kind::Square => CompletionItemKind::CONSTANT,
        }),
        // Editors sort by this text, and ours is sorted already.
        sort_text: Some(format!("{at:04}")),
        filter_text: Some(item.text.clone()),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(
            place,
            item.text.clone(),
        ))),
        label: item.text,
        detail: (!item.detail.is_empty()).then_some(item.detail),
        documentation: item
            .documentation
            .map(|text| Documentation::MarkupContent(markdown(session, text))),
        ..CompletionItem::default()
    }
}

/// A symbol as a tree.
pub(crate) fn symbol(text: &Text, symbol: Symbol, columns: Columns) -> DocumentSymbol {
    let children: Vec<DocumentSymbol> = symbol
        .children
        .into_iter()
        .map(|child| self::symbol(text, child, columns))
        .collect();
    #[allow(deprecated, reason = "the type has no constructor")]
    DocumentSymbol {
        name: symbol.name,
        detail: (!symbol.detail.is_empty()).then_some(symbol.detail),
        kind: if symbol.game {
            SymbolKind::CLASS
        } else {
            SymbolKind::METHOD
        },
        tags: None,
        deprecated: None,
        range: range(text, &symbol.range, columns),
        selection_range: range(text, &symbol.head, columns),
        children: (!children.is_empty()).then_some(children),
    }
}

pub(crate) fn fold(text: &Text, bytes: &Bytes<usize>, fold: Fold) -> Option<FoldingRange> {
    let start = text.position(bytes.start, Columns::Utf8).line;
    let end = text.position(bytes.end, Columns::Utf8).line;
    (end > start).then(|| FoldingRange {
        start_line: start,
        end_line: end,
        kind: Some(match fold {
            Fold::Comment => FoldingRangeKind::Comment,
            Fold::Game | Fold::SideLine => FoldingRangeKind::Region,
        }),
        ..FoldingRange::default()
    })
}

/// Nested ranges, the smallest first, as the protocol nests them.
pub(crate) fn selection(text: &Text, ranges: &[Bytes<usize>], columns: Columns) -> SelectionRange {
    let mut outer = None;
    for bytes in ranges.iter().rev() {
        outer = Some(Box::new(SelectionRange {
            range: range(text, bytes, columns),
            parent: outer,
        }));
    }
    match outer {
        Some(selection) => *selection,
        None => SelectionRange {
            range: Range::default(),
            parent: None,
        },
    }
}

pub(crate) fn hint(snapshot: &Snapshot, hint: Hint, session: &Session) -> InlayHint {
    InlayHint {
        position: position(&snapshot.text, hint.offset, session.columns),
        label: InlayHintLabel::String(hint.text),
        kind: hint.before.then_some(InlayHintKind::PARAMETER),
        text_edits: None,
        tooltip: hint
            .tooltip
            .map(|text| InlayHintTooltip::MarkupContent(markdown(session, text))),
        padding_left: Some(!hint.before),
        padding_right: Some(hint.before),
        data: None,
    }
}

/// A lens, and a second one where more nodes could settle more.
pub(crate) fn lens(snapshot: &Snapshot, lens: Lens, uri: &Url, columns: Columns) -> Vec<CodeLens> {
    let place = range(&snapshot.text, &lens.range, columns);
    let with = |title: String, command: &str| CodeLens {
        range: place,
        command: Some(Command {
            title,
            command: command.to_owned(),
            arguments: Some(vec![json!(uri), json!(place.start)]),
        }),
        data: None,
    };
    let mut lenses = vec![with(lens.text, names::FINDINGS)];
    if lens.unsettled {
        lenses.push(with(counts::SETTLE_AGAIN.to_owned(), names::SETTLE));
    }
    lenses
}

pub(crate) fn highlight(
    text: &Text,
    bytes: &Bytes<usize>,
    same_piece: bool,
    columns: Columns,
) -> DocumentHighlight {
    DocumentHighlight {
        range: range(text, bytes, columns),
        kind: Some(if same_piece {
            DocumentHighlightKind::WRITE
        } else {
            DocumentHighlightKind::READ
        }),
    }
}

/// The legend of semantic tokens, in the order of [`tokens::Kind`].
pub(crate) const LEGEND: [SemanticTokenType; 11] = [
    SemanticTokenType::PROPERTY,
    SemanticTokenType::STRING,
    SemanticTokenType::NUMBER,
    SemanticTokenType::FUNCTION,
    SemanticTokenType::OPERATOR,
    SemanticTokenType::KEYWORD,
    SemanticTokenType::COMMENT,
    SemanticTokenType::MACRO,
    SemanticTokenType::OPERATOR,
    SemanticTokenType::VARIABLE,
    // The protocol has nothing that is like it; clients colour it by name.
    SemanticTokenType::new("citedMove"),
];

/// Semantic tokens, cut at line ends and told by their distances.
pub(crate) fn semantic_tokens(
    text: &Text,
    words: &[(Bytes<usize>, tokens::Kind)],
    columns: Columns,
) -> Vec<SemanticToken> {
    let mut told = Vec::with_capacity(words.len());
    let mut last = Position::default();
    for (bytes, kind) in words {
        let mut from = bytes.start;
        while from < bytes.end {
            let line = text.lines().line_of(from);
            let end = text
                .lines()
                .line(text.bytes(), line)
                .map_or(bytes.end, |range| range.end)
                .min(bytes.end);
            let next = text
                .lines()
                .line(text.bytes(), line + 1)
                .map_or(bytes.end, |range| range.start);
            if from < end {
                let start = position(text, from, columns);
                let length = position(text, end, columns).character - start.character;
                let delta_line = start.line - last.line;
                told.push(SemanticToken {
                    delta_line,
                    delta_start: if delta_line == 0 {
                        start.character - last.character
                    } else {
                        start.character
                    },
                    length,
                    token_type: *kind as u32,
                    token_modifiers_bitset: 0,
                });
                last = start;
            }
            from = next.max(from + 1);
        }
    }
    told
}
