"""python-chess 1.11.2 (PyPI) and gainsay agree on legality, SAN, check and mate signs."""

import collections
import random
import re
import unittest

import chess
import chess.pgn

import common

MUTATIONS = 10_000

# A token of movetext that is a move in SAN.
SAN = re.compile(r"(?:O-O(?:-O)?|[KQRBN]?[a-h]?[1-8]?x?[a-h][1-8](?:=[QRBN])?)[+#]?")


def games(path):
    with open(path, encoding="utf-8") as text:
        while (game := chess.pgn.read_game(text)) is not None:
            yield game


def main_lines(path):
    """The main lines as written: for each game its start and its SAN tokens."""
    text = path.read_text(encoding="utf-8")
    for block in re.split(r"\n\n(?=\[Event )", text.strip()):
        movetext = "\n".join(line for line in block.splitlines() if not line.startswith("["))
        movetext = re.sub(r"\{[^}]*\}|\$\d+|\d+\.+|[!?]+", " ", movetext)
        fen = re.search(r'\[FEN "([^"]*)"\]', block)
        words = movetext.split()
        yield (fen.group(1) if fen else chess.STARTING_FEN), words[:-1]


class Collections(unittest.TestCase):
    """Every game of the collections."""

    def test_legality_san_and_signs(self):
        plies = 0
        for path in common.collections():
            # What python-chess writes for each move it reads is what stands there …
            for fen, words in main_lines(path):
                board = chess.Board(fen)
                for word in words:
                    move = board.parse_san(word)
                    self.assertEqual(board.san(move), word)
                    board.push(move)
                    plies += 1
            # … and gainsay has nothing to say about any.
            report, code = common.check(path.read_bytes(), "--no-claims")
            told = [finding for finding in report["findings"] if finding["move"]]
            self.assertEqual(told, [])
            self.assertEqual(code, 0)
        print(f"{plies} plies", end=" ")
        self.assertGreater(plies, 80_000)


def mutated(word, board, numbers):
    """The move with one thing changed."""
    files, ranks, pieces = "abcdefgh", "12345678", "KQRBN"
    kind = numbers.randrange(9)
    body, sign = word.rstrip("+#"), word[len(word.rstrip("+#")) :]
    if kind == 0:
        return body + numbers.choice(["", "+", "#"])
    if kind == 1:
        return body.replace("x", "") + sign
    places = [at for at, c in enumerate(body) if c in files + ranks + pieces]
    if kind in (2, 3, 4) and places:
        at = numbers.choice(places)
        same = next(group for group in (files, ranks, pieces) if body[at] in group)
        return body[:at] + numbers.choice(same) + body[at + 1 :] + sign
    if kind == 5 and body[0] in pieces:
        # Origins added or taken away.
        short = re.sub(r"^([KQRBN])[a-h]?[1-8]?(x?[a-h][1-8])$", r"\1\2", body)
        origin = numbers.choice(["", numbers.choice(files), numbers.choice(ranks)])
        return short[0] + origin + short[1:] + sign
    if kind == 6 and body[0] in pieces and "x" not in body:
        return body[:-2] + "x" + body[-2:] + sign
    if kind == 7:
        return numbers.choice(["O-O", "O-O-O"]) + numbers.choice(["", sign])
    # Any move of the other pieces, legal or not, rightly written or not.
    move = numbers.choice(list(board.pseudo_legal_moves))
    piece = board.piece_at(move.from_square).symbol().upper().replace("P", "")
    takes = "x" if board.is_capture(move) else ""
    if not piece and takes:
        piece = chess.FILE_NAMES[chess.square_file(move.from_square)]
    promotion = "=" + chess.piece_symbol(move.promotion).upper() if move.promotion else ""
    return piece + takes + chess.square_name(move.to_square) + promotion


def judged(board, word):
    """The rules that python-chess's judgement comes to: legality, spelling, sign."""
    try:
        move = board.parse_san(word)
    except chess.AmbiguousMoveError:
        return {"ambiguous-move"}
    except chess.IllegalMoveError:
        return {"illegal-move"}
    except chess.InvalidMoveError:
        return {"unreadable-move"}
    rules = set()
    right = board.san(move)
    if right.rstrip("+#") != word.rstrip("+#"):
        rules.add("spelling")
    written, true = word[len(word.rstrip("+#")) :], right[len(right.rstrip("+#")) :]
    if written == "#" and true != "#":
        rules.add("false-mate-sign")
    elif written == "+" and true == "":
        rules.add("false-check-sign")
    elif written == "" and true == "+":
        rules.add("missing-check-sign")
    elif written != "#" and true == "#":
        rules.add("missing-mate-sign")
    return rules


# Rules that say a move is legal but not written as SAN writes it.
SPELLING = {"needless-origin", "capture-sign", "move-spelling"}
# What gainsay reads and names, where python-chess calls the move illegal.
PROMOTION = "missing-promotion"
# The rules that judge a move; the others speak of tags, results and comments.
OF_MOVES = SPELLING | {
    PROMOTION,
    "ambiguous-move",
    "false-check-sign",
    "false-mate-sign",
    "illegal-move",
    "missing-check-sign",
    "missing-mate-sign",
    "moves-after-end",
    "unreadable-move",
}


class Mutations(unittest.TestCase):
    """Moves of the collections with one thing changed, each in its position."""

    def test_judgements(self):
        numbers = random.Random(1994)
        lines = []
        for path in common.collections():
            lines.extend(line for line in main_lines(path) if line[1])
        cases = []
        while len(cases) < MUTATIONS:
            fen, words = numbers.choice(lines)
            board = chess.Board(fen)
            stop = numbers.randrange(len(words))
            for word in words[:stop]:
                board.push_san(word)
            # Several of one position, which saves playing through the game each time.
            for _ in range(5):
                cases.append((board, mutated(words[stop], board, numbers)))
        cases = cases[:MUTATIONS]
        text = "".join(
            f'[SetUp "1"]\n[FEN "{board.fen()}"]\n\n'
            f"{board.fullmove_number}{'.' if board.turn else '...'} {word} *\n\n"
            for board, word in cases
        )
        report, _ = common.check(text, "--no-claims")
        self.assertEqual(report["games"], len(cases))
        ours = collections.defaultdict(set)
        for finding in report["findings"]:
            if finding["rule"] not in ("missing-roster-tag", "result-left-open"):
                ours[finding["game"]].add(finding["rule"])
        counts = collections.Counter()
        differ = []
        for game, (board, word) in enumerate(cases, 1):
            expected = judged(board, word)
            told = {"spelling" if rule in SPELLING else rule for rule in ours[game]}
            if PROMOTION in told:
                told.discard(PROMOTION)
                told = {"illegal-move"}
            counts.update(expected or {"nothing"})
            if told != expected:
                differ.append(f"{board.fen()} {word}: we {ours[game]}, they {expected}")
        print(", ".join(f"{count} {rule}" for rule, count in counts.most_common()), end=" ")
        self.assertEqual(differ, [], f"{len(differ)} of {len(cases)} differ")
        for rule in ("illegal-move", "ambiguous-move", "false-check-sign", "false-mate-sign"):
            self.assertGreater(counts[rule], 50, rule)


if __name__ == "__main__":
    unittest.main()
