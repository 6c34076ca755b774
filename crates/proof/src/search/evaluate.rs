//! A small evaluation, written by hand.
//!
//! Two values are kept for every feature, one for the middlegame and one for the
//! endgame, and mixed by the pieces left (tapered evaluation). Units are hundredths of
//! a pawn. All weights are this project's own, set by hand.

use shakmaty::{Bitboard, Board, Chess, Color, File, Position, Rank, Role, Square, attacks};

/// A weight for the middlegame and one for the endgame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Pair(i32, i32);

impl std::ops::AddAssign for Pair {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
        self.1 += other.1;
    }
}

impl std::ops::SubAssign for Pair {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
        self.1 -= other.1;
    }
}

impl std::ops::Mul<i32> for Pair {
    type Output = Self;
    fn mul(self, times: i32) -> Self {
        Self(self.0 * times, self.1 * times)
    }
}

const fn material(role: Role) -> Pair {
    match role {
        Role::Pawn => Pair(90, 115),
        Role::Knight => Pair(330, 315),
        Role::Bishop => Pair(345, 335),
        Role::Rook => Pair(490, 540),
        Role::Queen => Pair(1_010, 980),
        Role::King => Pair(0, 0),
    }
}

/// How much a role counts towards the middlegame; all pieces together make 24.
const fn phase(role: Role) -> i32 {
    match role {
        Role::Knight | Role::Bishop => 1,
        Role::Rook => 2,
        Role::Queen => 4,
        Role::Pawn | Role::King => 0,
    }
}
const FULL: i32 = 24;

const BISHOP_PAIR: Pair = Pair(28, 45);
const ISOLATED: Pair = Pair(-9, -14);
const DOUBLED: Pair = Pair(-6, -16);
const BACKWARD: Pair = Pair(-6, -8);
const OPEN_ROOK: Pair = Pair(24, 10);
const HALF_OPEN_ROOK: Pair = Pair(10, 6);
const SEVENTH_ROOK: Pair = Pair(10, 22);
const OUTPOST: Pair = Pair(20, 10);
/// By the rank of a passed pawn, counted from its own side.
const PASSED: [Pair; 8] = [
    Pair(0, 0),
    Pair(0, 10),
    Pair(2, 14),
    Pair(8, 28),
    Pair(24, 55),
    Pair(52, 95),
    Pair(95, 160),
    Pair(0, 0),
];
/// More for a passed pawn with nothing before it.
const FREE_PATH: Pair = Pair(2, 12);
/// A piece attacked by a pawn, or by a cheaper piece, or attacked and undefended.
const HIT_BY_PAWN: Pair = Pair(40, 36);
const HIT_BY_MINOR: Pair = Pair(28, 26);
const LOOSE: Pair = Pair(16, 16);
/// A pawn of the shield missing before the king.
const SHIELD: Pair = Pair(-14, 0);
const OPEN_KING: Pair = Pair(-20, 0);
/// The side to move is a little better.
const TEMPO: i32 = 14;

/// The worth of the place of a man, seen from its own side.
fn place(role: Role, square: Square, color: Color) -> Pair {
    let rank = color.relative_rank(square.rank()) as i32;
    let file = square.file() as i32;
    // From 0 on the edge to 3 in the centre.
    let central = |x: i32| if x < 4 { x } else { 7 - x };
    let (f, r) = (central(file), central(rank));
    match role {
        Role::Pawn => {
            const ADVANCE: [Pair; 8] = [
                Pair(0, 0),
                Pair(0, 0),
                Pair(2, 4),
                Pair(8, 12),
                Pair(18, 26),
                Pair(34, 52),
                Pair(60, 90),
                Pair(0, 0),
            ];
            let mut worth = ADVANCE
                .get(rank.unsigned_abs() as usize)
                .copied()
                .unwrap_or_default();
            if f == 3 && (rank == 3 || rank == 4) {
                worth += Pair(18, 0);
            } else if f == 3 && rank == 1 {
                worth += Pair(-14, 0);
            }
            worth
        }
        Role::Knight => {
            let centre = f + r;
            let mut worth = Pair(7 * centre - 24, 6 * centre - 22);
            if rank == 0 {
                worth += Pair(-8, 0);
            }
            worth
        }
        Role::Bishop => {
            let mut worth = Pair(3 * (f + r) - 10, 3 * (f + r) - 10);
            if rank == 0 {
                worth += Pair(-10, 0);
            }
            worth
        }
        Role::Rook => Pair(3 * f - 4, 0),
        Role::Queen => Pair(f + r - 4, 4 * (f + r) - 12),
        Role::King => {
            let mut worth = Pair(-14 * rank.min(4), 9 * (f + r) - 26);
            if rank == 0 {
                worth += match file {
                    6 => Pair(30, 0),
                    1 | 2 => Pair(24, 0),
                    0 | 7 => Pair(16, 0),
                    _ => Pair(-6, 0),
                };
            }
            worth
        }
    }
}

/// Mobility: the weight of one square and the number of squares that is average.
const fn mobility(role: Role) -> (Pair, i32) {
    match role {
        Role::Knight => (Pair(5, 5), 4),
        Role::Bishop => (Pair(5, 5), 6),
        Role::Rook => (Pair(3, 5), 6),
        Role::Queen => (Pair(1, 3), 12),
        Role::Pawn | Role::King => (Pair(0, 0), 0),
    }
}

/// How heavily an attack of this role on the squares round the king weighs.
const fn danger(role: Role) -> i32 {
    match role {
        Role::Knight | Role::Bishop => 3,
        Role::Rook => 4,
        Role::Queen => 7,
        Role::Pawn | Role::King => 0,
    }
}

fn file_of(square: Square) -> Bitboard {
    Bitboard::from_file(square.file())
}

fn beside(squares: Bitboard) -> Bitboard {
    let (a, h) = (Bitboard::from_file(File::A), Bitboard::from_file(File::H));
    ((squares & !h).shift(1)) | ((squares & !a).shift(-1))
}

/// The squares that the pawns attack.
fn pawn_reach(pawns: Bitboard, color: Color) -> Bitboard {
    beside(pawns).shift(color.fold_wb(8, -8))
}

/// All squares in front of these, on their own files.
fn front(squares: Bitboard, color: Color) -> Bitboard {
    let step = color.fold_wb(8, -8);
    let mut filled = squares.shift(step);
    filled |= filled.shift(step);
    filled |= filled.shift(2 * step);
    filled |= filled.shift(4 * step);
    filled
}

/// What one side's men attack.
#[derive(Default)]
struct Reach {
    pawns: Bitboard,
    minors: Bitboard,
    all: Bitboard,
    /// The pressure on the enemy king: the sum of dangers, and how many men add to it.
    pressure: i32,
    besiegers: i32,
}

/// The value of the position for the side to move, in centipawns, with no search at all.
/// It knows nothing of checks, mates and hanging pieces beyond its weights.
#[must_use]
pub fn evaluate(position: &Chess) -> i32 {
    let board = position.board();
    let mut total = Pair::default();
    let mut left = 0;
    let mut reach = [Reach::default(), Reach::default()];
    for color in [Color::White, Color::Black] {
        let seat = usize::from(color.is_black());
        let (sum, pieces) = men(board, color, &mut reach[seat]);
        left += pieces;
        if color.is_white() {
            total += sum;
        } else {
            total -= sum;
        }
    }
    let [white, black] = &reach;
    total += threats(board, Color::White, white, black);
    total -= threats(board, Color::Black, black, white);
    total += king(board, Color::White, black);
    total -= king(board, Color::Black, white);
    let left = left.min(FULL);
    let mixed = (total.0 * left + total.1 * (FULL - left)) / FULL;
    let scaled = scale(board, mixed);
    position.turn().fold_wb(scaled, -scaled) + TEMPO
}

/// Material, places, mobility, pawns and files of one side, and its phase.
fn men(board: &Board, color: Color, reach: &mut Reach) -> (Pair, i32) {
    let mut sum = Pair::default();
    let mut pieces = 0;
    let own = board.by_color(color);
    let pawns = board.by_piece(color.pawn());
    let theirs = board.by_piece((!color).pawn());
    let guarded = pawn_reach(theirs, !color);
    reach.pawns = pawn_reach(pawns, color);
    reach.all |= reach.pawns;
    let zone = board.king_of(!color).map_or(Bitboard::EMPTY, |king| {
        attacks::king_attacks(king).with(king)
    });
    let neighbours = beside(Bitboard::FULL & pawns);
    for pawn in pawns {
        sum += material(Role::Pawn);
        sum += place(Role::Pawn, pawn, color);
        let here = Bitboard::from(pawn);
        let ahead = front(here, color);
        let around = beside(file_of(pawn));
        let passed = (theirs & (ahead | beside(ahead))).is_empty();
        if (pawns & ahead).any() {
            sum += DOUBLED;
        } else if passed {
            let rank = color.relative_rank(pawn.rank());
            sum += PASSED.get(rank as usize).copied().unwrap_or_default();
            if (board.occupied() & ahead).is_empty() {
                sum += FREE_PATH * (rank as i32 - 1);
            }
            sum += escort(board, color, pawn, rank as i32);
        }
        if (pawns & around).is_empty() {
            sum += ISOLATED;
        } else if (guarded & here.shift(color.fold_wb(8, -8))).any()
            && (neighbours & here).is_empty()
            && (pawns & around & !front(beside(here), color)).is_empty()
        {
            sum += BACKWARD;
        }
    }
    for role in [Role::Knight, Role::Bishop, Role::Rook, Role::Queen] {
        let (weight, average) = mobility(role);
        for square in own & board.by_role(role) {
            pieces += phase(role);
            sum += material(role);
            sum += place(role, square, color);
            // A slider looks through its own queen and rooks of the same lines.
            let seen = attacks::attacks(square, role.of(color), board.occupied());
            reach.all |= seen;
            if matches!(role, Role::Knight | Role::Bishop) {
                reach.minors |= seen;
                let safe = (theirs & front(beside(square.into()), color)).is_empty();
                if safe
                    && reach.pawns.contains(square)
                    && color.relative_rank(square.rank()) >= Rank::Fourth
                {
                    sum += OUTPOST;
                }
            }
            let squares = i32::try_from((seen & !own & !guarded).count()).unwrap_or(0);
            sum += weight * (squares - average);
            let near = i32::try_from((seen & zone).count()).unwrap_or(0);
            if near > 0 {
                reach.besiegers += 1;
                reach.pressure += danger(role) * near;
            }
            if role == Role::Rook {
                let file = file_of(square);
                if (file & board.pawns()).is_empty() {
                    sum += OPEN_ROOK;
                } else if (file & pawns).is_empty() {
                    sum += HALF_OPEN_ROOK;
                }
                if color.relative_rank(square.rank()) == Rank::Seventh {
                    sum += SEVENTH_ROOK;
                }
            }
        }
    }
    if let Some(king) = board.king_of(color) {
        sum += place(Role::King, king, color);
        reach.all |= attacks::king_attacks(king);
    }
    let bishops = board.by_piece(color.bishop());
    if (bishops & Bitboard::LIGHT_SQUARES).any() && (bishops & Bitboard::DARK_SQUARES).any() {
        sum += BISHOP_PAIR;
    }
    (sum, pieces)
}

/// A passed pawn wants its own king near and the other far, in endings.
fn escort(board: &Board, color: Color, pawn: Square, rank: i32) -> Pair {
    let Some(stop) = pawn.offset(color.fold_wb(8, -8)) else {
        return Pair::default();
    };
    let far = |side: Color| {
        board.king_of(side).map_or(0, |king| {
            i32::try_from(king.distance(stop)).unwrap_or(0).min(5)
        })
    };
    Pair(
        0,
        (rank - 1).max(0) * (5 * far(!color) - 2 * far(color)) / 2,
    )
}

/// What `color` attacks.
fn threats(board: &Board, color: Color, own: &Reach, theirs: &Reach) -> Pair {
    let mut sum = Pair::default();
    let enemies = board.by_color(!color);
    let count = |squares: Bitboard| i32::try_from(squares.count()).unwrap_or(0);
    let pieces = enemies & !board.pawns() & !board.kings();
    sum += HIT_BY_PAWN * count(pieces & own.pawns);
    sum += HIT_BY_MINOR * count(pieces & board.rooks_and_queens() & own.minors);
    sum += LOOSE * count(pieces & own.all & !theirs.all);
    sum
}

/// The safety of the king of `color` against the other side's reach.
fn king(board: &Board, color: Color, theirs: &Reach) -> Pair {
    let Some(king) = board.king_of(color) else {
        return Pair::default();
    };
    let mut sum = Pair::default();
    if board.by_piece((!color).queen()).any() {
        let pawns = board.by_piece(color.pawn());
        let files = file_of(king) | beside(file_of(king));
        let ahead = front(Bitboard::from(king) | beside(king.into()), color);
        let step = color.fold_wb(8, -8);
        let near = (attacks::king_attacks(king) | attacks::king_attacks(king).shift(step)) & ahead;
        let shield = i32::try_from((pawns & near).count()).unwrap_or(0).min(3);
        sum += SHIELD * (3 - shield);
        for file in File::ALL {
            let line = Bitboard::from_file(file);
            if (line & files).any() && (line & pawns).is_empty() {
                sum += OPEN_KING;
            }
        }
    }
    if theirs.besiegers > 1 {
        let pressure = theirs.pressure.min(60);
        sum -= Pair(pressure * pressure / 9, pressure / 2);
    }
    sum
}

/// Draws the value towards zero where the material cannot win by itself, and drives a
/// bare king to the edge.
fn scale(board: &Board, value: i32) -> i32 {
    let strong = Color::from_white(value > 0);
    let men = board.by_color(strong);
    let weak = board.by_color(!strong);
    if (men & board.pawns()).is_empty() {
        let worth = |side: Bitboard| -> i32 {
            side.into_iter()
                .filter_map(|square| board.role_at(square))
                .map(|role| crate::facts::role_value(role) % 10_000)
                .sum()
        };
        let more = worth(men) - worth(weak);
        if worth(men) <= 300 {
            return value / 32;
        }
        if more <= 300 && worth(weak) > 0 {
            return value / 4;
        }
    }
    if weak.count() == 1
        && let (Some(ours), Some(theirs)) = (board.king_of(strong), board.king_of(!strong))
    {
        let edge = |x: i32| if x < 4 { 3 - x } else { x - 4 };
        let driven = edge(theirs.file() as i32) + edge(theirs.rank() as i32);
        let close = 7 - i32::try_from(ours.distance(theirs)).unwrap_or(0);
        let bonus = 20 * driven + 10 * close;
        return value + if value > 0 { bonus } else { -bonus };
    }
    if crate::facts::opposite_bishops(board)
        && (board.occupied() & !board.bishops() & !board.pawns() & !board.kings()).is_empty()
    {
        return value / 2;
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{playouts, position};
    use shakmaty::{CastlingMode, EnPassantMode};

    #[test]
    fn both_sides_are_valued_alike() {
        for position in playouts(40, 120) {
            let mirrored: Chess = position
                .to_setup(EnPassantMode::Legal)
                .into_mirrored()
                .position(CastlingMode::Standard)
                .unwrap();
            assert_eq!(
                evaluate(&position),
                evaluate(&mirrored),
                "{}",
                position.board()
            );
        }
    }

    #[test]
    fn more_material_is_better() {
        let level = evaluate(&Chess::default());
        assert_eq!(level, TEMPO);
        let queen_odds = position("rnb1kbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1");
        assert!(evaluate(&queen_odds) > 700);
        let bare = position("4k3/8/8/8/8/8/8/3NK3 w - - 0 1");
        assert!(evaluate(&bare).abs() < 50);
    }
}
