"""Drive `gainsay uci` with python-chess's UCI client (chess.engine, python-chess 1.11.2).

The client holds the protocol to its letter: it fails on a move that is not legal, on a
line of moves that cannot be played and on an answer that does not come.
"""

import unittest

import chess
import chess.engine

import common

# Seconds that a command may take on a busy machine.
PATIENCE = 60


class Uci(unittest.TestCase):
    def setUp(self):
        self.engine = chess.engine.SimpleEngine.popen_uci(
            [common.gainsay(), "uci"], timeout=PATIENCE
        )
        self.addCleanup(self.engine.close)

    def mates(self):
        for line in (common.ROOT / "fixtures" / "mates.epd").read_text("utf-8").splitlines():
            if not line.startswith("#"):
                board = chess.Board(None)
                operations = board.set_epd(line)
                yield board, operations["dm"], operations["bm"], operations["id"]

    def test_introduces_itself(self):
        self.assertTrue(self.engine.id["name"].startswith("gainsay"))
        for name in ("Hash", "Threads", "MultiPV", "Ponder", "UCI_Chess960"):
            self.assertIn(name, self.engine.options)
        self.engine.configure({"Hash": 16})
        self.engine.ping()

    def test_mates_of_published_problems(self):
        """`go mate N`: the distance is the published one, and the line mates."""
        asked = 0
        for board, distance, best, name in self.mates():
            if distance > 3:
                continue
            with self.subTest(name):
                info = self.engine.analyse(board, chess.engine.Limit(mate=distance))
                self.assertEqual(info["score"].relative, chess.engine.Mate(distance))
                self.assertIn(info["pv"][0], best)
                end = board.copy()
                for move in info["pv"]:
                    self.assertIn(move, end.legal_moves)
                    end.push(move)
                self.assertTrue(end.is_checkmate())
                asked += 1
        self.assertGreater(asked, 5)

    def test_plays_a_legal_game_against_itself(self):
        board = chess.Board()
        while not board.is_game_over(claim_draw=True) and board.ply() < 40:
            # The client refuses moves that are not legal.
            board.push(self.engine.play(board, chess.engine.Limit(nodes=2000)).move)
        self.assertGreater(board.ply(), 20)

    def test_plays_whole_games_with_pondering(self):
        """Two engines, each thinking on the other's time; half of the guesses come true, since
        both search alike, and the others are called off."""
        other = chess.engine.SimpleEngine.popen_uci([common.gainsay(), "uci"], timeout=PATIENCE)
        self.addCleanup(other.close)
        other.configure({"Hash": 16})
        for opening in ("e2e4", "g2g4"):
            board = chess.Board()
            board.push_uci(opening)
            players = {chess.WHITE: self.engine, chess.BLACK: other}
            expected = {}
            hits = misses = 0
            clock = {chess.WHITE: 3.0, chess.BLACK: 2.0}
            while not board.is_game_over(claim_draw=True) and board.ply() < 300:
                side = board.turn
                limit = chess.engine.Limit(
                    white_clock=clock[chess.WHITE],
                    black_clock=clock[chess.BLACK],
                    white_inc=0.01,
                    black_inc=0.01,
                )
                result = players[side].play(board, limit, ponder=True)
                guess = expected.get(side)
                if guess is not None and board.move_stack:
                    hits += guess == board.peek()
                    misses += guess != board.peek()
                expected[side] = result.ponder
                board.push(result.move)
                clock[side] = max(clock[side] * 0.97, 0.0)
            self.assertTrue(board.is_game_over(claim_draw=True), board.fen())
            self.assertGreater(hits, 3)
            self.assertGreater(misses, 0)
        self.engine.ping()
        other.ping()

    def test_mate_that_is_not_there(self):
        info = self.engine.analyse(chess.Board(), chess.engine.Limit(mate=2))
        self.assertFalse(info["score"].is_mate())
        self.assertLess(info["nodes"], 200_000)

    def test_several_lines_are_legal_and_in_order(self):
        board = chess.Board("r1bqkbnr/pppp1ppp/2n5/4p3/2B1P3/5N2/PPPP1PPP/RNBQK2R b KQkq - 3 3")
        infos = self.engine.analyse(board, chess.engine.Limit(nodes=30000), multipv=4)
        self.assertEqual(len({info["pv"][0] for info in infos}), 4)
        scores = [info["score"].relative.score(mate_score=100000) for info in infos]
        self.assertEqual(scores, sorted(scores, reverse=True))

    def test_clocks_and_chosen_moves(self):
        board = chess.Board()
        limit = chess.engine.Limit(white_clock=10, black_clock=10, white_inc=0.1, black_inc=0.1)
        chosen = [chess.Move.from_uci("a2a3"), chess.Move.from_uci("h2h3")]
        result = self.engine.play(board, limit, root_moves=chosen)
        self.assertIn(result.move, chosen)

    def test_stops(self):
        with self.engine.analysis(chess.Board()) as analysis:
            for info in analysis:
                if info.get("depth", 0) >= 3:
                    break
            analysis.stop()
            self.assertIn(analysis.wait().move, chess.Board().legal_moves)
        self.engine.ping()

    def test_shuffled_starting_positions(self):
        board = chess.Board.from_chess960_pos(400)
        for _ in range(12):
            board.push(self.engine.play(board, chess.engine.Limit(nodes=1000)).move)
        self.assertEqual(board.ply(), 12)


if __name__ == "__main__":
    unittest.main()
