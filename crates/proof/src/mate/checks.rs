//! Which moves give check, and which of those mate.

use shakmaty::{Bitboard, Chess, Color, Move, Position, Role, Square, attacks};

use crate::Budget;

/// What a side must know about the enemy king to tell its checks from its quiet
/// moves without playing them.
#[derive(Debug)]
pub(crate) struct Checks {
    king: Square,
    us: Color,
    occupied: Bitboard,
    /// Our pieces that alone stand between one of our sliders and the king.
    unmasking: Bitboard,
    diagonal: Bitboard,
    straight: Bitboard,
}

impl Checks {
    /// For the side to move; `None` when the other side has no king.
    pub(crate) fn new(position: &Chess) -> Option<Self> {
        let board = position.board();
        let us = position.turn();
        let king = board.king_of(!us)?;
        let occupied = board.occupied();
        let ours = position.us();
        let mut unmasking = Bitboard::EMPTY;
        let snipers = ours
            & ((attacks::rook_attacks(king, Bitboard::EMPTY) & board.rooks_and_queens())
                | (attacks::bishop_attacks(king, Bitboard::EMPTY) & board.bishops_and_queens()));
        for sniper in snipers {
            let between = attacks::between(king, sniper) & occupied;
            if !between.more_than_one() {
                unmasking |= between & ours;
            }
        }
        Some(Self {
            king,
            us,
            occupied,
            unmasking,
            diagonal: attacks::bishop_attacks(king, occupied),
            straight: attacks::rook_attacks(king, occupied),
        })
    }

    /// Whether the legal move `m` gives check. May be wrongly `true` for castling
    /// and en passant, never wrongly `false`.
    #[inline]
    pub(crate) fn may_check(&self, m: Move) -> bool {
        match m {
            Move::Normal {
                role,
                from,
                to,
                promotion,
                ..
            } => {
                if self.unmasking.contains(from) && !attacks::aligned(from, to, self.king) {
                    return true;
                }
                match promotion {
                    None => match role {
                        Role::Pawn => attacks::pawn_attacks(!self.us, self.king).contains(to),
                        Role::Knight => attacks::knight_attacks(self.king).contains(to),
                        Role::Bishop => self.diagonal.contains(to),
                        Role::Rook => self.straight.contains(to),
                        Role::Queen => (self.diagonal | self.straight).contains(to),
                        Role::King => false,
                    },
                    Some(role) => {
                        let occupied = self.occupied.without(from);
                        attacks::attacks(to, role.of(self.us), occupied).contains(self.king)
                    }
                }
            }
            Move::EnPassant { .. } | Move::Castle { .. } | Move::Put { .. } => true,
        }
    }

    /// The squares next to the king that it could go to if it were its turn and we
    /// did nothing: not its own, not attacked by us (with the king lifted off).
    pub(crate) fn flights(&self, position: &Chess) -> Bitboard {
        let lifted = self.occupied.without(self.king);
        let mut flights = attacks::king_attacks(self.king) & !position.them();
        for square in flights {
            if position.board().attacks_to(square, self.us, lifted).any() {
                flights.discard(square);
            }
        }
        flights
    }

    /// Whether the king surely has a flight after the checking move `m`: one of
    /// `flights` stays out of reach of the piece that moved, and no other piece of
    /// ours can come to see it. Never `true` when `m` mates.
    #[inline]
    pub(crate) fn leaves_flight(&self, position: &Chess, flights: Bitboard, m: Move) -> bool {
        let Move::Normal {
            role,
            from,
            to,
            promotion,
            ..
        } = m
        else {
            return false;
        };
        let lifted = self.occupied.without(self.king).without(from).with(to);
        let reached = attacks::attacks(to, promotion.unwrap_or(role).of(self.us), lifted).with(to);
        let open = flights & !reached;
        if open.is_empty() {
            return false;
        }
        // A slider of ours behind the square that was left may see further now.
        let sliders = position.us() & position.board().sliders();
        let behind = ((attacks::rook_attacks(from, lifted) & position.board().rooks_and_queens())
            | (attacks::bishop_attacks(from, lifted) & position.board().bishops_and_queens()))
            & sliders;
        behind.is_empty()
    }
}

/// The first move found that mates at once; `Err` when the budget ran out. Checks
/// that surely leave a flight are not played and not counted.
pub(crate) fn mate_in_one(
    position: &Chess,
    budget: &mut Budget<'_>,
) -> Result<Option<Move>, OutOfBudget> {
    let Some(checks) = Checks::new(position) else {
        return Ok(None);
    };
    let mut flights = None;
    for m in position.legal_moves() {
        if !checks.may_check(m) {
            continue;
        }
        let flights = *flights.get_or_insert_with(|| checks.flights(position));
        if flights.any() && checks.leaves_flight(position, flights, m) {
            continue;
        }
        if !budget.spend() {
            return Err(OutOfBudget);
        }
        let mut next = position.clone();
        next.play_unchecked(m);
        if next.is_check() && next.legal_moves().is_empty() {
            return Ok(Some(m));
        }
    }
    Ok(None)
}

/// The budget ran out, or the work was told to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct OutOfBudget;
