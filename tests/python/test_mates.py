"""Published mates (fixtures/mates.epd): the command settles what brute force confirms.

python-chess 1.11.2 supplies the rules; the search below is exhaustive and shares nothing
with gainsay.
"""

import json
import pathlib
import subprocess
import tempfile
import unittest

import chess

import brute
import common

# Python is slow: longer mates are confirmed in Rust only (crates/proof/tests/mate).
LONGEST = 3


def problems():
    for line in (common.ROOT / "fixtures" / "mates.epd").read_text("utf-8").splitlines():
        if not line.startswith("#"):
            board = chess.Board(None)
            operations = board.set_epd(line)
            yield line, board, operations["dm"], operations["bm"], operations["id"]


class PublishedMates(unittest.TestCase):
    def test_brute_force_confirms_them(self):
        confirmed = 0
        for _, board, moves, key, source in problems():
            self.assertTrue(board.is_valid(), source)
            if moves > LONGEST:
                continue
            keys = [move for move in board.legal_moves if brute.mates_by(board, move, moves)]
            self.assertEqual(keys, key, source)
            self.assertFalse(brute.mates_within(board, moves - 1), source)
            confirmed += 1
        self.assertGreaterEqual(confirmed, 20)

    def test_every_first_move_is_judged_as_brute_force_does(self):
        """`gainsay prove --moves`: the key alone mates, and what is said to escape does."""
        boards = [board for _, board, moves, _, _ in problems() if moves <= LONGEST]
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "problems.epd"
            path.write_text("".join(board.fen() + "\n" for board in boards), "ascii")
            arguments = ("prove", "--moves", "--format", "json", str(path))
            run = subprocess.run([common.gainsay(), *arguments], stdout=subprocess.PIPE)
        self.assertEqual(run.returncode, 0)
        answers = json.loads(run.stdout)["positions"]
        for board, answer in zip(boards, answers, strict=True):
            firsts = answer["first_moves"]
            self.assertEqual(firsts["within"], answer["moves"])
            told = {board.parse_san(first["move"]): first for first in firsts["moves"]}
            self.assertEqual(set(told), set(board.legal_moves))
            for move, first in told.items():
                mates = brute.mates_by(board, move, answer["moves"])
                self.assertEqual(first["verdict"], "holds" if mates else "fails", first)
                board.push(move)
                if first["escape"] is None:
                    self.assertTrue(mates or board.is_stalemate(), first)
                else:
                    board.push_san(first["escape"])
                    self.assertFalse(brute.mates_within(board, answer["moves"] - 1), first)
                    board.pop()
                board.pop()

    def test_the_command_settles_them_as_positions(self):
        lines = [line for line, *_ in problems()]
        report, code = common.check("\n".join(lines) + "\n", kind="epd")
        self.assertEqual((code, report["findings"]), (0, []))
        # The mate and the key of every line.
        self.assertGreaterEqual(len(report["claims"]), 2 * len(lines))
        for claim in report["claims"]:
            self.assertEqual(claim["verdict"], "holds", claim)

    def test_wrong_numbers_are_found_in_positions(self):
        """One move fewer than it takes: every line must be told."""
        lines = [
            line.replace(f"dm {moves};", f"dm {moves - 1};")
            for line, _, moves, _, _ in problems()
        ]
        report, code = common.check("\n".join(lines) + "\n", kind="epd")
        self.assertEqual(code, 1)
        told = {finding["game"] for finding in report["findings"] if finding["severity"] == "error"}
        self.assertEqual(told, set(range(1, len(lines) + 1)))

    def test_the_command_settles_them_as_comments(self):
        words = ["no", "one", "two", "three", "four", "five"]
        right, wrong = [], []
        for _, board, moves, _, _ in problems():
            side = "White" if board.turn else "Black"
            right.append(common.game(board, f"{side} mates in {words[moves]}."))
            wrong.append(common.game(board, f"{side} mates in {words[moves - 1]}."))
        report, code = common.check("".join(right))
        self.assertEqual(code, 0, report["findings"])
        self.assertEqual([claim["verdict"] for claim in report["claims"]], ["holds"] * len(right))
        report, code = common.check("".join(wrong))
        self.assertEqual(code, 1)
        self.assertEqual(
            [(finding["rule"], finding["game"]) for finding in report["findings"]],
            [("false-mate", number) for number in range(1, len(wrong) + 1)],
        )
        for claim in report["claims"]:
            self.assertEqual(claim["verdict"], "fails")
            self.assertTrue(claim["evidence"], claim)


if __name__ == "__main__":
    unittest.main()
