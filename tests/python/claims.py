"""Truths of the corpus of claims (fixtures/claims), found with python-chess alone.

    python tests/python/claims.py check fixtures/claims/*.txt
    python tests/python/claims.py make > fixtures/claims/made.txt
    python tests/python/claims.py positions TABLE > FOLDER/positions.txt

`positions` makes a corpus of a table of open tactical positions (CC0): a CSV file with the
columns FEN, Moves (UCI: first the mistake, then the solution) and Themes (`mateIn3`); it is
for measuring with `cargo run -p gainsay-tests --bin accuracy -- FOLDER`.

A corpus file holds scenes and, below each, entries:

    == name
    fen FEN                   (left out: the starting position)
    moves 1. e4 e5            (left out: none)
    then 2. Nf3               how the game goes on behind the comment (left out: it ends there)
    game 1 Lind,Moreau 1-0 1. e4 e5   (another game that stands before it in the book)
    untitled                  (the games of the book have no numbers)
    true KIND FACT | comment  the comment makes a claim of this kind, which is true
    false KIND FACT | comment the same, but false
    trap - - | comment        nothing in the comment may be called false

FACT is what the comment says, in words for this script, or `-` where only a reader can
tell. The comment stands behind the last move. Facts are about the position there unless
they name a line:

    mates:N       the side to move forces mate within N moves (brute force)
    mated:N       the side to move is mated within N moves, whatever it plays
    threat:N      if the side to move passed, the other would mate within N moves
    mate@LINE     the line ends in checkmate        stalemate@LINE   in stalemate
    check@LINE    the line ends in check            legal@LINE       can be played
    on:COLOUR ROLE SQUARE                           a piece stands there
    pinned:SQUARE  to its king                      attacks:FROM TO
    up:COLOUR N   pawns ahead by the scale 1 3 3 5 9
    open:FILE  passed:SQUARE  doubled:FILE COLOUR  queens:off  bishops:opposite
    moves:N       so many legal moves
    castled:COLOUR [WING]  uncastled:COLOUR [WING]  by a move of the scene
    took:COLOUR,ROLE,TAKEN[,SQUARE]  the last move took such a man (there) with such a one
    taker:SQUARE,ROLE  notaker:SQUARE,ROLE  such a man (any) of the other side can legally take the man there, or none can
    pairs:ROLE,N  both sides have lost so many of the men that they had in the initial position (none has lost one, where N is 0)
    trade:ROLE,ROLE  one side can take such a man with such a one and can be taken in turn
    first:capture  the last move takes, and none before it did
    ever:COLOUR,TAKEN  a move of the scene took such a man      double:FILE  the last move was a double step
    right:COLOUR[,WING]  castling is not lost       noright:COLOUR[,WING]  it is
    steps:COLOUR,SQUARE  the king may step there   nostep:COLOUR,SQUARE   it may not
    flights:COLOUR,N  the king may step to so many squares (were it that side's turn)
    corner:COLOUR  the king stands on a corner square or next to one
    isolated:SQUARE  hits:FROM TO  FROM attacks the enemy piece on TO
    alone@SAN     this move mates, and no other does    double@LINE  discovered@LINE  in such a check
    alone:N@SAN   this move mates within N moves, and no other does
    lost:COLOUR ROLE  fewer such pieces than at the scene's beginning
    islands:COLOUR N  so many pawn islands          files:N   so many files without pawns
    closed:FILE  pawns of both sides stand on it    filled:FILE   a pawn stands on it
    passers:COLOUR N  isolani:COLOUR N  so many passed (no own pawn in front) or isolated pawns
    linked:COLOUR  two passed pawns on neighbouring files
    protected:SQUARE  a passed pawn that a pawn of its side defends
    backward:SQUARE  all neighbours stand further ahead, and a pawn keeps it from stepping on
    loosepawn:SQUARE  a pawn that no pawn of its side defends
    majority:COLOUR WING  more pawns on the files a-d or a-c, e-h or f-h, c-f or d-e
    outpost:COLOUR SQUARE  in the enemy's half or next to it, and no enemy pawn attacks it, nor could by one step
    seventh:COLOUR N  at least so many rooks and queens on the side's seventh rank
    pair:COLOUR  a bishop on squares of each colour
    hangs:SQUARE  capturing there wins by exchange   stuck:SQUARE  every move of the piece loses by exchange
    guards:SQUARE N  at least so many of the men and squares that it covers can be taken or checked on
    shade:SQUARE,SHADE  light or dark
    pawns:N,M[,FILES]  so many white and black pawns, on these files if any are told
    turn:COLOUR  it is this side's turn
    attackers:SQUARE N  defenders:SQUARE N  so many men attack or defend the man there
    perpetual:SQUARES  the side to move can check for ever, on these squares (any, if none)
    made:COLOUR,N,SAN  this was a side's move of that number     reaches:N  there is a move N
    then:COLOUR,N,FACT  the fact was true behind that move
    repeated:N  a position has occurred so often     clock:N  so many plies without capture or pawn move
    forkable:ROLE,ROLE  if the side to move passed, a move of the other would attack two such pieces
    given:N,ROLE  the side to move mates within N moves, and in a line of it this piece gives mate
    check:COLOUR  this side is in check
    game:N,FACT  the fact is true at the end of game N of the book
    players:NAME,NAME  of that game      result:RESULT  of that game     occurs:  this position occurs in it
    ended:COLOUR,N  it ended with mate by this side on move N     length:N  with move N

`check` exits with 1 when a truth differs. For a false entry the fact must be false of every
position that the comment can speak of: eight plies back, and for mates either side there.
"""

import collections
import csv
import random
import re
import sys

import chess

ROLES = {"pawn": 1, "knight": 2, "bishop": 3, "rook": 4, "queen": 5, "king": 6}
CORNERS = [chess.A1, chess.A8, chess.H1, chess.H8]
VALUE = {1: 1, 2: 3, 3: 3, 4: 5, 5: 9, 6: 0}


def mates(board, moves):
    """Does the side to move force mate within so many moves? Plain brute force."""
    for move in list(board.legal_moves):
        if moves == 1 and not board.gives_check(move):
            continue
        board.push(move)
        found = mated(board, moves - 1)
        board.pop()
        if found:
            return True
    return False


def mated(board, moves):
    """Is the side to move mated within so many moves of the other, whatever it plays?"""
    replies = list(board.legal_moves)
    if not replies:
        return board.is_check()
    if moves == 0:
        return False
    for reply in replies:
        board.push(reply)
        held = not mates(board, moves)
        board.pop()
        if held:
            return False
    return True


def perpetual(board, squares):
    """Can the side to move give check on every move for ever, or mate, by moves to these
    squares? All positions that chains of checks reach are found, then those that run out are
    struck off."""
    start = board.epd()
    choices, waiting = {}, [start]
    while waiting:
        here = waiting.pop()
        if here in choices:
            continue
        at = chess.Board(here + " 0 1")
        choices[here] = []
        for check in list(at.legal_moves):
            on = chess.square_name(check.to_square)
            if not at.gives_check(check) or squares and on not in squares:
                continue
            at.push(check)
            replies = []
            for reply in list(at.legal_moves):
                at.push(reply)
                replies.append(at.epd())
                at.pop()
            at.pop()
            choices[here].append(replies)
            waiting += replies
    kept = set(choices)
    while True:
        lost = {
            here
            for here in kept
            if not any(all(reply in kept for reply in replies) for replies in choices[here])
        }
        if not lost:
            return start in kept
        kept -= lost


def passed_turn(board):
    """The position after a pass; None in check."""
    if board.is_check():
        return None
    other = board.copy()
    other.push(chess.Move.null())
    return other


def play(board, line):
    """The position after a line in SAN; None where it cannot be played."""
    board = board.copy()
    for word in re.sub(r"\d+\.+\s*", " ", line).split():
        try:
            board.push(board.parse_san(word.strip("+#!?")))
        except ValueError:
            return None
    return board


def points(board, colour):
    return sum(
        VALUE[piece.piece_type] * (1 if piece.color == colour else -1)
        for piece in board.piece_map().values()
    )


def is_passed(board, square):
    piece = board.piece_at(square)
    if piece is None or piece.piece_type != chess.PAWN:
        return False
    for other in board.pieces(chess.PAWN, not piece.color):
        near = abs(chess.square_file(other) - chess.square_file(square)) <= 1
        ahead = chess.square_rank(other) - chess.square_rank(square)
        if near and (ahead if piece.color else -ahead) > 0:
            return False
    return True


def files_of(board, side):
    return {chess.square_file(square) for square in board.pieces(chess.PAWN, side)}


def beside(square, other):
    return abs(chess.square_file(square) - chess.square_file(other)) == 1


def ahead(side, square, other):
    """By how many ranks `other` stands in front of `square`, seen from a side."""
    rows = chess.square_rank(other) - chess.square_rank(square)
    return rows if side else -rows


def passers(board, side):
    """The passed pawns of a side with no own pawn in front."""
    own = board.pieces(chess.PAWN, side)
    same = lambda one, other: chess.square_file(one) == chess.square_file(other)
    free = lambda pawn: not any(same(pawn, other) and ahead(side, pawn, other) > 0 for other in own)
    return [pawn for pawn in own if is_passed(board, pawn) and free(pawn)]


def guarded_by_pawn(board, square):
    side = board.color_at(square)
    return any(board.piece_type_at(by) == chess.PAWN for by in board.attackers(side, square))


def is_backward(board, square):
    side = board.color_at(square)
    own = [pawn for pawn in board.pieces(chess.PAWN, side) if beside(pawn, square)]
    stop = square + (8 if side else -8)
    held = board.piece_at(stop) == chess.Piece(chess.PAWN, not side) or any(
        board.piece_type_at(by) == chess.PAWN for by in board.attackers(not side, stop)
    )
    return bool(own) and all(ahead(side, square, pawn) > 0 for pawn in own) and held


def is_outpost(board, side, square):
    """Told by playing: no enemy pawn attacks the square, nor could after one step."""
    rank = chess.square_rank(square) if side else 7 - chess.square_rank(square)
    if not 3 <= rank <= 6:
        return False
    bare = chess.Board(None)
    for at, piece in board.piece_map().items():
        if piece.piece_type != chess.KING:
            bare.set_piece_at(at, piece)
    bare.turn = not side
    hit = lambda at: any(at.piece_type_at(by) == chess.PAWN for by in at.attackers(not side, square))
    if hit(bare):
        return False
    for move in bare.pseudo_legal_moves:
        if bare.piece_type_at(move.from_square) == chess.PAWN and not bare.is_capture(move):
            after = bare.copy()
            after.push(move)
            if hit(after):
                return False
    return True


def exchange(board, square):
    """What the side to move wins at most by captures on a square, played out."""
    best = 0
    for move in list(board.legal_moves):
        if move.to_square == square and board.is_capture(move) and move.promotion in (None, chess.QUEEN):
            won = VALUE[board.piece_type_at(square) or chess.PAWN]
            board.push(move)
            best = max(best, won - exchange(board, square))
            board.pop()
    return best


def turn_of(board, side):
    """The board with a side to move; None where a pass is not possible."""
    return board if board.turn == side else passed_turn(board)


def is_stuck(board, square):
    """Whether every move of a piece loses by exchange, or there is none."""
    at = turn_of(board, board.color_at(square))
    if at is None:
        return True
    for move in list(at.legal_moves):
        if move.from_square != square:
            continue
        won = VALUE[at.piece_type_at(move.to_square)] if at.piece_at(move.to_square) else 0
        after = at.copy()
        after.push(move)
        if won - exchange(after, move.to_square) >= 0:
            return False
    return True


def tasks(board, square):
    """The squares that a piece covers, on which the other side could take or check."""
    at = turn_of(board, not board.color_at(square))
    if at is None:
        return set()
    active = lambda move: at.is_capture(move) or at.gives_check(move) or move.promotion
    return {move.to_square for move in at.legal_moves if active(move)} & set(at.attacks(square))


def captures(board, last, words):
    """The captures of a side on the way to the board, or its last move's, as facts tell them."""
    at = board.root()
    for ply, move in enumerate(board.move_stack, 1):
        if at.turn == colour(words[0]) and at.is_capture(move) and (not last or ply == len(board.move_stack)):
            passing = at.is_en_passant(move)
            taken = chess.PAWN if passing else at.piece_type_at(move.to_square)
            taken = chess.piece_name(taken)
            mover = chess.piece_name(at.piece_type_at(move.from_square))
            told = [words[0], mover, taken, chess.square_name(move.to_square)] if last else [words[0], taken]
            yield told[: len(words)]
        at.push(move)


def flights(board, side):
    """The squares next to a king to which it may step, one by one on a board without it."""
    king = board.king(side)
    found = []
    for square in chess.SquareSet(chess.BB_KING_ATTACKS[king]):
        if board.color_at(square) == side:
            continue
        after = board.copy(stack=False)
        after.remove_piece_at(king)
        after.set_piece_at(square, chess.Piece(chess.KING, side))
        if not after.is_attacked_by(not side, square):
            found.append(square)
    return found


def can_take(board, square, role):
    """Whether a man of this role (`any`) can legally take the man on a square, were it its turn."""
    position = board.copy()
    man = position.piece_at(square)
    if man is None:
        return False
    if position.turn == man.color:
        if position.is_check():
            return False
        position.push(chess.Move.null())
    return any(
        move.to_square == square
        and role in ("any", chess.piece_name(position.piece_type_at(move.from_square)))
        for move in position.legal_moves
    )


def gone(board, side, role):
    """How many men of this role (`any`) a side has lost since the initial position."""
    roles = chess.PIECE_TYPES if role == "any" else [ROLES[role]]
    return sum(len(chess.Board().pieces(kind, side)) - len(board.pieces(kind, side)) for kind in roles)


def can_trade(board, own, other):
    """Whether either side can take one such man with the other where it can be taken in turn."""
    for side in chess.COLORS:
        position = board.copy()
        if position.turn != side:
            if position.is_check():
                continue
            position.push(chess.Move.null())
        for move in list(position.legal_moves):
            names = [position.piece_type_at(square) for square in (move.from_square, move.to_square)]
            if sorted(chess.piece_name(kind) for kind in names if kind) != sorted([own, other]):
                continue
            position.push(move)
            back = any(reply.to_square == move.to_square for reply in position.legal_moves)
            position.pop()
            if back:
                return True
    return False


def takes_first(board):
    """Whether the last move of the board is the first capture of its stack."""
    position = board.copy()
    takes = []
    while position.move_stack:
        move = position.pop()
        takes.append(position.is_capture(move))
    return bool(takes) and takes[0] and not any(takes[1:])


def castled(board, side, wing=None):
    """Whether a side castled on the way to the board."""
    at = board.root()
    for move in board.move_stack:
        if at.turn == side and at.is_castling(move):
            short = at.is_kingside_castling(move)
            if wing is None or short == (wing == "short"):
                return True
        at.push(move)
    return False


def made(board, side, number):
    """The move of a side of that number on the way to the board, as (before, move)."""
    at = board.root()
    for move in board.move_stack:
        if at.turn == side and at.fullmove_number == number:
            return at, move
        at.push(move)
    return None


def occurrences(board):
    """How often the commonest position on the way to the board has occurred."""
    at = board.root()
    keys = [at._transposition_key()]
    for move in board.move_stack:
        at.push(move)
        keys.append(at._transposition_key())
    return max(keys.count(key) for key in keys)


def forkable(board, roles):
    """Whether the other side could attack a piece of each role with the piece it moves."""
    other = passed_turn(board)
    if other is None:
        return False
    for move in list(other.legal_moves):
        other.push(move)
        hit = other.attacks(move.to_square)
        if all(hit & other.pieces(ROLES[role], other.turn) for role in roles):
            return True
        other.pop()
    return False


def given(board, moves, role):
    """Whether in some line of a forced mate within so many moves this piece gives mate."""
    for move in list(board.legal_moves):
        board.push(move)
        try:
            if board.is_checkmate():
                if any(board.piece_type_at(square) == role for square in board.checkers()):
                    return True
            elif moves > 1 and mated(board, moves - 1):
                for reply in list(board.legal_moves):
                    board.push(reply)
                    found = given(board, moves - 1, role)
                    board.pop()
                    if found:
                        return True
        finally:
            board.pop()
    return False


def colour(name):
    return name == "white"


Game = collections.namedtuple("Game", "players result boards")


def fact_of_game(board, number, text):
    """Whether a fact is true of another game of the book."""
    game = board.others.get(number)
    if game is None:
        return False
    end = game.boards[0]
    name, _, rest = text.partition(":")
    if name == "players":
        return game.players == rest
    if name == "result":
        return game.result == rest
    if name == "occurs":
        return any(at._transposition_key() == board._transposition_key() for at in game.boards)
    last = game.boards[1]
    if name == "ended":
        side, at = rest.split(",")
        return end.is_checkmate() and last.turn == colour(side) and last.fullmove_number == int(at)
    if name == "length":
        return last.fullmove_number == int(rest)
    return fact(end, text)


def fact(board, text):
    """Whether a fact is true of a board."""
    if text.startswith("game:"):
        number, _, rest = text.removeprefix("game:").partition(",")
        return fact_of_game(board, number, rest)
    if "@" in text:
        name, line = text.split("@", 1)
        end = play(board, line)
        if name == "legal":
            return end is not None
        if end is None:
            return False
        if name.startswith(("taker:", "notaker:")):
            return fact(end, name)
        name, _, number = name.partition(":")
        if name == "alone":
            left = int(number or 1) - 1
            mating = [move for move in board.legal_moves if mated(play(board, board.san(move)), left)]
            return mated(end, left) and len(mating) == 1
        if name in ("double", "discovered"):
            to = end.move_stack[-1].to_square
            checkers = end.checkers()
            return len(checkers) > 1 if name == "double" else bool(checkers - chess.SquareSet([to]))
        return {
            "mate": end.is_checkmate,
            "stalemate": end.is_stalemate,
            "check": end.is_check,
        }[name]()
    name, _, rest = text.partition(":")
    words = rest.split(",")
    if name == "mates":
        return mates(board, int(words[0]))
    if name == "mated":
        return mated(board, int(words[0]))
    if name == "threat":
        other = passed_turn(board)
        return other is not None and mates(other, int(words[0]))
    if name == "perpetual":
        return perpetual(board, [word for word in words if word])
    if name == "on":
        piece = board.piece_at(chess.parse_square(words[2]))
        return (
            piece is not None
            and piece.piece_type == ROLES[words[1]]
            and (words[0] == "any" or piece.color == colour(words[0]))
        )
    if name == "pinned":
        square = chess.parse_square(words[0])
        piece = board.piece_at(square)
        return piece is not None and board.is_pinned(piece.color, square)
    if name == "attacks":
        return chess.parse_square(words[1]) in board.attacks(chess.parse_square(words[0]))
    if name == "up":
        return points(board, colour(words[0])) == int(words[1])
    if name == "open":
        file = chess.FILE_NAMES.index(words[0])
        pawns = board.pieces(chess.PAWN, True) | board.pieces(chess.PAWN, False)
        return not any(chess.square_file(square) == file for square in pawns)
    if name == "passed":
        return is_passed(board, chess.parse_square(words[0]))
    if name == "doubled":
        file = chess.FILE_NAMES.index(words[0])
        pawns = board.pieces(chess.PAWN, colour(words[1]))
        return sum(chess.square_file(square) == file for square in pawns) > 1
    if name == "queens":
        return not board.pieces(chess.QUEEN, True) and not board.pieces(chess.QUEEN, False)
    if name == "bishops":
        sides = [list(board.pieces(chess.BISHOP, side)) for side in (True, False)]
        shade = lambda square: (chess.square_file(square) + chess.square_rank(square)) % 2
        return all(len(side) == 1 for side in sides) and shade(sides[0][0]) != shade(sides[1][0])
    if name in ("castled", "uncastled"):
        found = castled(board, colour(words[0]), *words[1:])
        return found == (name == "castled")
    if name in ("took", "ever"):
        return any(captured == words for captured in captures(board, name == "took", words))
    if name == "double":
        move = board.peek()
        ranks = abs(chess.square_rank(move.from_square) - chess.square_rank(move.to_square))
        pawn = board.piece_type_at(move.to_square) == chess.PAWN
        return pawn and ranks == 2 and chess.square_file(move.to_square) == chess.FILE_NAMES.index(words[0])
    if name in ("right", "noright"):
        side = colour(words[0])
        rights = {
            "short": board.has_kingside_castling_rights(side),
            "long": board.has_queenside_castling_rights(side),
        }
        return (rights[words[1]] if words[1:] else any(rights.values())) == (name == "right")
    if name in ("steps", "nostep", "flights"):
        found = flights(board, colour(words[0]))
        if name == "flights":
            return len(found) == int(words[1])
        return (chess.parse_square(words[1]) in found) == (name == "steps")
    if name == "corner":
        king = board.king(colour(words[0]))
        return any(chess.square_distance(king, corner) <= 1 for corner in CORNERS)
    if name == "isolated":
        square = chess.parse_square(words[0])
        piece = board.piece_at(square)
        own = board.pieces(chess.PAWN, piece.color) if piece else []
        away = lambda other: abs(chess.square_file(other) - chess.square_file(square)) != 1
        return square in own and all(away(other) for other in own)
    if name == "hits":
        one, other = (board.piece_at(chess.parse_square(word)) for word in words)
        if one is None or other is None or one.color == other.color:
            return False
        return chess.parse_square(words[1]) in board.attacks(chess.parse_square(words[0]))
    if name == "lost":
        begin = board.root()
        count = lambda at: len(at.pieces(ROLES[words[1]], colour(words[0])))
        return count(board) < count(begin)
    if name == "islands":
        line = "".join("p" if file in files_of(board, colour(words[0])) else " " for file in range(8))
        return len(line.split()) == int(words[1])
    if name == "files":
        return 8 - len(files_of(board, True) | files_of(board, False)) == int(words[0])
    if name in ("closed", "filled"):
        on = [chess.FILE_NAMES.index(words[0]) in files_of(board, side) for side in (True, False)]
        return all(on) if name == "closed" else any(on)
    if name == "passers":
        return len(passers(board, colour(words[0]))) == int(words[1])
    if name == "isolani":
        own = board.pieces(chess.PAWN, colour(words[0]))
        lone = [pawn for pawn in own if not any(beside(pawn, other) for other in own)]
        return len(lone) == int(words[1])
    if name == "linked":
        free = [pawn for pawn in board.pieces(chess.PAWN, colour(words[0])) if is_passed(board, pawn)]
        return any(beside(one, other) for one in free for other in free)
    if name in ("protected", "loosepawn", "backward"):
        square = chess.parse_square(words[0])
        if board.piece_type_at(square) != chess.PAWN:
            return False
        if name == "backward":
            return is_backward(board, square)
        held = guarded_by_pawn(board, square)
        return is_passed(board, square) and held if name == "protected" else not held
    if name == "majority":
        wings = {"queenside": ("abcd", "abc"), "kingside": ("efgh", "fgh"), "centre": ("cdef", "de")}
        own, other = (board.pieces(chess.PAWN, side) for side in (colour(words[0]), not colour(words[0])))
        on = lambda pawns, files: sum(chess.FILE_NAMES[chess.square_file(pawn)] in files for pawn in pawns)
        return any(on(own, files) > on(other, files) for files in wings[words[1]])
    if name == "outpost":
        return is_outpost(board, colour(words[0]), chess.parse_square(words[1]))
    if name == "seventh":
        side = colour(words[0])
        heavy = board.pieces(chess.ROOK, side) | board.pieces(chess.QUEEN, side)
        return sum(chess.square_rank(square) == (6 if side else 1) for square in heavy) >= int(words[1])
    if name == "pair":
        shades = {(chess.square_file(b) + chess.square_rank(b)) % 2 for b in board.pieces(chess.BISHOP, colour(words[0]))}
        return len(shades) == 2
    if name in ("taker", "notaker"):
        at, role = rest.split(",")
        return can_take(board, chess.parse_square(at), role) == (name == "taker")
    if name == "pairs":
        role, count = rest.split(",")
        lost = [gone(board, side, role) for side in chess.COLORS]
        return max(lost) == 0 if count == "0" else min(lost) == int(count)
    if name == "trade":
        return can_trade(board, *rest.split(","))
    if name == "first":
        return takes_first(board)
    if name == "shade":
        at, shade = rest.split(",")
        square = chess.parse_square(at)
        return bool(chess.BB_SQUARES[square] & chess.BB_LIGHT_SQUARES) == (shade == "light")
    if name == "pawns":
        white, black, *files = rest.split(",")
        on = lambda side: sum(
            not files or chess.FILE_NAMES[chess.square_file(pawn)] in files[0]
            for pawn in board.pieces(chess.PAWN, side)
        )
        return (on(chess.WHITE), on(chess.BLACK)) == (int(white), int(black))
    if name == "turn":
        return board.turn == colour(rest)
    if name in ("attackers", "defenders"):
        square = chess.parse_square(rest.split()[0])
        owner = board.color_at(square)
        by = owner if name == "defenders" else not owner
        return owner is not None and len(board.attackers(by, square)) == int(rest.split()[1])
    if name in ("hangs", "stuck", "guards"):
        square = chess.parse_square(words[0])
        if board.piece_at(square) is None:
            return False
        if name == "stuck":
            return is_stuck(board, square)
        if name == "guards":
            return len(tasks(board, square)) >= int(words[1])
        at = turn_of(board, not board.color_at(square))
        return at is not None and exchange(at.copy(), square) > 0
    if name == "made":
        found = made(board, colour(words[0]), int(words[1]))
        return found is not None and found[0].san(found[1]).strip("+#") == words[2]
    if name == "then":
        found = made(board, colour(words[0]), int(words[1]))
        if found is None:
            return False
        found[0].push(found[1])
        return fact(found[0], ",".join(words[2:]))
    if name == "reaches":
        return any(made(board, side, int(words[0])) for side in (True, False))
    if name == "repeated":
        return occurrences(board) >= int(words[0])
    if name == "clock":
        return board.halfmove_clock >= int(words[0])
    if name == "forkable":
        return forkable(board, words)
    if name == "given":
        return mates(board, int(words[0])) and given(board, int(words[0]), ROLES[words[1]])
    if name == "check":
        return board.is_check() and board.turn == colour(words[0])
    if name == "moves":
        return board.legal_moves.count() == int(words[0])
    raise ValueError(f"unknown fact {text}")


def boards(fen, moves):
    """The positions of a scene, the last first."""
    board = chess.Board(fen) if fen else chess.Board()
    found = [board.copy()]
    for word in re.sub(r"\d+\.+\s*", " ", moves).split():
        board.push_san(word)
        found.append(board.copy())
    return found[::-1]


def read(path):
    """The entries of a file as (place, boards, truth, kind, fact, comment)."""
    name, fen, moves, others = "", "", "", {}
    with open(path, encoding="utf-8") as lines:
        for number, line in enumerate(lines, 1):
            line = line.rstrip("\n")
            word, _, rest = line.partition(" ")
            if word == "==":
                name, fen, moves, others = rest, "", "", {}
            elif word == "fen":
                fen = rest
            elif word == "moves":
                moves = rest
            elif word == "game":
                at, players, result, line = rest.split(" ", 3)
                others[at] = Game(players, result, boards("", line))
            elif word in ("true", "false", "trap"):
                head, comment = rest.split("|", 1)
                kind, truth = head.strip().split(" ", 1)
                scene = boards(fen, moves)
                scene[0].others = others
                yield (f"{path}:{number}", scene, word, kind, truth, comment.strip())


def check(paths):
    """Checks every fact; returns how many differ."""
    wrong = checked = 0
    for path in paths:
        for place, scene, truth, kind, text, comment in read(path):
            if truth == "trap" or text == "-":
                continue
            checked += 1
            if truth == "true":
                holds = fact(scene[0], text)
            elif text.startswith(("mates:", "mated:", "threat:")):
                # False in every reading: either side, here and up to two plies back.
                moves = text.split(":")[1]
                tests = [f"mates:{moves}", f"mated:{moves}", f"threat:{moves}"]
                holds = any(fact(board, test) for board in scene[:3] for test in tests)
            elif "@" in text or text.startswith(
                ("game:", "castled:", "uncastled:", "made:", "then:", "reaches:", "given:", "check:", "forkable:",
                 "took:", "ever:", "taker:", "notaker:", "pairs:", "first:", "double:", "right:", "noright:",
                 "steps:", "nostep:", "flights:")
            ):
                holds = fact(scene[0], text)
            else:
                holds = any(fact(board, text) for board in scene[:9])
            if holds != (truth == "true"):
                wrong += 1
                print(f"{place}: {truth} {kind} {text}: python-chess says {holds}: {comment}")
    print(f"{checked} facts checked, {wrong} differ")
    return wrong


# ---- making a part of the corpus ---------------------------------------------------------


def numbered(board, moves):
    """A line in SAN with numbers, as prose writes it, and its bare SAN."""
    board = board.copy()
    words = []
    for at, move in enumerate(moves):
        number = ""
        if board.turn:
            number = f"{board.fullmove_number}."
        elif at == 0:
            number = f"{board.fullmove_number}..."
        words.append(number + board.san(move))
        board.push(move)
    return " ".join(words)


def side(colour):
    return "White" if colour else "Black"


class Maker:
    """Makes scenes by random play from invented starts, and entries about them."""

    NUMBER = ["zero", "one", "two", "three", "four"]

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.lines = []

    def entry(self, truth, kind, text, comment):
        self.lines.append(f"{truth} {kind} {text} | {comment}")

    def pick(self, *texts):
        return self.random.choice(texts)

    def scene(self, name, board, plies):
        """Random play with a liking for captures and checks."""
        assert board.is_valid(), board.fen()
        start = board.fen()
        begin = board.copy()
        moves = []
        for _ in range(plies):
            legal = list(board.legal_moves)
            if not legal:
                break
            lively = [m for m in legal if board.is_capture(m) or board.gives_check(m)]
            move = self.random.choice(lively if lively and self.random.random() < 0.5 else legal)
            moves.append(move)
            board.push(move)
        text = begin.variation_san(moves) if moves else ""
        self.lines.append(f"== {name}")
        if start != chess.STARTING_FEN:
            self.lines.append(f"fen {start}")
        if text:
            self.lines.append(f"moves {text}")
        return boards(start, text)

    def mates(self, scene):
        here = scene[0]
        distance = next((n for n in (1, 2, 3) if mates(here, n)), None)
        mover = side(here.turn)
        if distance:
            n = self.NUMBER[distance]
            for comment in self.random.sample(
                [
                    f"{mover} has a mate in {n}.",
                    f"Mate in {distance}!",
                    f"Now {mover} forces mate in {n}.",
                    f"It is mate in {n}.",
                    f"{mover} mates in {n}.",
                ],
                2,
            ):
                self.entry("true", "mate-in", f"mates:{distance}", comment)
        for wanted in (1, 2):
            tests = [f"mates:{wanted}", f"mated:{wanted}", f"threat:{wanted}"]
            if any(fact(board, test) for board in scene[:3] for test in tests):
                continue
            soon = any(
                fact(after, test)
                for move in here.legal_moves
                for after in [play(here, here.san(move))]
                for test in tests[:2]
            )
            if soon:
                continue
            n = self.NUMBER[wanted]
            comment = self.pick(
                f"{mover} has a mate in {n}.", f"Now it is mate in {n}.", f"{mover} mates in {n} now."
            )
            self.entry("false", "mate-in", f"mates:{wanted}", comment)
            if not here.is_check() and wanted == 2:
                self.entry(
                    "false",
                    "mate-threat",
                    f"threat:{wanted}",
                    f"{side(not here.turn)} threatens mate in {n}.",
                )
            break
        other = passed_turn(here)
        if other is not None and not here.is_check():
            n = next((n for n in (1, 2) if mates(other, n)), None)
            if n:
                comment = self.pick(
                    f"{side(not here.turn)} threatens mate.",
                    f"This threatens mate in {self.NUMBER[n]}.",
                )
                self.entry("true", "mate-threat", f"threat:{n}", comment)

    def ends(self, scene):
        """Mates and checks at the end of a line of one move."""
        here = scene[0]
        legal = list(here.legal_moves)
        matings = [m for m in legal if play(here, here.san(m)).is_checkmate()]
        checks = [m for m in legal if here.gives_check(m) and m not in matings]
        for move in matings[:1]:
            san = here.san(move).rstrip("#")
            line = numbered(here, [move]).rstrip("#")
            comment = self.pick(f"Now {line} is mate.", f"{line} mate ends it.", f"And {line}# follows.")
            kind = "mate" if "is mate" in comment else "line"
            self.entry("true", kind, f"mate@{san}", comment)
        for move in checks[:1]:
            san = here.san(move).rstrip("+")
            line = numbered(here, [move]).rstrip("+")
            after = play(here, san)
            if mated(after, 3):
                continue
            comment = self.pick(f"Now {line} is mate.", f"Here {line}# ends it.")
            kind = "mate" if "is mate" in comment else "line"
            self.entry("false", kind, f"mate@{san}", comment)
        quiet = [m for m in legal if not here.gives_check(m)]
        if quiet:
            move = self.random.choice(quiet)
            line = numbered(here, [move])
            self.entry("false", "line", f"check@{here.san(move)}", f"Possible is {line}+ here.")

    def cited(self, scene):
        """Lines that can and cannot be played."""
        here = scene[0]
        board = here.copy()
        moves = []
        for _ in range(3):
            legal = list(board.legal_moves)
            if not legal:
                break
            moves.append(self.random.choice(legal))
            board.push(moves[-1])
        if len(moves) == 3:
            line = numbered(here, moves)
            comment = self.pick(f"Possible is {line}.", f"Then {line} would follow.", f"If {line}, nothing is lost.")
            self.entry("true", "line", f"legal@{line}", comment)
            board = here.copy()
            board.push(moves[0])
            board.push(moves[1])
            words = line.rsplit(" ", 1)
            bad = self.illegal(board)
            if bad:
                prefix = f"{board.fullmove_number}." if board.turn else ""
                line = f"{words[0]} {prefix}{bad}"
                self.entry("false", "line", f"legal@{line}", f"Possible is {line}.")
        bad = self.illegal(here)
        if bad:
            number = f"{here.fullmove_number}." if here.turn else f"{here.fullmove_number}..."
            self.entry("false", "line", f"legal@{bad}", f"Here {number}{bad} deserved attention.")

    def illegal(self, board):
        """A move of a piece that no piece of its kind can make, on any square."""
        for _ in range(60):
            role = self.random.choice("NBRQ")
            square = self.random.randrange(64)
            bad = role + chess.square_name(square)
            piece = chess.Piece.from_symbol(role).piece_type
            if not board.pieces(piece, board.turn):
                continue
            if any(
                move.to_square == square and board.piece_type_at(move.from_square) == piece
                for move in board.pseudo_legal_moves
            ):
                continue
            occupant = board.piece_at(square)
            if occupant is not None:
                continue
            return bad
        return None

    def pieces(self, scene):
        here = scene[0]
        names = {value: key for key, value in ROLES.items()}
        square, piece = self.random.choice(sorted(here.piece_map().items()))
        name, at = names[piece.piece_type], chess.square_name(square)
        owner = "white" if piece.color else "black"
        comment = self.pick(
            f"The {name} on {at} matters.",
            f"The {at}-{name} has a future.",
            f"{side(piece.color)}'s {name} on {at} is well placed.",
        )
        self.entry("true", "piece", f"on:{owner},{name},{at}", comment)
        for _ in range(50):
            square = self.random.randrange(64)
            name = self.random.choice(["knight", "bishop", "rook", "queen"])
            at = chess.square_name(square)
            if any(fact(board, f"on:any,{name},{at}") for board in scene):
                continue
            comment = self.pick(f"The {name} on {at} is well placed.", f"The {at}-{name} is strong.")
            self.entry("false", "piece", f"on:any,{name},{at}", comment)
            break

    def work(self, scene):
        """Pins and attacks."""
        here = scene[0]
        names = {value: key for key, value in ROLES.items()}
        for square, piece in sorted(here.piece_map().items()):
            if piece.piece_type != chess.KING and here.is_pinned(piece.color, square):
                at = chess.square_name(square)
                self.entry(
                    "true", "relation", f"pinned:{at}", f"The {names[piece.piece_type]} on {at} is pinned."
                )
                break
        pairs = [
            (a, b)
            for a, piece in sorted(here.piece_map().items())
            for b in here.attacks(a)
            if here.piece_at(b) is not None and here.color_at(b) != piece.color
        ]
        if pairs:
            a, b = self.random.choice(pairs)
            first, second = here.piece_at(a), here.piece_at(b)
            self.entry(
                "true",
                "relation",
                f"attacks:{chess.square_name(a)},{chess.square_name(b)}",
                f"The {names[first.piece_type]} on {chess.square_name(a)} attacks the "
                f"{names[second.piece_type]} on {chess.square_name(b)}.",
            )

    def material(self, scene):
        here = scene[0]
        balance = points(here, True)
        if balance == 0:
            self.entry("true", "material", "up:white,0", self.pick("Material is level.", "Material is equal here."))
        words = {1: "a pawn", 2: "two pawns", 3: "a piece", 5: "a rook", 9: "a queen"}
        if abs(balance) in words:
            who = side(balance > 0)
            self.entry(
                "true", "material", f"up:{who.lower()},{abs(balance)}", f"{who} is {words[abs(balance)]} up."
            )
        for value in (9, 5):
            tests = [f"up:white,{value}"]
            after = [play(here, here.san(m)) for m in here.legal_moves]
            other = passed_turn(here)
            if other is not None:
                after += [play(other, other.san(m)) for m in other.legal_moves]
            if not any(fact(board, test) for board in scene + after for test in tests):
                self.entry("false", "material", tests[0], f"White is {words[value]} up.")
                break

    def structure(self, scene):
        here = scene[0]
        opens = [f for f in "abcdefgh" if fact(here, f"open:{f}")]
        if opens:
            f = self.random.choice(opens)
            self.entry("true", "structure", f"open:{f}", self.pick(f"The {f}-file is open.", f"The open {f}-file matters."))
        shut = [f for f in "abcdefgh" if self.shut(scene, f)]
        if shut:
            f = self.random.choice(shut)
            self.entry("false", "structure", f"open:{f}", f"The {f}-file is open.")
        for square in sorted(here.pieces(chess.PAWN, True) | here.pieces(chess.PAWN, False)):
            at = chess.square_name(square)
            if is_passed(here, square):
                self.entry("true", "structure", f"passed:{at}", f"The pawn on {at} is passed.")
                break

    def shut(self, scene, file):
        """Whether both sides have a pawn on the file in every position, and after any move."""
        index = chess.FILE_NAMES.index(file)
        after = []
        for board in (scene[0], passed_turn(scene[0])):
            if board is not None:
                after += [play(board, board.san(m)) for m in board.legal_moves]
        return all(
            any(chess.square_file(square) == index for square in board.pieces(chess.PAWN, colour))
            for board in scene + after
            for colour in (True, False)
        )

    def only(self, scene):
        here = scene[0]
        if here.legal_moves.count() == 1:
            self.entry("true", "only-move", "moves:1", f"{side(here.turn)} has only one: the only legal move follows.")
        elif len(scene) > 2 and all(board.legal_moves.count() > 1 for board in scene[:9]):
            self.entry("false", "only-move", "moves:1", "This was the only legal move.")


def make():
    """Prints a corpus file of scenes that nobody played."""
    maker = Maker(20260401)
    print("# Made by tests/python/claims.py from random play; do not edit by hand.")
    starts = [chess.STARTING_FEN] * 14 + [
        "6k1/5ppp/8/8/8/8/5PPP/R2Q2K1 w - - 0 20",
        "5rk1/1RR5/8/8/8/8/8/6K1 w - - 0 31",
        "4r1k1/1RR5/8/8/8/8/8/6K1 w - - 0 31",
        "r4rk1/1b3ppp/p7/1p6/8/2NB1Q2/PPP2PPP/R4RK1 w - - 0 18",
        "2r3k1/5ppp/8/8/8/8/1q3PPP/3RQ1K1 b - - 0 25",
        "7k/6pp/8/6N1/8/1Q6/8/6K1 w - - 0 30",
        "8/8/8/8/8/5k2/6q1/7K w - - 0 60",
        "k7/8/1K6/8/8/8/8/7R w - - 0 50",
        "6rk/6pp/8/6N1/8/8/8/R5K1 w - - 0 33",
        "r1b2rk1/ppq2ppp/2n2n2/3p4/3P4/2NB1N2/PP3PPP/R2Q1RK1 w - - 0 12",
        "3q2k1/5ppp/8/8/3R4/8/5PPP/3Q2K1 b - - 0 22",
        "8/5k2/4p3/3pP3/3P4/4K3/8/8 w - - 0 40",
        "r3k2r/ppp2ppp/2n5/3q4/8/2N5/PPP2PPP/R2QK2R w KQkq - 0 10",
        "2kr3r/ppp2p1p/2n3p1/8/1b6/2N2Q2/PPP2PPP/R3K2R w KQ - 0 14",
    ]
    # Ends of games, taken as they stand: two rooks on the seventh against a castled king
    # whose flight square is occupied, covered or free, and other short mates.
    ends = [
        "5rk1/1RR5/8/8/8/8/8/6K1 w - - 0 31",
        "5rk1/R1R5/4p3/8/8/8/5PPP/6K1 w - - 0 29",
        "r4rk1/1RR5/p7/8/8/8/8/6K1 w - - 0 28",
        "4r1k1/1RR5/8/8/8/8/8/6K1 w - - 0 31",
        "6k1/1RR5/8/8/1B6/8/r7/6K1 w - - 0 35",
        "6k1/1RR5/8/8/8/8/r7/6K1 w - - 0 35",
        "6k1/1RR5/6N1/8/8/8/r7/6K1 w - - 0 35",
        "6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 24",
        "6k1/5pp1/7p/8/8/8/5PPP/3R2K1 w - - 0 24",
        "k7/8/1K6/8/8/8/8/7R w - - 0 50",
        "k7/8/2K5/8/8/8/8/7R w - - 0 50",
        "7k/8/5K2/6Q1/8/8/8/8 w - - 0 44",
        "6rk/6pp/7N/8/8/8/8/6K1 w - - 0 33",
        "6rk/6pp/8/6N1/8/8/8/6K1 w - - 0 33",
        "5rk1/5p1p/6pB/8/8/5Q2/8/6K1 w - - 0 27",
        "8/8/8/8/8/6k1/4q3/7K b - - 0 52",
        "8/8/8/8/1b6/k7/2r5/K7 b - - 0 48",
        "r1bqkb1r/pppp1ppp/2n2n2/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR w KQkq - 4 4",
        "7k/5Q2/6K1/8/8/8/8/8 b - - 0 58",
        "3r2k1/5ppp/8/8/8/8/1Q3PPP/6K1 b - - 0 30",
    ]
    for at, start in enumerate(starts + ends, 1):
        plies = 10 + 2 * at if start == chess.STARTING_FEN else at % 4
        if at > len(starts):
            plies = 0
        scene = maker.scene(f"made {at}", chess.Board(start), plies)
        if scene[0].is_game_over():
            continue
        for part in (
            maker.mates,
            maker.ends,
            maker.cited,
            maker.cited,
            maker.pieces,
            maker.pieces,
            maker.work,
            maker.material,
            maker.structure,
            maker.only,
        ):
            part(scene)
    print("\n".join(maker.lines))


def positions(path, step=3):
    """Prints a corpus file about every third position of a table."""
    maker = Maker(7)
    with open(path, encoding="utf-8", newline="") as table:
        for at, row in enumerate(csv.DictReader(table)):
            if at % step:
                continue
            board = chess.Board(row["FEN"])
            moves = row["Moves"].split()
            fen, mistake = board.fen(), board.parse_uci(moves[0])
            text = board.variation_san([mistake])
            board.push(mistake)
            scene = boards(fen, text)
            maker.lines += [f"== position {at}", f"fen {fen}", f"moves {text}"]
            themes = row["Themes"].split()
            number = next((int(t[6:]) for t in themes if t.startswith("mateIn")), None)
            solution = [chess.Move.from_uci(move) for move in moves[1:]]
            mover = side(board.turn)
            if number:
                maker.entry("true", "mate-in", "-", f"{mover} mates in {number}.")
                line = numbered(board, solution)
                if number < 5:
                    maker.entry("true", "line", "-", f"{mover} wins by {line}.")
                tests = [f"{name}:1" for name in ("mates", "mated", "threat")]
                after = [play(board, board.san(move)) for move in board.legal_moves]
                if number > 1 and not any(
                    fact(position, test) for position in scene + after for test in tests
                ):
                    maker.entry("false", "mate-in", "mates:1", f"{mover} mates in one.")
            for part in (
                maker.ends,
                maker.cited,
                maker.pieces,
                maker.work,
                maker.material,
                maker.structure,
            ):
                part(scene)
    print("\n".join(maker.lines))


if __name__ == "__main__":
    if sys.argv[1:2] == ["make"]:
        make()
    elif sys.argv[1:2] == ["positions"]:
        positions(sys.argv[2])
    elif sys.argv[1:2] == ["check"]:
        sys.exit(1 if check(sys.argv[2:]) else 0)
    else:
        sys.exit(__doc__)
