"""Compare gainsay's ending tables with what python-chess's source package holds.

    pip download --no-binary :all: --no-deps chess==1.11.2
    tar xzf chess-1.11.2.tar.gz
    cargo build --release -p gainsay-proof --example endings
    python tests/python/check_endings.py chess-1.11.2 target/release/examples/endings

Needs python-chess 1.11.2 installed. Sources of the truths:

* data/endgame-dm-4.epd: three- and four-man positions with distances to mate;
* data/endgame.epd: positions with the verdicts of Syzygy tables, those of up to four men;
* data/gaviota: the Gaviota tables of all three-man endings, read by python-chess: every
  position that is no mirror image of another;
* data/syzygy/regular: the Syzygy tables of all four-man endings, read by python-chess. (For
  every position: `endings syzygy FOLDER`, which takes an hour.)

Exits with 1 when anything differs.
"""

import os
import random
import subprocess
import sys

import chess
import chess.gaviota
import chess.syzygy


class Answer:
    """One answer of gainsay: who wins, and in how many plies."""

    def __init__(self, word):
        # Positions that no game can reach (a check that cannot arise) count as illegal.
        self.illegal = word == "illegal"
        self.known = word != "none" and not self.illegal
        self.sign = 0 if word == "draw" or not self.known else -1 if word[0] == "-" else 1
        self.plies = int(word) if self.sign else 0
        # As moves of the mating side, with its sign.
        self.moves = (abs(self.plies) + (self.sign > 0)) // 2 * self.sign


def probe(program, boards):
    text = "".join(board.fen() + "\n" for board in boards)
    run = subprocess.run(
        [program, "probe"], input=text, stdout=subprocess.PIPE, text=True, check=True
    )
    words = run.stdout.split()
    assert len(words) == len(boards), "an answer is missing"
    return [Answer(word) for word in words]


def from_epd(path, truth):
    """The positions of up to four men, with the operation `truth`."""
    boards, truths = [], []
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            if line.strip() and not line.startswith("#"):
                board = chess.Board(None)
                operations = board.set_epd(line)
                if board.is_valid() and chess.popcount(board.occupied) <= 4:
                    boards.append(board)
                    truths.append(operations[truth])
    return boards, truths


def every(men):
    """All positions of White's king and a man against the bare king, but mirror images."""
    squares = range(64)
    for king in squares:
        file, rank = chess.square_file(king), chess.square_rank(king)
        if file > 3 or men[1] != "P" and rank > file:
            continue
        for other in squares:
            if other == king or men[1] == "P" and chess.square_rank(other) in (0, 7):
                continue
            for bare in squares:
                if bare in (king, other):
                    continue
                for turn in chess.COLORS:
                    board = chess.Board(None)
                    for square, symbol in zip((king, other, bare), men):
                        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
                    board.turn = turn
                    if board.is_valid():
                        yield board


def scattered(men, count, numbers):
    """Random legal positions of the men, pawns off the last ranks."""
    boards = []
    while len(boards) < count:
        board = chess.Board(None)
        free = numbers.sample(range(64), len(men))
        for square, symbol in zip(free, men):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        board.turn = numbers.random() < 0.5
        if numbers.random() < 0.5:
            board.ep_square = numbers.choice([None, *range(16, 24), *range(40, 48)])
        if board.is_valid():
            boards.append(board)
    return boards


def endings(most):
    pieces = "QRBNP"
    for at, first in enumerate(pieces):
        yield ["K", first, "k"]
        if most == 3:
            continue
        for second in pieces[at:]:
            yield ["K", first, second, "k"]
            yield ["K", first, "k", second.lower()]


def sign(number):
    return (number > 0) - (number < 0)


def main():
    package, program = sys.argv[1:3]
    data = os.path.join(package, "data")
    numbers = random.Random(1)
    questions = []  # (what, board, truth, attribute of the answer)

    for board, truth in zip(*from_epd(os.path.join(data, "endgame-dm-4.epd"), "dm")):
        questions.append(("endgame-dm-4.epd", board, truth, "moves"))
    for board, truth in zip(*from_epd(os.path.join(data, "endgame.epd"), "wdl")):
        questions.append(("endgame.epd", board, sign(truth), "sign"))

    with chess.gaviota.PythonTablebase() as gaviota:
        gaviota.add_directory(os.path.join(data, "gaviota"))
        for men in endings(3):
            for board in every(men):
                truth = gaviota.probe_dtm(board)
                questions.append(("distance " + "".join(men), board, truth, "plies"))

    with chess.syzygy.open_tablebase(os.path.join(data, "syzygy", "regular")) as syzygy:
        for men in endings(4):
            boards = scattered(men, 400, numbers)
            for board in boards + [board.mirror() for board in boards[:100]]:
                truth = sign(syzygy.probe_wdl(board))
                questions.append(("verdict " + "".join(men), board, truth, "sign"))

    answers = probe(program, [board for _, board, _, _ in questions])
    failures, skipped, counts = 0, 0, {}
    for (what, board, truth, attribute), answer in zip(questions, answers):
        if answer.illegal:
            skipped += 1
            continue
        told = getattr(answer, attribute) if answer.known else None
        counts[what] = counts.get(what, 0) + 1
        if told != truth:
            failures += 1
            print(f"{what}: {board.fen()} expected {truth}, got {told}")
    for what, count in counts.items():
        print(f"{what}: {count} positions")
    print(f"{sum(counts.values())} compared, {failures} differ, {skipped} unreachable")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
