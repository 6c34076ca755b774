"""Wrong ticks: true statements of the corpus, changed until they are false, that still hold.

    python tests/python/mutate.py BINARY [--most PERCENT] [--verbose] FILE...

takes every true entry with a fact from corpus files (`fixtures/claims`), changes its words and its
fact alike (a square, a piece, a side, a number), moves it a ply earlier or later in its game, or
denies it; finds the truth again with python-chess (claims.py); and runs the command on the result.
Of the statements that held, it counts the changed ones that are false and hold all the same.
`--most` exits with 1 where these are more in a hundred. Needs python-chess (PyPI: chess).
"""

import bisect
import collections
import json
import random
import re
import subprocess
import sys
import tempfile

import chess

import claims

ROLES = ["pawn", "knight", "bishop", "rook", "queen", "king"]
NUMBERS = dict(enumerate("one two three four five six seven eight nine".split(), 1))
PLAYERS = {"white": "carrera", "black": "olsen"}
# A noun phrase or a cited move says nothing that the words around it could make false.
NOUNS = {"piece", "line", "move"}
SQUARE = re.compile(r"(?<![A-Za-z0-9x=@.-])([a-h][1-8])(?![0-9a-zA-Z])")
VERB = re.compile(r"\b(is|are|was|has|can|will|attacks|defends|protects|covers|mates|forces|wins)\b")
DENIED = re.compile(r"\b(not|no|never|nor|neither|cannot|nothing|none)\b|n't", re.I)
# What tells of other plies than its own stays where it is.
OTHER_TIME = re.compile(
    r"\b(was|were|had|did|won|lost|gave|castled|took|has|have|will|would|could|if|after|next"
    r"|threat\w*|before|then|played|follow\w*)\b|\d\.",
    re.I,
)


def scenes(path):
    scene = None
    for line in open(path, encoding="utf-8"):
        word, _, rest = line.rstrip("\n").partition(" ")
        if word == "==":
            if scene:
                yield scene
            scene = {"fen": "", "moves": "", "then": "", "book": False, "entries": []}
        elif scene is None:
            continue
        elif word in ("fen", "moves", "then"):
            scene[word] = rest
        elif word in ("game", "untitled"):
            scene["book"] = True
        elif word == "true" and " | " in rest:
            head, comment = rest.split(" | ", 1)
            kind, _, fact = head.partition(" ")
            scene["entries"].append((kind, fact, comment))
    if scene:
        yield scene


def placed(scene, back=0, ahead=0):
    """The board behind the scene's moves, so many plies earlier or later, with what stands
    before and behind; None where there is none."""
    sans = lambda text: re.sub(r"\d+\.+\s*", " ", text).split()
    moves, then = sans(scene["moves"]), sans(scene["then"])
    if len(moves) < back or len(then) < ahead:
        return None
    cut = len(moves) - back
    played, rest = moves[:cut] + then[:ahead], moves[cut:] + then[ahead:]
    board = chess.Board(scene["fen"]) if scene["fen"] else chess.Board()
    for san in played:
        try:
            board.push_san(san.strip("+#!?"))
        except ValueError:
            return None
    return board, rest


def true_of(board, fact):
    """Whether a fact is true of a board; None where that cannot be told."""
    board = board.copy()
    board.others = {}
    try:
        return bool(claims.fact(board, fact))
    except (AttributeError, IndexError, KeyError, TypeError, ValueError):
        return None


def cased(like, word):
    return word.capitalize() if like[0].isupper() else word


def once(pattern, text):
    found = list(re.finditer(pattern, text))
    return found[0] if len(found) == 1 else None


def changed(comment, fact, pick):
    """Changed words with the changed fact, and where in the words the change is."""
    low = comment.lower()
    replaced = lambda at, word: comment[: at.start()] + cased(at[0], word) + comment[at.end() :]
    if "@" in fact:
        return
    for at in SQUARE.finditer(comment):
        same = r"(?<![a-h0-9])" + at[1] + r"(?![0-9])"
        if re.search(same, fact):
            for other in pick.sample(chess.SQUARE_NAMES, 3):
                if other != at[1]:
                    yield "square", replaced(at, other), re.sub(same, other, fact), at.start()
    for role in ROLES:
        at = once(rf"\b{role}\b", low)
        if at and fact.count(role) == 1:
            at = re.compile(role, re.I).match(comment, at.start())
            for other in ROLES:
                if other != role:
                    yield "piece", replaced(at, other), fact.replace(role, other), at.start()
    for side, other in (("white", "black"), ("black", "white")):
        if fact.count(side) != 1 or other in fact:
            continue
        for one, two in ((side, other), (PLAYERS[side], PLAYERS[other])):
            at = once(rf"\b{one}\b", low)
            if at and not re.search(rf"\b{two}\b", low):
                at = re.compile(one, re.I).match(comment, at.start())
                yield "side", replaced(at, two), fact.replace(side, other), at.start()
    counted = re.search(r"^(?:mates|mated|moves|threat):(\d+)$|,(\d+)$|^files:(\d+)$", fact)
    if counted and not fact.startswith("up:"):
        value = int(next(group for group in counted.groups() if group))
        at = once(rf"\b{NUMBERS.get(value, '@')}\b", low)
        if at:
            at = re.compile(at[0], re.I).match(comment, at.start())
            for other in (value - 1, value + 1, value + 2):
                if other in NUMBERS:
                    yield "number", replaced(at, NUMBERS[other]), re.sub(r"\d+$", str(other), fact), at.start()


def is_exact(board, fact):
    """Whether no smaller number is true too: "mate in three" where it is mate in two is neither."""
    name, _, number = fact.partition(":")
    if name not in ("mates", "mated", "threat"):
        return True
    return int(number) == 1 or not true_of(board, f"{name}:{int(number) - 1}")


def statements(paths):
    """The true statements, and the changed ones with their truth."""
    pick = random.Random(7)
    true, false = [], []
    for path in paths:
        for scene in scenes(path):
            here = None if scene["book"] else placed(scene)
            if here is None:
                continue
            board, rest = here
            for kind, fact, comment in scene["entries"]:
                apart = ("game:", "then:", "players", "result", "occurs")
                if fact == "-" or fact.startswith(apart) or not true_of(board, fact):
                    continue
                true.append({"board": board, "then": rest, "comment": comment, "kind": kind})
                base = len(true) - 1

                def add(how, board, rest, comment, fact, at):
                    # "The pawn on c7" is there, be it the other side's.
                    other = {"white": "black", "black": "white"}
                    swapped = re.sub("white|black", lambda side: other[side[0]], fact)
                    named = re.search(r"white|black|carrera|olsen", comment, re.I)
                    if kind in NOUNS and not named and true_of(board, swapped):
                        return
                    if true_of(board, fact) is False:
                        false.append(
                            {"board": board, "then": rest, "comment": comment, "kind": kind}
                            | {"base": base, "how": how, "fact": fact, "at": at}
                        )

                for how, words, other, at in changed(comment, fact, pick):
                    if is_exact(board, other):
                        add(how, board, rest, words, other, at)
                history = ("castled", "uncastled", "lost", "made", "reaches", "repeated", "clock")
                if not OTHER_TIME.search(comment) and "@" not in fact and not fact.startswith(history):
                    for back, ahead in ((1, 0), (2, 0), (0, 1)):
                        there = placed(scene, back, ahead)
                        if there:
                            how = "earlier" if back else "later"
                            add(how, *there, comment, fact, None)
                at = VERB.search(comment)
                if at and kind not in NOUNS and not DENIED.search(comment):
                    verb = at[1]
                    denied = f"{verb} not" if verb in ("is", "are", "was", "can", "will") else None
                    denied = denied or f"does not {'have' if verb == 'has' else verb.rstrip('s')}"
                    words = comment[: at.start()] + denied + comment[at.end() :]
                    entry = {"board": board, "then": rest, "comment": words, "kind": kind}
                    false.append(entry | {"base": base, "how": "not", "fact": fact, "at": at.start()})
    return true, false


def settled(binary, entries):
    """The claims and findings of each entry's comment, with their places in it."""
    text, starts, ends = [], [], []
    length = 0
    for entry in entries:
        board = entry["board"]
        root = board.root()
        head = '[White "Carrera, Ana"]\n[Black "Olsen, Bo"]\n'
        if root.fen() != chess.STARTING_FEN:
            head += f'[SetUp "1"]\n[FEN "{root.fen()}"]\n'
        moves = root.variation_san(board.move_stack) if board.move_stack else ""
        head += f"\n{moves} {{"
        rest, after = [], board.copy()
        for san in entry["then"]:
            try:
                rest.append(after.push_san(san.strip("+#!?")))
            except ValueError:
                break
        tail = "} " + (board.variation_san(rest) if rest else "") + " *\n\n"
        starts.append(length + len(head.encode()))
        ends.append(starts[-1] + len(entry["comment"].encode()))
        text.append(head + entry["comment"] + tail)
        length += len(text[-1].encode())
    with tempfile.NamedTemporaryFile("w", suffix=".pgn", encoding="utf-8") as file:
        file.write("".join(text))
        file.flush()
        done = subprocess.run(
            [binary, "check", file.name, "--format", "json", "--nodes", "100000"], capture_output=True
        )
    report = json.loads(done.stdout)["files"][0]
    found = [([], []) for _ in entries]
    for which, name in enumerate(("claims", "findings")):
        for one in report[name]:
            at = bisect.bisect_right(starts, one["span"]["start"]) - 1
            if at >= 0 and one["span"]["start"] < ends[at]:
                one["from"] = one["span"]["start"] - starts[at]
                one["to"] = one["span"]["end"] - starts[at]
                found[at][which].append(one)
    return found


def ticks(entry, judged):
    """The claims of an entry that hold and say what was changed."""
    held = [one for one in judged if one["verdict"] == "holds" and one["kind"] == entry["kind"]]
    at = entry.get("at")
    if entry.get("how") == "not":
        # "The trapped rook is not lost" takes for granted that it is trapped.
        stops = [stop.start() for stop in re.finditer(r"[.!?;:](?!\w)", entry["comment"])]
        same = lambda one: not any(min(at, one["from"]) < stop < max(at, one["from"]) for stop in stops)
        return [one for one in held if one["to"] > at and same(one)]
    if at is not None:
        return [one for one in held if one["from"] <= at < one["to"]] or held
    squares = set(re.findall(r"[a-h][1-8]", entry.get("fact", "")))
    said = lambda one: not squares or any(square in one["text"] for square in squares)
    return [one for one in held if said(one)]


def main(arguments):
    verbose = "--verbose" in arguments
    arguments = [one for one in arguments if one != "--verbose"]
    most = None
    if "--most" in arguments:
        at = arguments.index("--most")
        most = float(arguments[at + 1])
        del arguments[at : at + 2]
    binary, *paths = arguments
    true, false = statements(paths)
    holds = [bool(ticks(entry, judged)) for entry, (judged, _) in zip(true, settled(binary, true))]
    counts = collections.Counter()
    for entry, (judged, findings) in zip(false, settled(binary, false)):
        if not holds[entry["base"]]:
            continue
        told = any(one["severity"] in ("error", "warning") for one in findings)
        wrong = ticks(entry, judged)
        counts[entry["how"], "told" if told else "ticked" if wrong else "open"] += 1
        if verbose and wrong and not told:
            print(entry["how"], entry["comment"], entry["fact"], [one["text"] for one in wrong], sep=" | ")
    for (how, what), count in sorted(counts.items()):
        print(f"{how:8} {what:7} {count:5}")
    changed = sum(counts.values())
    ticked = sum(count for (_, what), count in counts.items() if what == "ticked")
    part = 100 * ticked / max(1, changed)
    print(f"{sum(holds)} of {len(true)} true statements hold; of {changed} false ones made of them {ticked} hold ({part:.2f} %)")
    return 1 if most is not None and part > most else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
