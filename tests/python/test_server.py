"""The server under a client that nobody here wrote: pytest-lsp (PyPI), which also checks
every message of the server against the protocol's types (lsprotocol)."""

import os
import pathlib

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient

from session import opened

GAINSAY = os.environ.get("GAINSAY", "gainsay")
URI = "file:///book/column.pgn"
# Scholar's mate, played by invented people, with the sign of the mate left out.
COLUMN = """[Event "Café 😀"]
[Site "?"]
[Date "1921.03.??"]
[Round "1"]
[White "Ödön, A"]
[Black "Brück, B"]
[Result "1-0"]

1. e4 e5 2. Bc4 Nc6 {naïve} 3. Qh5 Nf6 (3... g6 4. Qf3 $1 Nf6) 4. Qxf7 1-0
"""


@pytest_lsp.fixture(config=ClientServerConfig(server_command=[GAINSAY, "serve"]))
async def client(lsp_client: LanguageClient):
    result = await opened(lsp_client)
    assert result.server_info is not None and result.server_info.name == "gainsay"
    yield
    await lsp_client.shutdown_session()


def written(client: LanguageClient, text: str = COLUMN, version: int = 1) -> None:
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(
            types.TextDocumentItem(
                uri=URI, language_id="pgn", version=version, text=text
            )
        )
    )


async def diagnostics(client: LanguageClient) -> list[types.Diagnostic]:
    """The findings, pushed or pulled, as the server offers them."""
    report = await client.text_document_diagnostic_async(
        types.DocumentDiagnosticParams(types.TextDocumentIdentifier(URI))
    )
    assert isinstance(report, types.RelatedFullDocumentDiagnosticReport)
    return list(report.items)


@pytest.mark.asyncio
async def test_a_missing_mate_sign_is_found_and_mended(client: LanguageClient):
    written(client)
    found = await diagnostics(client)
    assert [item.code for item in found] == ["missing-mate-sign"]
    place = found[0].range
    actions = await client.text_document_code_action_async(
        types.CodeActionParams(
            text_document=types.TextDocumentIdentifier(URI),
            range=place,
            context=types.CodeActionContext(diagnostics=found),
        )
    )
    mend = next(a for a in actions or [] if a.kind == types.CodeActionKind.QuickFix)
    edit = mend.edit.document_changes[0].edits[0]
    client.text_document_did_change(
        types.DidChangeTextDocumentParams(
            types.VersionedTextDocumentIdentifier(uri=URI, version=2),
            [types.TextDocumentContentChangePartial(text=edit.new_text, range=edit.range)],
        )
    )
    assert await diagnostics(client) == []


@pytest.mark.asyncio
async def test_every_request_is_answered_in_the_protocols_types(client: LanguageClient):
    written(client)
    document = types.TextDocumentIdentifier(URI)
    line = COLUMN.splitlines()[8]
    at = types.Position(8, line.index("Qf3"))
    whole = types.Range(types.Position(0, 0), types.Position(9, 0))

    hover = await client.text_document_hover_async(types.HoverParams(document, at))
    assert hover and "Qf3" in hover.contents.value
    offered = await client.text_document_completion_async(
        types.CompletionParams(document, at)
    )
    assert offered
    symbols = await client.text_document_document_symbol_async(
        types.DocumentSymbolParams(document)
    )
    assert symbols and "Ödön" in symbols[0].name
    folds = await client.text_document_folding_range_async(
        types.FoldingRangeParams(document)
    )
    assert folds
    selections = await client.text_document_selection_range_async(
        types.SelectionRangeParams(document, [at])
    )
    assert selections and selections[0].parent
    tokens = await client.text_document_semantic_tokens_full_async(
        types.SemanticTokensParams(document)
    )
    assert tokens and len(tokens.data) % 5 == 0 and tokens.data
    marks = await client.text_document_document_highlight_async(
        types.DocumentHighlightParams(document, at)
    )
    assert marks
    await client.text_document_inlay_hint_async(types.InlayHintParams(document, whole))
    lenses = await client.text_document_code_lens_async(types.CodeLensParams(document))
    assert lenses
    edits = await client.text_document_formatting_async(
        types.DocumentFormattingParams(
            document, types.FormattingOptions(tab_size=4, insert_spaces=True)
        )
    )
    assert edits is not None
    found = await client.workspace_symbol_async(types.WorkspaceSymbolParams("Ödön"))
    assert found


def test_the_tests_run_the_right_program():
    assert pathlib.Path(GAINSAY).name.startswith("gainsay")
