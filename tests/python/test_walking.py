"""Stepping with the server's board against python-chess: along games and along cited lines."""

import os
import random

import chess
import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient

from session import opened

GAINSAY = os.environ.get("GAINSAY", "gainsay")
URI = "file:///book/walks.pgn"
POSITIONS = 200
LONG = 5


@pytest_lsp.fixture(config=ClientServerConfig(server_command=[GAINSAY, "serve"]))
async def client(lsp_client: LanguageClient):
    # What is cited is shown whether or not claims are settled.
    await opened(lsp_client, {"claims": False})
    yield
    await lsp_client.shutdown_session()


def walks():
    """Positions of random games with a random line from each: SAN, and the FEN behind it."""
    dice = random.Random(1848)
    found = []
    while len(found) < POSITIONS:
        board = chess.Board()
        for _ in range(dice.randrange(4, 80)):
            if board.is_game_over(claim_draw=True):
                break
            board.push(dice.choice(list(board.legal_moves)))
        start, line = board.copy(stack=False), []
        while len(line) < LONG and any(board.legal_moves):
            move = dice.choice(list(board.legal_moves))
            number = f"{board.fullmove_number}" + ("." if board.turn else "...")
            name = f"{number}{board.san(move)}"
            board.push(move)
            line.append((name, board.fen(en_passant="legal")))
        if len(line) == LONG:
            found.append((start, line))
    return found


def written(start, line):
    """A game of the line, with the same line cited before its first move."""
    words = [
        name if at == 0 or "..." not in name else name.split("...")[1]
        for at, (name, _) in enumerate(line)
    ]
    moves = " ".join(words)
    return f'[SetUp "1"]\n[FEN "{start.fen()}"]\n[Result "*"]\n\n{{One way is {moves} here.}} {moves} *\n\n'


@pytest.mark.asyncio
async def test_steps_lead_where_python_chess_gets(client: LanguageClient):
    all_walks = walks()
    text = "".join(written(*walk) for walk in all_walks)
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(
            types.TextDocumentItem(uri=URI, language_id="pgn", version=1, text=text)
        )
    )

    async def ask(command, *arguments):
        return await client.workspace_execute_command_async(
            types.ExecuteCommandParams(command=command, arguments=[URI, *arguments])
        )

    def read(answer):
        """A test client may know answers as objects or as tables."""
        return answer if isinstance(answer, dict) else answer._asdict()

    lines = text.splitlines()
    rows = [at for at, line in enumerate(lines) if line.startswith("{")]
    assert len(rows) == POSITIONS
    cited = played = 0
    for row, (start, line) in zip(rows, all_walks):
        first = line[0][0]
        place = lines[row].index(first)
        behind = lines[row].index("}") + 2
        for column, kind in ((place, "cited"), (behind, "played")):
            at = {"line": row, "character": column + first.rindex(".") + 1}
            here = read(await ask("gainsay.board", at))
            assert here["fen"] == line[0][1], (kind, start.fen(), line)
            assert here["move"] == first
            for name, fen in line[1:]:
                step = read(await ask("gainsay.step", at, "next"))
                assert (step["move"], step["fen"]) == (name, fen), (kind, start.fen(), line)
                ranks = step["text"][:8]
                board = chess.Board(fen)
                for rank, drawn in enumerate(ranks):
                    squares = drawn[3::2]
                    for file, piece in enumerate(squares):
                        stands = board.piece_at(chess.square(file, 7 - rank))
                        assert piece == (stands.symbol() if stands else piece)
                        assert stands or piece in "·:"
                at = step["position"]
                at = at if isinstance(at, dict) else at._asdict()
            assert await ask("gainsay.step", at, "next") is None, kind
            for name, fen in reversed(line[:-1]):
                step = read(await ask("gainsay.step", at, "previous"))
                assert (step["move"], step["fen"]) == (name, fen), (kind, start.fen(), line)
                at = step["position"]
                at = at if isinstance(at, dict) else at._asdict()
            if kind == "cited":
                cited += 1
            else:
                played += 1
    assert (cited, played) == (POSITIONS, POSITIONS)
