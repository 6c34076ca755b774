//! Counting material.

use shakmaty::{Board, ByRole, Color, Role};

/// What `color` has more (or, negative, less) than the other side, in pieces.
///
/// Knights and bishops are counted together as minor pieces, because the trade speaks
/// of "a piece up" for either; [`Difference::bishops`] keeps them apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Difference {
    /// Pawns more.
    pub pawns: i32,
    /// Knights and bishops more.
    pub minors: i32,
    /// Bishops more, a part of `minors`.
    pub bishops: i32,
    /// Rooks more.
    pub rooks: i32,
    /// Queens more.
    pub queens: i32,
}

/// What `color` has more than the other side.
#[must_use]
pub fn difference(board: &Board, color: Color) -> Difference {
    let own = board.material_side(color);
    let theirs = board.material_side(!color);
    let more = |role: Role| i32::from(*own.get(role)) - i32::from(*theirs.get(role));
    Difference {
        pawns: more(Role::Pawn),
        minors: more(Role::Knight) + more(Role::Bishop),
        bishops: more(Role::Bishop),
        rooks: more(Role::Rook),
        queens: more(Role::Queen),
    }
}

/// The balance in pawns as `color` sees it, by the scale 1, 3, 3, 5, 9 (common
/// practice, no source).
#[must_use]
pub fn balance(board: &Board, color: Color) -> i32 {
    difference(board, color).points()
}

impl Difference {
    /// The difference in pawns by the scale 1, 3, 3, 5, 9.
    #[must_use]
    pub const fn points(&self) -> i32 {
        self.pawns + 3 * self.minors + 5 * self.rooks + 9 * self.queens
    }

    /// The same difference as the other side sees it.
    #[must_use]
    pub const fn reversed(&self) -> Self {
        Self {
            pawns: -self.pawns,
            minors: -self.minors,
            bishops: -self.bishops,
            rooks: -self.rooks,
            queens: -self.queens,
        }
    }

    /// Whether no piece but pawns differs, bishop for knight being no difference.
    #[must_use]
    pub const fn pieces_level(&self) -> bool {
        self.minors == 0 && self.rooks == 0 && self.queens == 0
    }

    /// "Material is level": the same pieces and pawns, or different pieces of the same
    /// worth by the scale. Common practice, no source.
    #[must_use]
    pub const fn is_level(&self) -> bool {
        self.points() == 0
    }

    /// "`count` pawns up": pieces level and so many pawns more. Common practice, no
    /// source.
    #[must_use]
    pub const fn pawns_up(&self, count: i32) -> bool {
        self.pieces_level() && self.pawns == count
    }

    /// "The exchange up": a rook more for a minor piece less, whatever the pawns.
    /// Common practice, no source.
    #[must_use]
    pub const fn exchange_up(&self) -> bool {
        self.rooks == 1 && self.minors == -1 && self.queens == 0
    }

    /// "A piece up": one minor piece more, all else but pawns level. Common practice,
    /// no source.
    #[must_use]
    pub const fn piece_up(&self) -> bool {
        self.minors == 1 && self.rooks == 0 && self.queens == 0
    }

    /// "A piece for `count` pawns": a minor piece more and so many pawns less.
    #[must_use]
    pub const fn piece_for_pawns(&self, count: i32) -> bool {
        self.piece_up() && self.pawns == -count
    }

    /// "A rook up": one rook more, all else but pawns level.
    #[must_use]
    pub const fn rook_up(&self) -> bool {
        self.rooks == 1 && self.minors == 0 && self.queens == 0
    }

    /// "A queen up": one queen more, all else but pawns level.
    #[must_use]
    pub const fn queen_up(&self) -> bool {
        self.queens == 1 && self.minors == 0 && self.rooks == 0
    }

    /// "Two pieces for a rook": two minor pieces more and a rook less.
    #[must_use]
    pub const fn two_pieces_for_rook(&self) -> bool {
        self.minors == 2 && self.rooks == -1 && self.queens == 0
    }

    /// "Two rooks for the queen": two rooks more and a queen less.
    #[must_use]
    pub const fn two_rooks_for_queen(&self) -> bool {
        self.rooks == 2 && self.queens == -1 && self.minors == 0
    }

    /// "Rook and minor piece for the queen".
    #[must_use]
    pub const fn rook_and_piece_for_queen(&self) -> bool {
        self.rooks == 1 && self.minors == 1 && self.queens == -1
    }

    /// "Three pieces for the queen".
    #[must_use]
    pub const fn three_pieces_for_queen(&self) -> bool {
        self.minors == 3 && self.queens == -1 && self.rooks == 0
    }

    /// "Bishop against knight": a bishop more for a knight less, all else level.
    #[must_use]
    pub const fn bishop_for_knight(&self) -> bool {
        self.bishops == 1 && self.minors == 0 && self.rooks == 0 && self.queens == 0
    }
}

/// Whether `color` has material with which mate can be forced against a bare king:
/// a pawn that may promote, a rook, a queen, two bishops on opposite colours, bishop
/// and knight, or three knights. Common practice, no source.
#[must_use]
pub fn has_mating_majority(board: &Board, color: Color) -> bool {
    let ByRole {
        pawn,
        knight,
        bishop,
        rook,
        queen,
        ..
    } = board.material_side(color);
    pawn > 0
        || rook > 0
        || queen > 0
        || knight > 2
        || (bishop > 0 && knight > 0)
        || super::structure::bishop_pair(board, color)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts};
    use shakmaty::Position;

    #[test]
    fn the_balance_is_the_sum_over_the_letters() {
        for position in playouts(40, 120) {
            let text = position.board().to_string();
            let sum: i32 = text
                .chars()
                .filter(|c| *c != '/')
                .map(|c| {
                    let worth = match c.to_ascii_lowercase() {
                        'p' => 1,
                        'n' | 'b' => 3,
                        'r' => 5,
                        'q' => 9,
                        _ => 0,
                    };
                    if c.is_ascii_uppercase() {
                        worth
                    } else {
                        -worth
                    }
                })
                .sum();
            assert_eq!(balance(position.board(), Color::White), sum);
            assert_eq!(balance(position.board(), Color::Black), -sum);
            assert_eq!(
                difference(position.board(), Color::White).reversed(),
                difference(position.board(), Color::Black)
            );
        }
    }

    #[test]
    fn the_words_of_the_trade() {
        let of = |placement: &str| difference(&board(placement), Color::White);
        assert!(of("4k3/pp6/8/8/8/8/PPP5/4K3").pawns_up(1));
        assert!(of("4k1n1/pp6/8/8/8/8/PP6/4K2R").exchange_up());
        assert!(!of("4k1n1/pp6/8/8/8/8/PP6/4K2R").rook_up());
        assert!(of("4k3/ppp5/8/8/8/8/P7/4K1N1").piece_for_pawns(2));
        assert!(of("r3k3/8/8/8/8/8/8/4K1NB").two_pieces_for_rook());
        assert!(of("4k1n1/8/8/8/8/8/8/4K2B").bishop_for_knight());
        assert!(of("q3k3/8/8/8/8/8/8/R3K2R").two_rooks_for_queen());
        assert!(of("4k1n1/ppp5/8/8/8/8/PPP5/4K2B").is_level());
    }

    #[test]
    fn mating_material() {
        assert!(!has_mating_majority(
            &board("4k3/8/8/8/8/8/8/4KNN1"),
            Color::White
        ));
        assert!(has_mating_majority(
            &board("4k3/8/8/8/8/8/8/4KNB1"),
            Color::White
        ));
        assert!(!has_mating_majority(
            &board("4k3/8/8/8/8/8/8/B1B1K3"),
            Color::White
        ));
        assert!(has_mating_majority(
            &board("4k3/8/8/8/8/8/8/1BB1K3"),
            Color::White
        ));
    }
}
