"""Verdicts on endings by Syzygy tables, against python-chess 1.11.2 probing the same tables.

The tables are those of python-chess's source package (four men). The budget is so small that
gainsay builds no tables of its own: what it knows it has from the folder in its settings.
"""

import pathlib
import random
import tempfile
import unittest

import chess
import chess.syzygy

import common

TABLES = common.ROOT / ".venv" / "chess" / "data" / "syzygy" / "regular"
ENDINGS = ["KRvKN", "KQvKR", "KPvKP", "KBPvK", "KRvKP"]
NODES = "2000"


def positions(count):
    """Random legal positions of the endings, White to move or Black, none of them over."""
    dice = random.Random(1895)
    while count:
        white, black = dice.choice(ENDINGS).split("v")
        board = chess.Board(None)
        pieces = white + black.lower()
        for square, symbol in zip(dice.sample(range(64), len(pieces)), pieces):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        board.turn = dice.random() < 0.5
        if board.is_valid() and not board.is_game_over():
            count -= 1
            yield board


class SyzygyTables(unittest.TestCase):
    def verdicts(self, text, settings):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "gainsay.toml"
            path.write_text(settings, "utf-8")
            report, _ = common.check(text, "--nodes", NODES, "--no-cache", "--settings", str(path))
        standing = [claim for claim in report["claims"] if claim["kind"] == "standing"]
        return [claim["verdict"] for claim in standing]

    def test_who_wins_is_told_as_the_tables_tell_it(self):
        boards, expected, text = list(positions(60)), [], ""
        with chess.syzygy.open_tablebase(str(TABLES)) as tables:
            for board in boards:
                told = tables.probe_wdl(board) * (1 if board.turn else -1)
                self.assertIn(told, (-2, 0, 2), board.fen())
                text += common.game(board, "White is winning.")
                expected.append("holds" if told == 2 else "fails")
        self.assertGreater(expected.count("holds"), 10)
        self.assertGreater(expected.count("fails"), 10)
        with_tables = self.verdicts(text, f'syzygy = "{TABLES}"\n')
        self.assertEqual(with_tables, expected)
        # Without them so small a budget leaves some open.
        self.assertNotEqual(self.verdicts(text, ""), expected)


if __name__ == "__main__":
    unittest.main()
