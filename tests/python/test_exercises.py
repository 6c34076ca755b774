"""Keys of exercises against brute force with python-chess (PyPI, an independent rules library)."""

import json
import subprocess

import chess

import brute
import common

EXERCISES = common.ROOT / "fixtures" / "exercises.json"


def test_the_keys_of_mates_in_two_are_those_of_brute_force(tmp_path):
    tasks = {}
    for exercise in json.loads(EXERCISES.read_text()):
        board = chess.Board(exercise["fen"])
        # More men cost more time than a test may take.
        two = "two" in exercise["task"].lower() and exercise["task"].lower().count("mate") > 0
        if two and board.is_valid() and len(board.piece_map()) <= 12:
            number = int(exercise["id"][1:])
            tasks[number] = board
    page = tmp_path / "book.md"
    side = {chess.WHITE: "White", chess.BLACK: "Black"}
    page.write_text(
        "".join(
            f"**Exercise {number}.** {side[board.turn]} to move and mate in two.\n\n"
            f"```fen\n{board.fen()}\n```\n\n"
            for number, board in tasks.items()
        )
    )
    made = subprocess.run(
        [common.gainsay(), "exercises", "--no-cache", "--format", "json", str(page)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode in (0, 1), made.stderr
    rows = {row["number"]: row for row in json.loads(made.stdout)}
    assert rows.keys() == tasks.keys() and len(rows) >= 20
    for number, board in tasks.items():
        keys = {board.san(first) for first in board.legal_moves if brute.mates_by(board, first, 2)}
        row = rows[number]
        if brute.mates_within(board, 1) or not keys:
            assert row["state"] == "unsound", number
            continue
        assert row["complete"], number
        told = {key.split(" ")[1] for key in row["keys"]}
        assert told == keys, number
        assert (row["state"] == "sound") == (len(keys) == 1), number
