"""The truths of fixtures/claims, checked with python-chess alone."""

import pathlib
import unittest

import claims

FOLDER = pathlib.Path(__file__).resolve().parents[2] / "fixtures" / "claims"


class Truths(unittest.TestCase):
    def test_every_fact_is_what_python_chess_says(self):
        paths = sorted(str(path) for path in FOLDER.glob("*.txt"))
        self.assertGreaterEqual(len(paths), 2)
        self.assertEqual(claims.check(paths), 0)

    def test_a_wrong_truth_would_be_noticed(self):
        board = claims.boards("", "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6")[0]
        self.assertTrue(claims.fact(board, "mates:1"))
        self.assertFalse(claims.fact(board, "mate@Bxf7"))


if __name__ == "__main__":
    unittest.main()
