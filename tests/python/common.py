"""What the checks share: the command under test and the game collections."""

import json
import os
import pathlib
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]


def gainsay():
    """The command: GAINSAY, or the release build."""
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    return os.environ.get("GAINSAY", str(target / "release" / "gainsay"))


def check(text, *options, kind="pgn"):
    """The one file of the report on `text`, and the exit code."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "text.pgn"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        run = subprocess.run(
            [gainsay(), "check", "--format", "json", "--as", kind, *options, str(path)],
            stdout=subprocess.PIPE,
            cwd=folder,
        )
    return json.loads(run.stdout)["files"][0], run.returncode


def game(board, comment):
    """A game that begins from the position, with a comment and no moves."""
    return (
        '[Event "Exercise"]\n[Result "*"]\n[SetUp "1"]\n'
        f'[FEN "{board.fen()}"]\n\n{{{comment}}} *\n\n'
    )


def collections():
    """The game collections that the package pgn-reader ships beside its benchmarks."""
    metadata = json.loads(
        subprocess.run(
            ["cargo", "metadata", "--format-version", "1"],
            stdout=subprocess.PIPE,
            cwd=ROOT,
            check=True,
        ).stdout
    )
    manifest = next(
        package["manifest_path"]
        for package in metadata["packages"]
        if package["name"] == "pgn-reader"
    )
    files = sorted(pathlib.Path(manifest).parent.glob("benches/*.pgn"))
    assert len(files) >= 6, manifest
    return files
