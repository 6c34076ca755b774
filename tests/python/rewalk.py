"""Re-walks written proofs of mate with python-chess, a second rules library.

    python rewalk.py FILE...

reads the proofs in the files, in the format of crates/proof/src/evidence/mod.rs, and stops
at the first that is not sound. Needs python-chess (PyPI: chess).
"""

import pathlib
import sys

import chess

HEAD = "gainsay mate proof 1"


def proofs(text):
    """The proofs of a file, which stand one behind the other, without the lines between
    them that say what they belong to."""
    text = "".join(line for line in text.splitlines(True) if not line.startswith("# "))
    return [HEAD + proof for proof in text.split(HEAD)[1:]]


def walk(text):
    """Returns the number of moves that the proof needs; raises when it is unsound."""
    head, position, moves, *steps = text.splitlines()[:-1]
    assert head == HEAD
    root = chess.Board(position.removeprefix("position "))
    reached = {0: root}
    lengths = {}
    successors = []
    for number, step in enumerate(steps):
        attack, *answers = step.split(" ")
        board = reached.pop(number)
        # Where the side to move is mated, the first step has no move of the attacker.
        own = 0 if number == 0 and attack == "-" else 1
        if own:
            board.push(board.parse_uci(attack))
        replies = sorted(board.legal_moves, key=lambda reply: reply.uci())
        assert len(replies) == len(answers), (number, step)
        if not replies:
            assert board.is_checkmate(), (number, step)
        else:
            assert board.halfmove_clock < 100, (number, "fifty moves")
        follow = []
        for reply, answer in zip(replies, answers):
            board.push(reply)
            assert board.halfmove_clock < 100, (number, "fifty moves")
            if answer.isdigit():
                to = int(answer)
                assert number < to < len(steps), (number, answer)
                if to in reached:
                    known = reached[to]
                    assert known.epd(en_passant="legal") == board.epd(en_passant="legal")
                    known.halfmove_clock = max(known.halfmove_clock, board.halfmove_clock)
                else:
                    reached[to] = board.copy(stack=False)
                follow.append(to)
            else:
                board.push(board.parse_uci(answer))
                assert board.is_checkmate(), (number, reply, answer)
                board.pop()
            board.pop()
        successors.append((own, bool(replies), follow))
    for number in reversed(range(len(steps))):
        own, defended, follow = successors[number]
        lengths[number] = max([own + defended] + [own + lengths[to] for to in follow])
    assert lengths[0] == int(moves.removeprefix("moves ")), "length"
    return lengths[0]


def main():
    count = 0
    for path in map(pathlib.Path, sys.argv[1:]):
        for proof in proofs(path.read_text("utf-8")):
            try:
                walk(proof)
            except Exception as error:
                sys.exit(f"{path}: {error!r}")
            count += 1
    print(f"{count} proofs are sound")


if __name__ == "__main__":
    main()
