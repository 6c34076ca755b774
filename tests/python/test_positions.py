"""Published positions from python-chess's source package (PyPI sdist `chess` 1.11.2).

* examples/bratko_kopec/bratko-kopec.epd: the 24 positions of Bratko and Kopec (1982) with
  their best moves.
* data/endgame-dm-5.epd: endings of five men with their distance to mate, 0 for a draw.
"""

import json
import pathlib
import subprocess
import tempfile
import unittest

import chess
import chess.engine

import common

PACKAGE = common.ROOT / ".venv" / "chess"


def positions(path):
    for line in (PACKAGE / path).read_text("utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            board = chess.Board(None)
            operations = board.set_epd(line)
            if board.is_valid():
                yield board, operations


class PublishedPositions(unittest.TestCase):
    def test_best_moves_of_bratko_and_kopec(self):
        asked, solved = 0, 0
        with chess.engine.SimpleEngine.popen_uci([common.gainsay(), "uci"], timeout=60) as engine:
            for board, operations in positions("examples/bratko_kopec/bratko-kopec.epd"):
                answer = engine.play(board, chess.engine.Limit(nodes=100_000))
                asked += 1
                solved += answer.move in operations["bm"]
        print(f"Bratko-Kopec at 100,000 nodes: {solved} of {asked}")
        self.assertEqual(asked, 24)
        # 12 when this was written; the number may change with the search, but not fall far.
        self.assertGreaterEqual(solved, 10)

    def test_endings_of_five_men_are_never_told_wrongly(self):
        truths = [
            (board, operations["dm"]) for board, operations in positions("data/endgame-dm-5.epd")
        ]
        self.assertGreater(len(truths), 20)
        games = "".join(common.game(board, "White is winning.") for board, _ in truths)
        report, _ = common.check(games)
        verdicts = [claim["verdict"] for claim in report["claims"] if claim["kind"] == "standing"]
        settled = 0
        for (board, distance), verdict in zip(truths, verdicts, strict=True):
            wins = (distance > 0) == board.turn and distance != 0
            if verdict != "unsettled":
                settled += 1
                self.assertEqual(verdict == "holds", wins, (board.fen(), distance))
        print(f"endings of five men: {settled} of {len(truths)} verdicts settled")
        self.assertGreaterEqual(settled, 10)

    def test_mates_in_endings_of_five_men(self):
        truths = [
            (board, operations["dm"]) for board, operations in positions("data/endgame-dm-5.epd")
        ]
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "five.epd"
            path.write_text("".join(board.fen() + "\n" for board, _ in truths), "ascii")
            run = subprocess.run(
                [common.gainsay(), "prove", "--format", "json", str(path)],
                stdout=subprocess.PIPE,
            )
        answers = json.loads(run.stdout)["positions"]
        held = 0
        for (board, distance), answer in zip(truths, answers, strict=True):
            told = (board.fen(), distance, answer)
            if answer["verdict"] == "holds":
                held += 1
                winner = board.turn if distance > 0 else not board.turn
                self.assertNotEqual(distance, 0, told)
                self.assertEqual(answer["side"], "White" if winner else "Black", told)
                self.assertGreaterEqual(answer["moves"], abs(distance), told)
                if answer["exact"]:
                    self.assertEqual(answer["moves"], abs(distance), told)
            elif answer["verdict"] == "fails":
                self.assertLessEqual(distance, 0, told)
        print(f"endings of five men: {held} mates proved")
        self.assertGreaterEqual(held, 5)


if __name__ == "__main__":
    unittest.main()
