//! How the positions of one signature are numbered.

use shakmaty::{Bitboard, Color, File, Rank, Role, Square, attacks};

use super::signature::Signature;

/// No table has more men than these besides the kings.
pub(super) const MOST: usize = 2;

/// The numbering of the positions of one signature, White being the stronger side.
///
/// A number holds, from its lowest bits: the square of each man (6 bits each, the last
/// man lowest), the black king (6), the white king (4 without pawns, 5 with), and the
/// side to move (1, Black is 1). Boards are mirrored so that the white king stands on
/// the files a to d, and without pawns on the ranks 1 to 4; no position is its own
/// mirror image, so each has exactly one number for each order of equal men.
///
/// A pawn that has just made a double step which an enemy pawn may answer en passant is
/// written on its own first rank, where no pawn can stand.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) men: [(Color, Role); MOST],
    pub(super) count: usize,
    has_pawns: bool,
}

/// One position of a layout, on its real squares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Node {
    pub(super) turn: Color,
    /// White's king and Black's.
    pub(super) kings: [Square; 2],
    /// The squares of the men; those beyond the layout's count mean nothing.
    pub(super) squares: [Square; MOST],
    /// The man that may be taken en passant.
    pub(super) passing: Option<usize>,
}

/// The place of a colour in an array.
pub(super) const fn seat(color: Color) -> usize {
    match color {
        Color::White => 0,
        Color::Black => 1,
    }
}

/// The square with these low six bits.
#[allow(clippy::cast_possible_truncation)]
const fn square(bits: usize) -> Square {
    Square::new((bits & 63) as u32)
}

impl Layout {
    pub(super) fn new(signature: Signature) -> Self {
        let mut men = [(Color::White, Role::Pawn); MOST];
        let given = signature.men();
        for (place, man) in men.iter_mut().zip(&given) {
            *place = *man;
        }
        Self {
            men,
            count: given.len().min(MOST),
            has_pawns: given.iter().any(|&(_, role)| role == Role::Pawn),
        }
    }

    const fn king_bits(&self) -> u32 {
        if self.has_pawns { 5 } else { 4 }
    }

    /// How many numbers there are.
    pub(super) const fn len(&self) -> usize {
        1 << (1 + self.king_bits() as usize + 6 + 6 * self.count)
    }

    /// Whether both men are pawns of different sides, so that en passant can happen.
    pub(super) fn may_pass(&self) -> bool {
        self.count == 2 && self.men == [(Color::White, Role::Pawn), (Color::Black, Role::Pawn)]
    }

    /// The number of a position. The node must be a sane one: its squares in range by
    /// their type; nonsense such as two men on a square has a number too.
    pub(super) fn number(&self, node: &Node) -> usize {
        let mut squares = node.squares;
        if let Some(man) = node.passing
            && let (Some(place), Some(&(color, _))) = (squares.get_mut(man), self.men.get(man))
        {
            *place = Square::from_coords(place.file(), color.backrank());
        }
        let [white, black] = node.kings;
        let (files, ranks) = self.mirrored(white);
        let flip = if files { 7 } else { 0 } | if ranks { 56 } else { 0 };
        let turned = |square: Square| square.to_usize() ^ flip;
        let king = turned(white);
        let rank = king >> 3;
        let mut number = node.turn.fold_wb(0, 1);
        number = (number << self.king_bits()) | (rank << 2) | (king & 3);
        number = (number << 6) | turned(black);
        for &square in squares.iter().take(self.count) {
            number = (number << 6) | turned(square);
        }
        number
    }

    /// Whether the files, and whether the ranks, are mirrored where White's king stands here.
    pub(super) fn mirrored(&self, white: Square) -> (bool, bool) {
        (
            white.file() > File::D,
            !self.has_pawns && white.rank() > Rank::Fourth,
        )
    }

    /// The side to move, the kings and the square of the first man of a number, whatever
    /// the square of the second; `None` where the kings stand side by side.
    pub(super) fn slice(&self, number: usize) -> Option<(Color, [Square; 2], Square)> {
        let mut rest = number >> 6;
        let mid = square(rest);
        if self.count > 1 {
            rest >>= 6;
        }
        let black = square(rest);
        rest >>= 6;
        let king = rest & ((1 << self.king_bits()) - 1);
        let white = square(((king >> 2) << 3) | (king & 3));
        rest >>= self.king_bits();
        let turn = if rest & 1 == 0 {
            Color::White
        } else {
            Color::Black
        };
        (white.distance(black) > 1).then_some((turn, [white, black], mid))
    }

    /// The position with this number, or `None` when it is none: men on one square,
    /// pawns where none can stand, or the side that is not to move in check.
    pub(super) fn node(&self, number: usize) -> Option<Node> {
        let (turn, kings, first) = self.slice(number)?;
        let [white, black] = kings;
        let mut squares = [square(number), Square::A1];
        if self.count > 1 {
            squares = [first, square(number)];
        }
        let mut node = Node {
            turn,
            kings,
            squares,
            passing: None,
        };
        if self.has_pawns {
            self.place_pawns(&mut node)?;
        }
        let mut occupied = Bitboard::from(white) | black;
        for &square in node.squares.iter().take(self.count) {
            if occupied.contains(square) {
                return None;
            }
            occupied.add(square);
        }
        if let Some(man) = node.passing
            && !self.can_have_passed(&node, man, occupied)
        {
            return None;
        }
        (!self.in_check(&node, !turn, occupied)).then_some(node)
    }

    fn place_pawns(&self, node: &mut Node) -> Option<()> {
        for man in 0..self.count {
            let (color, role) = *self.men.get(man)?;
            let place = node.squares.get_mut(man)?;
            if role != Role::Pawn || !Bitboard::BACKRANKS.contains(*place) {
                continue;
            }
            if !self.may_pass() || place.rank() != color.backrank() || node.turn == color {
                return None;
            }
            if node.passing.is_some() {
                return None;
            }
            *place = Square::from_coords(place.file(), color.relative_rank(Rank::Fourth));
            node.passing = Some(man);
        }
        Some(())
    }

    /// Whether the pawn can just have made a double step beside an enemy pawn.
    pub(super) fn can_have_passed(&self, node: &Node, man: usize, occupied: Bitboard) -> bool {
        let (Some(&(color, _)), Some(&place), Some(&other)) = (
            self.men.get(man),
            node.squares.get(man),
            node.squares.get(1 - man.min(1)),
        ) else {
            return false;
        };
        let behind = Square::from_coords(place.file(), color.relative_rank(Rank::Third));
        let start = Square::from_coords(place.file(), color.relative_rank(Rank::Second));
        self.may_pass()
            && place.rank() == color.relative_rank(Rank::Fourth)
            && other.rank() == place.rank()
            && other.file().distance(place.file()) == 1
            && !occupied.contains(behind)
            && !occupied.contains(start)
    }

    pub(super) fn occupied(&self, node: &Node) -> Bitboard {
        node.squares.iter().take(self.count).fold(
            Bitboard::from(node.kings[0]) | node.kings[1],
            |all, &square| all | square,
        )
    }

    pub(super) fn in_check(&self, node: &Node, color: Color, occupied: Bitboard) -> bool {
        self.attacked(node, node.kings[seat(color)], !color, occupied, None)
    }

    /// Whether a man of `by`, its king included and the man `gone` left out, attacks the
    /// square.
    pub(super) fn attacked(
        &self,
        node: &Node,
        target: Square,
        by: Color,
        occupied: Bitboard,
        gone: Option<usize>,
    ) -> bool {
        if attacks::king_attacks(node.kings[seat(by)]).contains(target) {
            return true;
        }
        self.men
            .iter()
            .zip(node.squares)
            .take(self.count)
            .enumerate()
            .any(|(man, (&(color, role), square))| {
                color == by
                    && gone != Some(man)
                    && attacks::attacks(square, role.of(color), occupied).contains(target)
            })
    }
}
