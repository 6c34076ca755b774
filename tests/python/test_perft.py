"""Published counts of move paths from python-chess's source package (PyPI sdist `chess`
1.11.2, examples/perft): as many moves as published can be written down for gainsay, which
finds nothing wrong with any, and no other move that a piece could make on an empty board.

The counts of longer paths are for crates/proof/src/mate/perft.rs.
"""

import pathlib
import unittest

import chess

import common

PACKAGE = common.ROOT / ".venv" / "chess" / "examples" / "perft"
# Of the 6,838 positions of random.perft every so many are looked at.
EVERY = 20


def published(name):
    """Boards with their counts of one move and of two."""
    epd = None
    counts = []
    for line in [*(PACKAGE / name).read_text("ascii").splitlines(), "id end"]:
        word, _, rest = line.partition(" ")
        if word == "id" and epd is not None:
            yield chess.Board(epd + " 0 1", chess960=True), counts[:2]
            epd = None
        elif word == "epd":
            epd, counts = rest, []
        elif word == "perft":
            counts.append(int(rest.split()[1]))


def positions():
    """Those of standard chess that a game can reach."""
    for name, every in (("tricky.perft", 1), ("random.perft", EVERY)):
        for at, (board, counts) in enumerate(published(name)):
            standard = chess.Board(board.fen())
            if at % every == 0 and standard.is_valid() and standard.fen() == board.fen():
                yield standard, counts


def moves_of(board, written):
    """A game with each of the written first moves, the first as main line."""
    number = f"{board.fullmove_number}{'.' if board.turn else '...'} "
    first, *others = written
    text = number + first + "".join(f" ({number}{other})" for other in others)
    return f'[Event "Moves"]\n[Result "*"]\n[SetUp "1"]\n[FEN "{board.fen()}"]\n\n{text} *\n\n'


def impossible(board):
    """Moves of pieces to where they could go on an empty board, that are not legal and that
    no spelling can mean."""
    legal = {(move.from_square, move.to_square) for move in board.legal_moves}
    for square in chess.SquareSet(board.occupied_co[board.turn]):
        piece = board.piece_at(square)
        if piece.piece_type in (chess.PAWN, chess.KING):
            continue
        empty = chess.Board(None)
        empty.set_piece_at(square, piece)
        for to in empty.attacks(square):
            if (square, to) not in legal:
                take = "x" if board.piece_at(to) else ""
                yield f"{piece.symbol().upper()}{chess.square_name(square)}{take}{chess.square_name(to)}"


class Perft(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.positions = list(positions())

    def test_every_move_can_be_played(self):
        text, plies = "", 0
        for board, (one, *_) in self.positions:
            written = [board.san(move) for move in board.legal_moves]
            self.assertEqual(len(written), one, board.fen())
            text += moves_of(board, written)
            plies += one
        report, code = common.check(text, "--no-claims")
        self.assertEqual((code, report["findings"]), (0, []))
        self.assertEqual(report["plies"], plies)
        print(f"{plies} moves of {len(self.positions)} positions", end=" ")
        self.assertGreater(plies, 9_000)

    def test_every_reply_can_be_played(self):
        """Of the tricky positions, where pins, castling and en passant matter."""
        text, replies = "", 0
        for board, (_, two) in list(self.positions)[:14]:
            for move in board.legal_moves:
                after = board.copy(stack=False)
                after.push(move)
                written = [after.san(reply) for reply in after.legal_moves]
                if written:
                    text += moves_of(after, written)
                two -= len(written)
                replies += len(written)
            self.assertEqual(two, 0, board.fen())
        report, code = common.check(text, "--no-claims")
        self.assertEqual((code, report["findings"]), (0, []))
        self.assertEqual(report["plies"], replies)
        self.assertGreater(replies, 5_000)

    def test_no_other_move_can_be_played(self):
        text, wrong = "", 0
        for board, _ in self.positions:
            written = list(impossible(board))
            if written:
                text += moves_of(board, written)
                wrong += len(written)
        report, code = common.check(text, "--no-claims")
        self.assertEqual(code, 1)
        told = [finding["rule"] for finding in report["findings"]]
        self.assertEqual(told.count("illegal-move"), wrong)
        self.assertGreater(wrong, 5_000)


if __name__ == "__main__":
    unittest.main()
