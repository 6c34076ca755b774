"""Mates by brute force with python-chess (PyPI, an independent rules library)."""


def mates_within(board, moves):
    """Whether the side to move mates in at most so many moves."""
    checks_first = sorted(board.legal_moves, key=lambda move: not board.gives_check(move))
    return any(mates_by(board, move, moves) for move in checks_first)


def mates_by(board, move, moves):
    """Whether `move` mates in at most so many moves, itself included."""
    if moves == 1 and not board.gives_check(move):
        return False
    board.push(move)
    try:
        if board.is_checkmate():
            return True
        if moves == 1 or not any(board.legal_moves):
            return False
        for reply in list(board.legal_moves):
            board.push(reply)
            held = not mates_within(board, moves - 1)
            board.pop()
            if held:
                return False
        return True
    finally:
        board.pop()
