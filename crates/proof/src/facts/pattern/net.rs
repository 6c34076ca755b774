//! The definitions of the patterns.

use shakmaty::{Bitboard, Board, Chess, Color, Position, Rank, Role, Square, attacks};

use super::picture::MatingPattern;
use crate::facts::king::{KingField, king_field};

/// A mate and what its definitions ask about.
pub(super) struct MatingNet<'a> {
    board: &'a Board,
    /// The side that mates.
    us: Color,
    king: Square,
    field: KingField,
    checkers: Bitboard,
    /// The board without the mated king.
    occupied: Bitboard,
}

impl<'a> MatingNet<'a> {
    pub(super) fn new(position: &'a Chess) -> Option<Self> {
        if !position.is_checkmate() {
            return None;
        }
        let board = position.board();
        let field = king_field(board, position.turn())?;
        Some(Self {
            board,
            us: !position.turn(),
            king: field.king,
            field,
            checkers: position.checkers(),
            occupied: board.occupied().without(field.king),
        })
    }

    fn ours(&self, roles: &[Role]) -> Bitboard {
        roles
            .iter()
            .fold(Bitboard::EMPTY, |all, &role| all | self.board.by_role(role))
            & self.board.by_color(self.us)
    }

    fn attacked_from(&self, from: Square) -> Bitboard {
        self.board.piece_at(from).map_or(Bitboard::EMPTY, |piece| {
            attacks::attacks(from, piece, self.occupied)
        })
    }

    /// The flight squares that our men on `squares` cover.
    fn covered_by(&self, squares: Bitboard) -> Bitboard {
        squares.into_iter().fold(Bitboard::EMPTY, |all, from| {
            all | (self.attacked_from(from) & self.field.covered)
        })
    }

    fn covers(&self, squares: Bitboard) -> bool {
        self.covered_by(squares).any()
    }

    /// Our men of these roles that defend the square.
    fn protectors(&self, square: Square, roles: &[Role]) -> Bitboard {
        self.board.attacks_to(square, self.us, self.occupied) & self.ours(roles)
    }

    fn checkers_of(&self, roles: &[Role]) -> Bitboard {
        self.checkers & self.ours(roles)
    }

    fn straight(&self, square: Square) -> bool {
        square.file() == self.king.file() || square.rank() == self.king.rank()
    }

    /// Heavy pieces that check along a rank or file.
    fn line_checkers(&self) -> Bitboard {
        self.checkers_of(&[Role::Rook, Role::Queen])
            .into_iter()
            .filter(|&square| self.straight(square))
            .collect()
    }

    fn adjacent(&self, square: Square) -> bool {
        square.distance(self.king) == 1
    }

    fn blocked(&self) -> usize {
        self.field.blocked.count()
    }

    fn on_edge(&self) -> bool {
        Bitboard::EDGES.contains(self.king)
    }

    fn in_corner(&self) -> bool {
        Bitboard::CORNERS.contains(self.king)
    }

    fn near_corner(&self) -> bool {
        Bitboard::CORNERS
            .into_iter()
            .any(|corner| corner.distance(self.king) <= 1)
    }

    /// The edge lines, ranks or files, on which the king stands.
    fn edges(&self) -> Vec<Bitboard> {
        let rank = Bitboard::from_rank(self.king.rank());
        let file = Bitboard::from_file(self.king.file());
        [rank, file]
            .into_iter()
            .filter(|line| line.is_subset(Bitboard::EDGES))
            .collect()
    }

    fn edge_checkers(&self) -> Bitboard {
        self.edges().into_iter().fold(Bitboard::EMPTY, |all, line| {
            all | (self.line_checkers() & line)
        })
    }

    /// The checkers of these roles next to the king that one of `by` defends.
    fn contact(&self, roles: &[Role], by: &[Role]) -> Bitboard {
        self.checkers_of(roles)
            .into_iter()
            .filter(|&square| self.adjacent(square) && self.protectors(square, by).any())
            .collect()
    }

    pub(super) fn shows(&self, pattern: MatingPattern) -> bool {
        use MatingPattern as P;
        use Role::{Bishop, King, Knight, Pawn, Queen, Rook};
        const HEAVY: &[Role] = &[Rook, Queen];
        let rank = Bitboard::from_rank(self.king.rank());
        match pattern {
            P::BackRank => {
                rank.is_subset(Bitboard::BACKRANKS) && (self.line_checkers() & rank).any()
            }
            P::Smothered => {
                self.checkers_of(&[Knight]).any()
                    && self.checkers.single_square().is_some()
                    && self.field.covered.count() <= 1
                    && self.blocked() >= 2
            }
            P::Suffocation => {
                self.checkers_of(&[Knight]).any()
                    && self.blocked() >= 2
                    && self.covers(self.ours(&[Bishop, Queen]))
            }
            P::Arabian => {
                self.in_corner()
                    && self.checkers_of(&[Rook]).into_iter().any(|rook| {
                        self.protectors(rook, &[Knight]).any() || self.covers(self.ours(&[Knight]))
                    })
            }
            P::Anastasia => self.anastasia(),
            P::Boden => {
                self.blocked() >= 1
                    && self
                        .checkers_of(&[Bishop])
                        .into_iter()
                        .any(|checker| self.crossing_bishop(checker))
            }
            P::DoubleBishop => self
                .checkers_of(&[Bishop])
                .into_iter()
                .any(|checker| self.covers(self.ours(&[Bishop]).without(checker))),
            P::Epaulette => self.epaulette(),
            P::Hook => {
                self.blocked() >= 1
                    && self.checkers_of(&[Rook]).into_iter().any(|rook| {
                        self.adjacent(rook)
                            && self.protectors(rook, &[Knight]).into_iter().any(|knight| {
                                self.protectors(knight, &[Pawn]).any()
                                    || self.covers(self.ours(&[Pawn]))
                            })
                    })
            }
            P::Dovetail => self.tail(false),
            P::SwallowTail => self.tail(true),
            P::Ladder => self.edge_checkers().into_iter().any(|checker| {
                self.ours(HEAVY)
                    .without(checker)
                    .into_iter()
                    .any(|other| self.straight_cover(other))
            }),
            P::BlindSwine => self.two_on_the_seventh(),
            P::Corridor => self.line_checkers().any() && self.blocked() >= 1,
            P::Damiano => self.contact(&[Queen], &[Pawn]).any(),
            P::DamianoBishop => self.contact(&[Queen], &[Bishop]).any(),
            P::Legal => self.legal(),
            P::Opera => self
                .contact(HEAVY, &[Bishop])
                .into_iter()
                .any(|piece| self.straight(piece)),
            P::Greco => {
                self.near_corner()
                    && self.edge_checkers().any()
                    && self.covers(self.ours(&[Bishop]))
                    && self.blocked() >= 1
            }
            P::Lolli => self.contact(&[Queen], &[Pawn]).into_iter().any(|queen| {
                self.straight(queen)
                    && (self.protectors(queen, &[Pawn])
                        & Bitboard::from_rank(self.us.relative_rank(Rank::Sixth)))
                    .any()
            }),
            P::Blackburne => self.checkers_of(&[Bishop]).into_iter().any(|checker| {
                self.covers(self.ours(&[Bishop]).without(checker))
                    && (self.protectors(checker, &[Knight]).any()
                        || self.covers(self.ours(&[Knight])))
            }),
            P::Reti => self.contact(&[Bishop], HEAVY).any() && self.blocked() >= 2,
            P::Triangle => self.contact(&[Queen], &[Rook]).any(),
            P::KillBox => self.contact(&[Rook], &[Queen]).any() && self.covers(self.ours(&[Queen])),
            P::Support => self
                .contact(&[Queen], &[Pawn, Knight, Bishop, Rook, Queen, King])
                .any(),
            P::Corner => {
                self.on_edge() && self.checkers_of(&[Knight]).any() && self.covers(self.ours(HEAVY))
            }
            P::MaxLange => self.on_edge() && self.contact(&[Queen], &[Bishop]).any(),
            P::Pillsbury => self.checkers_of(&[Rook]).any() && self.covers(self.ours(&[Bishop])),
            P::Morphy => {
                self.checkers_of(&[Bishop]).any()
                    && self.covers(self.ours(HEAVY))
                    && self.blocked() >= 1
            }
            P::Anderssen => {
                rank.is_subset(Bitboard::BACKRANKS)
                    && (self.contact(HEAVY, &[Pawn, Bishop, King]) & rank).any()
            }
            P::Mayet => self.on_edge() && self.contact(&[Rook], &[Bishop]).any(),
            P::Vukovic => {
                self.on_edge()
                    && self
                        .contact(&[Rook], &[Pawn, Bishop, Rook, Queen, King])
                        .any()
                    && self.ours(&[Knight]).into_iter().any(|knight| {
                        self.covered_by(knight.into()).any() && knight.distance(self.king) <= 2
                    })
            }
            P::Balestra => {
                self.checkers_of(&[Bishop]).any()
                    && self.covers(self.ours(&[Queen]))
                    && !self.covers(self.ours(&[Rook]))
            }
            P::Pawn => self.checkers_of(&[Pawn]).any(),
            P::TwoKnights => self
                .checkers_of(&[Knight])
                .into_iter()
                .any(|checker| self.covers(self.ours(&[Knight]).without(checker))),
            P::Scholars => {
                let home =
                    Square::from_coords(shakmaty::File::E, (!self.us).relative_rank(Rank::First));
                let weak =
                    Square::from_coords(shakmaty::File::F, (!self.us).relative_rank(Rank::Second));
                self.king == home && self.contact(&[Queen], &[Bishop]).contains(weak)
            }
            P::Fools => {
                let home =
                    Square::from_coords(shakmaty::File::E, (!self.us).relative_rank(Rank::First));
                self.king == home
                    && self.checkers_of(&[Queen]).into_iter().any(|queen| {
                        !self.straight(queen)
                            && queen.file() > self.king.file()
                            && !self.adjacent(queen)
                    })
            }
            P::DoubleCheck => self.checkers.more_than_one(),
            P::Opposition => self.edge_checkers().any() && self.covers(self.ours(&[King])),
            P::Castling => self.castled(),
        }
    }

    fn anastasia(&self) -> bool {
        self.covers(self.ours(&[Role::Knight]))
            && self.edges().into_iter().any(|line| {
                // The squares next to the king off the line.
                let inward = attacks::king_attacks(self.king) & !line;
                (self.line_checkers() & line).any() && (self.field.blocked & inward).any()
            })
    }

    /// Whether a bishop other than `checker` covers a square along the other direction
    /// of diagonals than that of the check.
    fn crossing_bishop(&self, checker: Square) -> bool {
        let rising = |a: Square, b: Square| {
            (a.file() as i32 - b.file() as i32) == (a.rank() as i32 - b.rank() as i32)
        };
        self.ours(&[Role::Bishop])
            .without(checker)
            .into_iter()
            .any(|bishop| {
                self.covered_by(bishop.into())
                    .into_iter()
                    .any(|square| rising(bishop, square) != rising(checker, self.king))
            })
    }

    fn epaulette(&self) -> bool {
        let held = |delta_file: i32, delta_rank: i32| match (
            self.king.file().offset(delta_file),
            self.king.rank().offset(delta_rank),
        ) {
            (Some(file), Some(rank)) => self.occupied.contains(Square::from_coords(file, rank)),
            _ => false,
        };
        self.checkers_of(&[Role::Rook, Role::Queen]).any()
            && ((held(-1, 0) && held(1, 0)) || (held(0, -1) && held(0, 1)))
    }

    /// A queen next to the king, straight or diagonally, and an own man on a square that
    /// she does not reach.
    fn tail(&self, straight: bool) -> bool {
        self.checkers_of(&[Role::Queen]).into_iter().any(|queen| {
            let unreached = attacks::king_attacks(self.king) & !self.attacked_from(queen);
            self.adjacent(queen)
                && self.straight(queen) == straight
                && (unreached.without(queen) & self.field.blocked).any()
        })
    }

    /// Whether the heavy piece covers a square along a rank or file.
    fn straight_cover(&self, piece: Square) -> bool {
        self.covered_by(piece.into())
            .into_iter()
            .any(|square| square.file() == piece.file() || square.rank() == piece.rank())
    }

    fn two_on_the_seventh(&self) -> bool {
        let seventh = Bitboard::from_rank(self.us.relative_rank(Rank::Seventh));
        let eighth = Bitboard::from_rank(self.us.relative_rank(Rank::Eighth));
        let heavy = self.ours(&[Role::Rook, Role::Queen]);
        (self.checkers & heavy & (seventh | eighth)).any()
            && (heavy & seventh).any()
            && (heavy & (seventh | eighth)).more_than_one()
    }

    fn legal(&self) -> bool {
        let minors = self.ours(&[Role::Knight, Role::Bishop]);
        let taking_part: Bitboard = minors
            .into_iter()
            .filter(|&piece| self.checkers.contains(piece) || self.covered_by(piece.into()).any())
            .collect();
        let home = self.us.relative_rank(Rank::Seventh);
        let last = self.us.relative_rank(Rank::Eighth);
        (self.checkers & minors).any()
            && (taking_part & self.board.knights()).any()
            && (taking_part & self.board.bishops()).any()
            && self.field.covered.is_subset(self.covered_by(minors))
            && (self.king.rank() == home || self.king.rank() == last)
            && (shakmaty::File::D..=shakmaty::File::F).contains(&self.king.file())
    }

    fn castled(&self) -> bool {
        let first = self.us.relative_rank(Rank::First);
        let at = |file| Square::from_coords(file, first);
        let rook = self.checkers_of(&[Role::Rook]);
        let king = self.board.king_of(self.us);
        (king == Some(at(shakmaty::File::G)) && rook.contains(at(shakmaty::File::F)))
            || (king == Some(at(shakmaty::File::C)) && rook.contains(at(shakmaty::File::D)))
    }
}
