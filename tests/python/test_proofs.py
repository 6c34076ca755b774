"""Proofs of mate, written by the command, against python-chess 1.11.2 as the rules.

The positions are the published mates of fixtures/mates.epd, and what is left of them after
the first move, where the side to move is the one that is mated.
"""

import io
import json
import pathlib
import subprocess
import tempfile
import unittest

import chess
import chess.pgn

import common
import rewalk


def starts():
    """The positions and the number of moves, negative where the side to move is mated."""
    for line in (common.ROOT / "fixtures" / "mates.epd").read_text("utf-8").splitlines():
        if not line.startswith("#"):
            board = chess.Board(None)
            operations = board.set_epd(line)
            yield board.copy(), operations["dm"]
            board.push(operations["bm"][0])
            yield board, 1 - operations["dm"]


def run(folder, *arguments):
    return subprocess.run(
        [common.gainsay(), *arguments], stdout=subprocess.PIPE, cwd=folder, text=True
    )


class Proofs(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.starts = list(starts())
        cls.folder = tempfile.TemporaryDirectory()
        path = pathlib.Path(cls.folder.name)
        fens = "".join(board.fen() + "\n" for board, _ in cls.starts)
        (path / "mates.epd").write_text(fens, "ascii")
        # All of them are mates by White.
        prove = ("prove", "mates.epd", "--side", "white", "--format")
        cls.json = run(path, *prove, "json", "--proof", "proofs")
        cls.pgn = run(path, *prove, "pgn")
        cls.proofs = rewalk.proofs((path / "proofs").read_text("ascii"))

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_the_side_and_the_number_of_moves_are_right(self):
        self.assertEqual(self.json.returncode, 0)
        answers = json.loads(self.json.stdout)["positions"]
        for (board, moves), answer in zip(self.starts, answers, strict=True):
            mates = board.turn if moves > 0 else not board.turn
            expected = ("holds", abs(moves), True, "White" if mates else "Black")
            told = tuple(answer[name] for name in ("verdict", "moves", "exact", "side"))
            self.assertEqual(told, expected, board.fen())

    def test_the_side_that_mates_is_found(self):
        """Without a side, a small part of the budget must show who mates."""
        answers = run(self.folder.name, "prove", "mates.epd", "--format", "json")
        found = 0
        for (board, moves), answer in zip(
            self.starts, json.loads(answers.stdout)["positions"], strict=True
        ):
            if answer["verdict"] == "unsettled" and moves < 0:
                continue
            found += 1
            self.assertEqual((answer["verdict"], answer["side"]), ("holds", "White"))
            self.assertGreaterEqual(answer["moves"], abs(moves), board.fen())
            if answer["exact"]:
                self.assertEqual(answer["moves"], abs(moves), board.fen())
        self.assertGreaterEqual(found, len(self.starts) * 9 // 10)

    def test_every_proof_is_sound(self):
        for (board, moves), proof in zip(self.starts, self.proofs, strict=True):
            self.assertEqual(rewalk.walk(proof), abs(moves), board.fen())
        sound = run(self.folder.name, "verify", "proofs")
        self.assertEqual(sound.returncode, 0)
        self.assertEqual(len(sound.stdout.splitlines()), len(self.proofs))

    def test_what_is_tampered_with_is_rejected(self):
        for proof in self.proofs:
            head, position, moves, *steps = proof.splitlines()
            with self.assertRaises(Exception):
                rewalk.walk("\n".join([head, position, moves + "0", *steps]))
            broken = proof.replace(f"\n{moves}\n", f"\n{moves}0\n")
            path = pathlib.Path(self.folder.name) / "broken"
            path.write_text(broken, "ascii")
            self.assertEqual(run(self.folder.name, "verify", "broken").returncode, 1)

    def test_games_show_every_defence(self):
        text = io.StringIO(self.pgn.stdout)
        references = 0
        for board, moves in self.starts:
            game = chess.pgn.read_game(text)
            self.assertEqual(game.errors, [])
            self.assertEqual(game.board().epd(), board.epd())
            mates = board.turn if moves > 0 else not board.turn
            self.assertEqual(game.headers["Result"], "1-0" if mates else "0-1")
            plies = 2 * moves - 1 if moves > 0 else -2 * moves
            self.assertEqual(game.end().ply() - game.ply(), plies, board.fen())
            self.assertTrue(game.end().board().is_checkmate())
            references += self.complete(game, mates)
        self.assertIsNone(chess.pgn.read_game(text))
        self.assertGreater(references, 5)

    def complete(self, game, mates):
        """Every defence is there and ends in mate or is written out elsewhere."""
        references = 0
        open_nodes = [game]
        while open_nodes:
            node = open_nodes.pop()
            board = node.board()
            played = [after.move for after in node.variations]
            if board.turn != mates:
                self.assertEqual(sorted(map(str, played)), sorted(map(str, board.legal_moves)))
                self.assertTrue(played or board.is_checkmate())
            elif not played:
                self.assertRegex(node.comment, r"^as\s+after\s+\d+\.")
                references += 1
            else:
                self.assertEqual(len(played), 1)
            open_nodes.extend(node.variations)
        return references

    def test_nothing_is_found_in_the_games(self):
        report, code = common.check(self.pgn.stdout)
        self.assertEqual((code, report["findings"]), (0, []))
        self.assertEqual(report["games"], len(self.starts))

    def test_every_mate_in_a_file_of_positions_carries_a_proof(self):
        """`gainsay check --proof` on `dm`, which is negative where the side is mated."""
        path = pathlib.Path(self.folder.name)
        lines = [f"{board.epd()} dm {moves};\n" for board, moves in self.starts if moves]
        (path / "claims.epd").write_text("".join(lines), "ascii")
        checked = run(path, "check", "--proof", "claimed", "claims.epd")
        self.assertEqual(checked.returncode, 0, checked.stdout)
        claimed = rewalk.proofs((path / "claimed").read_text("ascii"))
        for line, proof in zip(lines, claimed, strict=True):
            self.assertEqual(rewalk.walk(proof), abs(int(line.split()[-1][:-1])), line)
        self.assertEqual(run(path, "verify", "claimed").returncode, 0)


if __name__ == "__main__":
    unittest.main()
