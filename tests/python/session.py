"""A session of pytest-lsp with the server, as an editor opens it."""

from lsprotocol import types
from pytest_lsp import LanguageClient, client_capabilities


async def opened(client: LanguageClient, options=None):
    """Shakes hands and gives what the server says of itself."""
    # What the announced editor can be asked, and the test client does not know of.
    for question in (
        types.CLIENT_REGISTER_CAPABILITY,
        types.WORKSPACE_CODE_LENS_REFRESH,
        types.WORKSPACE_INLAY_HINT_REFRESH,
    ):
        client.feature(question)(lambda *_: None)
    return await client.initialize_session(
        types.InitializeParams(
            capabilities=client_capabilities("visual-studio-code"),
            workspace_folders=None,
            initialization_options=options,
        )
    )
