//! Captures on one square, and what follows from them: hanging, trapped and
//! overloaded pieces.

use shakmaty::{Bitboard, Board, Chess, Color, Move, Piece, Position, Role, Square, attacks};

/// The value of a piece in centipawns: pawn 100, knight and bishop 300, rook 500,
/// queen 900 (common practice; close to Capablanca, *Chess Fundamentals*, 1921,
/// "Relative value of the pieces"). The king counts 10,000, more than all else.
#[must_use]
pub const fn role_value(role: Role) -> i32 {
    match role {
        Role::Pawn => 100,
        Role::Knight | Role::Bishop => 300,
        Role::Rook => 500,
        Role::Queen => 900,
        Role::King => 10_000,
    }
}

/// More captures than this cannot follow each other on one square: 32 men, one on it.
const LONGEST: usize = 34;

/// The order in which pieces are given up in an exchange.
const BY_VALUE: [Role; 6] = [
    Role::Pawn,
    Role::Knight,
    Role::Bishop,
    Role::Rook,
    Role::Queen,
    Role::King,
];

/// What the side that moves from `from` to `to` wins or loses when, after that move,
/// both sides may only capture on `to`, each with its least valuable piece that may
/// legally do so (among equals the one on the lowest square), and each may stop
/// whenever going on would cost it. A pawn that captures on the last rank becomes a
/// queen. Pins and checks are respected on every move.
///
/// `None` when no piece stands on `from`, the piece does not move to `to` by its own
/// movement, or its king would be left attacked. En passant and castling are for
/// [`exchange_of`]. Common practice, no source.
#[must_use]
pub fn exchange(board: &Board, from: Square, to: Square) -> Option<i32> {
    let piece = board.piece_at(from)?;
    if !moves_to(board, piece, from, to) {
        return None;
    }
    let promotion =
        (piece.role == Role::Pawn && Bitboard::BACKRANKS.contains(to)).then_some(Role::Queen);
    after_move(board, piece, from, to, to, promotion)
}

/// The same for a legal move, en passant and the chosen promotion included. Castling
/// is worth nothing, for no capture can follow on the king's square.
#[must_use]
pub fn exchange_of(position: &Chess, m: Move) -> i32 {
    let (from, captured_on, promotion) = match m {
        Move::Normal {
            from,
            to,
            promotion,
            ..
        } => (from, to, promotion),
        Move::EnPassant { from, to } => (from, Square::from_coords(to.file(), from.rank()), None),
        Move::Castle { .. } | Move::Put { .. } => return 0,
    };
    position
        .board()
        .piece_at(from)
        .and_then(|piece| {
            after_move(
                position.board(),
                piece,
                from,
                m.to(),
                captured_on,
                promotion,
            )
        })
        .unwrap_or(0)
}

/// Whether the piece goes from one square to the other by its own movement, the
/// safety of its king left aside.
fn moves_to(board: &Board, piece: Piece, from: Square, to: Square) -> bool {
    let target = board.color_at(to);
    if target == Some(piece.color) {
        return false;
    }
    if piece.role != Role::Pawn {
        return board.attacks_from(from).contains(to);
    }
    if target.is_some() {
        return attacks::pawn_attacks(piece.color, from).contains(to);
    }
    pawn_steps(board, piece.color, from).contains(to)
}

/// The empty squares a pawn may step to.
fn pawn_steps(board: &Board, color: Color, from: Square) -> Bitboard {
    let ahead = color.fold_wb(8, -8);
    let mut squares = Bitboard::EMPTY;
    let Some(one) = from.offset(ahead) else {
        return squares;
    };
    if board.occupied().contains(one) {
        return squares;
    }
    squares.add(one);
    if from.rank() == color.relative_rank(shakmaty::Rank::Second)
        && let Some(two) = one.offset(ahead)
        && !board.occupied().contains(two)
    {
        squares.add(two);
    }
    squares
}

fn after_move(
    board: &Board,
    piece: Piece,
    from: Square,
    to: Square,
    captured_on: Square,
    promotion: Option<Role>,
) -> Option<i32> {
    let occupied = board.occupied().without(from).without(captured_on).with(to);
    let king = if piece.role == Role::King {
        Some(to)
    } else {
        board.king_of(piece.color)
    };
    if !is_safe(board, piece.color, king, to, occupied) {
        return None;
    }
    let mut won = board.role_at(captured_on).map_or(0, role_value);
    let mut stands = piece.role;
    if let Some(role) = promotion {
        won += role_value(role) - role_value(Role::Pawn);
        stands = role;
    }
    Some(recaptures(board, to, occupied, stands, !piece.color, won))
}

/// Whether no enemy man attacks the king once the men outside `occupied` are gone and
/// the man on `to` has been replaced by the king's own side.
fn is_safe(
    board: &Board,
    color: Color,
    king: Option<Square>,
    to: Square,
    occupied: Bitboard,
) -> bool {
    king.is_none_or(|king| {
        (board.attacks_to(king, !color, occupied) & occupied.without(to)).is_empty()
    })
}

/// Plays out the captures on `to`; `won` is what the first mover has won so far.
fn recaptures(
    board: &Board,
    to: Square,
    mut occupied: Bitboard,
    mut stands: Role,
    mut side: Color,
    won: i32,
) -> i32 {
    let mut gains = [0_i32; LONGEST];
    gains[0] = won;
    let mut depth = 0;
    while depth + 1 < LONGEST {
        let Some((from, role)) = cheapest(board, to, occupied, side) else {
            break;
        };
        depth += 1;
        let mut gain = role_value(stands) - gains[depth - 1];
        stands = role;
        if role == Role::Pawn && Bitboard::BACKRANKS.contains(to) {
            gain += role_value(Role::Queen) - role_value(Role::Pawn);
            stands = Role::Queen;
        }
        gains[depth] = gain;
        occupied.discard(from);
        side = !side;
    }
    while depth > 0 {
        gains[depth - 1] = -gains[depth].max(-gains[depth - 1]);
        depth -= 1;
    }
    gains[0]
}

/// The least valuable man of `side` that may legally capture on `to`.
fn cheapest(board: &Board, to: Square, occupied: Bitboard, side: Color) -> Option<(Square, Role)> {
    let candidates = board.attacks_to(to, side, occupied) & occupied.without(to);
    for role in BY_VALUE {
        for from in candidates & board.by_role(role) {
            let king = if role == Role::King {
                Some(to)
            } else {
                board.king_of(side)
            };
            if is_safe(board, side, king, to, occupied.without(from)) {
                return Some((from, role));
            }
        }
    }
    None
}

/// The capture of the piece on `target` that wins most by exchange, with its value in
/// centipawns (which may be negative), were the other side to move. `None` when no
/// legal capture exists or the square is empty or holds a king.
#[must_use]
pub fn best_capture(board: &Board, target: Square) -> Option<(Square, i32)> {
    let piece = board.piece_at(target)?;
    if piece.role == Role::King {
        return None;
    }
    let mut best: Option<(Square, i32)> = None;
    for from in board.attacks_to(target, !piece.color, board.occupied()) {
        if let Some(value) = exchange(board, from, target)
            && best.is_none_or(|(_, most)| value > most)
        {
            best = Some((from, value));
        }
    }
    best
}

/// What the other side, were it to move, wins by exchange on `target`; 0 when
/// capturing there wins nothing.
#[must_use]
pub fn capture_gain(board: &Board, target: Square) -> i32 {
    best_capture(board, target).map_or(0, |(_, value)| value.max(0))
}

/// Whether the piece on `target` hangs: the other side, were it to move, would win
/// material by capturing it. An attacked and undefended piece hangs, and so does a
/// defended one attacked by a cheaper piece. Common practice, no source.
#[must_use]
pub fn hanging(board: &Board, target: Square) -> bool {
    capture_gain(board, target) > 0
}

/// Whether a piece stands on `target` and none of its own side defends it ("loose").
/// A defender that may not legally recapture still counts. Common practice, no source.
#[must_use]
pub fn undefended(board: &Board, target: Square) -> bool {
    board
        .color_at(target)
        .is_some_and(|color| board.attacks_to(target, color, board.occupied()).is_empty())
}

/// The squares to which the piece on `from` could legally move if it were its side's
/// turn, castling and en passant aside.
#[must_use]
pub fn legal_targets(board: &Board, from: Square) -> Bitboard {
    targets(board, from, |_| true)
}

/// Those of [`legal_targets`] where the piece loses nothing by exchange. A king's
/// legal squares are all safe.
#[must_use]
pub fn safe_squares(board: &Board, from: Square) -> Bitboard {
    targets(board, from, |value| value >= 0)
}

fn targets(board: &Board, from: Square, wanted: impl Fn(i32) -> bool) -> Bitboard {
    let Some(piece) = board.piece_at(from) else {
        return Bitboard::EMPTY;
    };
    let mut reach = board.attacks_from(from);
    if piece.role == Role::Pawn {
        reach = (reach & board.by_color(!piece.color)) | pawn_steps(board, piece.color, from);
    }
    let mut squares = Bitboard::EMPTY;
    for to in reach & !board.by_color(piece.color) & !board.kings() {
        if exchange(board, from, to).is_some_and(&wanted) {
            squares.add(to);
        }
    }
    squares
}

/// Whether the piece on `from` is trapped: wherever it may go, it is lost, or it may
/// go nowhere. Whether it is attacked already is told by [`hanging`]. Kings and pawns
/// are not called trapped here. Common practice, no source.
#[must_use]
pub fn trapped(board: &Board, from: Square) -> bool {
    board
        .role_at(from)
        .is_some_and(|role| !matches!(role, Role::Pawn | Role::King))
        && safe_squares(board, from).is_empty()
}

/// The own pieces that only the piece on `defender` keeps from [`hanging`]: they do
/// not hang now, and would if it were lifted from the board.
#[must_use]
pub fn duties(board: &Board, defender: Square) -> Bitboard {
    let Some(piece) = board.piece_at(defender) else {
        return Bitboard::EMPTY;
    };
    let guarded = board.attacks_from(defender) & board.by_color(piece.color) & !board.kings();
    if piece.role == Role::King {
        // A board without the king cannot be judged for pins, so its duties are the
        // attacked pieces that nobody else defends.
        return guarded
            .into_iter()
            .filter(|&own| {
                !hanging(board, own)
                    && !board
                        .attacks_to(own, !piece.color, board.occupied())
                        .is_empty()
                    && board
                        .attacks_to(own, piece.color, board.occupied())
                        .single_square()
                        .is_some()
            })
            .collect();
    }
    let mut without = board.clone();
    without.discard_piece_at(defender);
    guarded
        .into_iter()
        .filter(|&own| !hanging(board, own) && hanging(&without, own))
        .collect()
}

/// Whether the piece on `defender` is overloaded: it alone keeps two or more of its
/// own pieces from being won ([`duties`]). Duties to guard squares against mate are not
/// seen here. Common practice, no source.
#[must_use]
pub fn overloaded(board: &Board, defender: Square) -> bool {
    duties(board, defender).more_than_one()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, position, square, uci};

    /// The definition said with the rules library alone: play, generate, compare.
    fn slow_exchange(position: &Chess, m: Move) -> i32 {
        let gain = m.capture().map_or(0, role_value)
            + m.promotion()
                .map_or(0, |role| role_value(role) - role_value(Role::Pawn));
        let to = m.to();
        let mut next = position.clone();
        next.play_unchecked(m);
        let reply = next
            .legal_moves()
            .into_iter()
            .filter(|r| {
                r.to() == to
                    && matches!(
                        r,
                        Move::Normal {
                            capture: Some(_),
                            ..
                        }
                    )
            })
            .filter(|r| r.promotion().is_none_or(|role| role == Role::Queen))
            .min_by_key(|r| (BY_VALUE.iter().position(|&role| role == r.role()), r.from()));
        gain - reply.map_or(0, |r| slow_exchange(&next, r).max(0))
    }

    #[test]
    fn exchanges_equal_playing_them_out() {
        let mut compared = 0;
        for position in playouts(60, 90) {
            for m in position.legal_moves() {
                if m.is_castle() {
                    continue;
                }
                compared += 1;
                assert_eq!(
                    exchange_of(&position, m),
                    slow_exchange(&position, m),
                    "{} {m}",
                    position.board()
                );
            }
        }
        assert!(compared > 10_000);
    }

    #[test]
    fn legal_targets_equal_the_rules_library() {
        for position in playouts(40, 80) {
            let mut by_rules = vec![Bitboard::EMPTY; 64];
            for m in position.legal_moves() {
                if let Move::Normal { from, to, .. } = m {
                    by_rules[from as usize].add(to);
                }
            }
            for from in position.us() {
                assert_eq!(
                    legal_targets(position.board(), from),
                    by_rules[from as usize],
                    "{} {from}",
                    position.board()
                );
            }
        }
    }

    /// Hanging and safe squares, said with the rules library alone.
    #[test]
    fn hanging_and_safe_squares_equal_playing_every_move() {
        let mut hanging_seen = 0;
        let mut unsafe_seen = 0;
        for position in playouts(60, 90) {
            let board = position.board();
            let moves = position.legal_moves();
            let plain = |m: &&Move| {
                matches!(m, Move::Normal { .. })
                    && m.promotion().is_none_or(|role| role == Role::Queen)
            };
            for target in position.them() & !board.kings() {
                let won = moves
                    .iter()
                    .filter(plain)
                    .any(|&m| m.to() == target && slow_exchange(&position, m) > 0);
                hanging_seen += usize::from(won);
                assert_eq!(hanging(board, target), won, "{board} {target}");
            }
            for from in position.us() {
                let safe: Bitboard = moves
                    .iter()
                    .filter(plain)
                    .filter(|m| m.from() == Some(from))
                    .filter(|&&m| m.role() == Role::King || slow_exchange(&position, m) >= 0)
                    .map(|m| m.to())
                    .collect();
                unsafe_seen += legal_targets(board, from).count() - safe.count();
                assert_eq!(safe_squares(board, from), safe, "{board} {from}");
                let piece = !matches!(board.role_at(from), Some(Role::Pawn | Role::King));
                assert_eq!(trapped(board, from), piece && safe.is_empty());
            }
        }
        assert!(hanging_seen > 200 && unsafe_seen > 200);
    }

    /// An overloaded piece, said with the rules library alone: lifting it from the board
    /// lets the other side win two or more pieces that it could not win before.
    #[test]
    fn overloaded_pieces_equal_their_definition() {
        let mut seen = 0;
        for position in playouts(150, 90) {
            let board = position.board();
            for defender in position.them() & !board.kings() {
                let mut setup = position.to_setup(shakmaty::EnPassantMode::Legal);
                setup.board.discard_piece_at(defender);
                setup.castling_rights = Bitboard::EMPTY;
                setup.ep_square = None;
                let Ok(lifted) = setup.position::<Chess>(shakmaty::CastlingMode::Standard) else {
                    continue;
                };
                let wins = |position: &Chess, target: Square| {
                    position.legal_moves().iter().any(|&m| {
                        m.to() == target
                            && matches!(m, Move::Normal { .. })
                            && m.promotion().is_none_or(|role| role == Role::Queen)
                            && slow_exchange(position, m) > 0
                    })
                };
                let count = board
                    .attacks_from(defender)
                    .into_iter()
                    .filter(|&own| {
                        (position.them() & !board.kings()).contains(own)
                            && !wins(&position, own)
                            && wins(&lifted, own)
                    })
                    .count();
                seen += usize::from(count > 1);
                assert_eq!(overloaded(board, defender), count > 1, "{board} {defender}");
            }
        }
        assert!(seen > 20, "{seen}");
    }

    #[test]
    fn a_pinned_defender_does_not_recapture() {
        // The knight e7 is pinned to its king, so it does not defend d5.
        let board = board("4k3/4n3/8/3p4/8/1B6/8/4R1K1");
        assert_eq!(exchange(&board, square("b3"), square("d5")), Some(100));
        assert!(hanging(&board, square("d5")));
        assert!(!undefended(&board, square("d5")));
    }

    #[test]
    fn promotion_counts() {
        let p = position("1n2k3/P7/8/8/8/8/8/4K3 w - - 0 1");
        assert_eq!(exchange_of(&p, uci(&p, "a7b8q")), 1100);
        let p = position("rn2k3/P7/8/8/8/8/8/4K3 w - - 0 1");
        assert_eq!(exchange_of(&p, uci(&p, "a7b8q")), 300 + 800 - 900);
    }

    #[test]
    fn en_passant_counts() {
        let p = position("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1");
        assert_eq!(exchange_of(&p, uci(&p, "e5d6")), 100);
    }

    #[test]
    fn the_bishop_that_ate_the_pawn_is_trapped() {
        let board = board("6k1/8/8/8/8/1P6/b1P5/2K5");
        assert!(trapped(&board, square("a2")));
        let free = super::super::testing::board("6k1/8/8/8/8/8/b1P5/2K5");
        assert!(!trapped(&free, square("a2")));
    }

    #[test]
    fn a_knight_with_two_duties_is_overloaded() {
        // The knight f6 alone guards d7 and h5, both attacked by rooks.
        let board = board("6k1/3r4/5n2/7r/8/8/8/3R2KR");
        assert_eq!(duties(&board, square("f6")).count(), 2);
        assert!(overloaded(&board, square("f6")));
        assert!(!overloaded(&board, square("d7")));
    }
}
