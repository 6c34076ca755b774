//! Which moves give check, and which of those mate.

use std::ops::ControlFlow;

use shakmaty::{Bitboard, Chess, Color, Move, Position, Role, Square, attacks};

use crate::budget::Budget;

/// What a side must know about the enemy king to tell its checks from its quiet
/// moves without playing them.
#[derive(Clone, Copy, Debug)]
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

    /// Whether the king surely has a flight after the checking move `m`: a square next to
    /// it, not its own, that stays out of reach of the piece that moved, is attacked by
    /// no other piece of ours (with the king lifted off), and that none of ours can come
    /// to see. Never `true` when `m` mates. `flights` remembers what was seen of the
    /// squares.
    #[inline]
    fn leaves_flight(&self, position: &Chess, flights: &mut Flights, m: Move) -> bool {
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
        let lifted = self.occupied.without(self.king);
        let moved = lifted.without(from).with(to);
        let reached = attacks::attacks(to, promotion.unwrap_or(role).of(self.us), moved).with(to);
        let squares = attacks::king_attacks(self.king) & !position.them() & !reached;
        let mut open = (squares & flights.open).any();
        for square in squares & !flights.seen {
            if open {
                break;
            }
            flights.seen.add(square);
            if position
                .board()
                .attacks_to(square, self.us, lifted)
                .is_empty()
            {
                flights.open.add(square);
                open = true;
            }
        }
        if !open {
            return false;
        }
        // A slider of ours behind the square that was left may see further now.
        let board = position.board();
        let behind = (attacks::rook_attacks(from, moved) & board.rooks_and_queens())
            | (attacks::bishop_attacks(from, moved) & board.bishops_and_queens());
        (behind & position.us()).is_empty()
    }
}

/// What was seen of the squares next to the enemy king.
#[derive(Clone, Copy, Debug, Default)]
struct Flights {
    seen: Bitboard,
    /// Those that we do not attack.
    open: Bitboard,
}

/// Whether the piece that gives check by the legal move `m` can be taken by another
/// piece than the king, which ends the check. Never `true` when `m` mates.
fn is_taken(position: &Chess, king: Square, m: Move) -> bool {
    let Move::Normal { from, to, .. } = m else {
        return false;
    };
    let board = position.board();
    let us = position.turn();
    let occupied = board.occupied().without(from).with(to);
    let takers = board.attacks_to(to, !us, occupied).without(king);
    takers.into_iter().any(|taker| {
        let attackers = board.attacks_to(king, us, occupied.without(taker));
        attackers.without(from).is_empty()
    })
}

/// Our pieces that may leave their line with our king for no other square.
fn pinned(position: &Chess, king: Square) -> Bitboard {
    let board = position.board();
    let snipers = position.them()
        & ((attacks::rook_attacks(king, Bitboard::EMPTY) & board.rooks_and_queens())
            | (attacks::bishop_attacks(king, Bitboard::EMPTY) & board.bishops_and_queens()));
    let mut pinned = Bitboard::EMPTY;
    for sniper in snipers {
        let between = attacks::between(king, sniper) & board.occupied();
        if !between.more_than_one() {
            pinned |= between & position.us();
        }
    }
    pinned
}

/// How many legal moves end the check that the side to move is in, without listing
/// them; counts no further than `enough`. `None` when it is not in check.
pub(crate) fn evasions(position: &Chess, enough: usize) -> Option<usize> {
    let board = position.board();
    let us = position.turn();
    let king = board.king_of(us)?;
    let occupied = board.occupied();
    let checkers = board.attacks_to(king, !us, occupied);
    let checker = checkers.first()?;
    let lifted = occupied.without(king);
    let mut count = 0;
    for to in attacks::king_attacks(king) & !position.us() {
        count += usize::from(board.attacks_to(to, !us, lifted).is_empty());
        if count >= enough {
            return Some(count);
        }
    }
    if checkers.more_than_one() {
        return Some(count);
    }
    // A pinned piece that leaves its line, or moves on it, never ends another check.
    let free = position.us() & !pinned(position, king) & !board.kings();
    let pawns = free & board.pawns();
    let ways = |to: Square| {
        let is_last = to.rank() == us.fold_wb(shakmaty::Rank::Eighth, shakmaty::Rank::First);
        if is_last { 4 } else { 1 }
    };
    let takers = board.attacks_to(checker, us, occupied) & free;
    count += (takers & !pawns).count() + (takers & pawns).count() * ways(checker);
    let back = us.fold_wb(-8, 8);
    let start = us.fold_wb(shakmaty::Rank::Second, shakmaty::Rank::Seventh);
    for to in attacks::between(king, checker) {
        if count >= enough {
            return Some(count);
        }
        count += (board.attacks_to(to, us, occupied) & free & !pawns).count();
        let Some(near) = to.offset(back) else {
            continue;
        };
        if pawns.contains(near) {
            count += ways(to);
        } else if !occupied.contains(near)
            && let Some(far) = near.offset(back)
        {
            count += usize::from(far.rank() == start && pawns.contains(far));
        }
    }
    if position.maybe_ep_square().is_some() {
        count += position.en_passant_moves().len();
    }
    Some(count)
}

/// What tells a mate from other checks.
struct Mates<'p> {
    position: &'p Chess,
    checks: Checks,
    flights: Flights,
}

impl Mates<'_> {
    /// Whether the legal move `m`, which may be a check, mates. Checks that surely
    /// leave a flight, or whose piece can be taken, are not played and not counted.
    fn mates(&mut self, m: Move, budget: &mut Budget<'_>) -> Result<bool, OutOfBudget> {
        let (position, checks) = (self.position, &self.checks);
        if checks.leaves_flight(position, &mut self.flights, m)
            || is_taken(position, checks.king, m)
        {
            return Ok(false);
        }
        if !budget.spend() {
            return Err(OutOfBudget);
        }
        let mut next = position.clone();
        next.play_unchecked(m);
        Ok(evasions(&next, 1) == Some(0))
    }
}

/// The first move found that mates at once; `Err` when the budget ran out. All moves
/// seen on the way, every legal move that may be a check when there is no mate, go to
/// `seen`.
pub(crate) fn mate_in_one(
    position: &Chess,
    budget: &mut Budget<'_>,
    mut seen: impl FnMut(Move),
) -> Result<Option<Move>, OutOfBudget> {
    let Some(checks) = Checks::new(position) else {
        return Ok(None);
    };
    let mut mates = Mates {
        position,
        checks,
        flights: Flights::default(),
    };
    let found = checks.each(position, &mut |m| {
        seen(m);
        match mates.mates(m, budget) {
            Ok(true) => ControlFlow::Break(Ok(m)),
            Ok(false) => ControlFlow::Continue(()),
            Err(error) => ControlFlow::Break(Err(error)),
        }
    });
    match found {
        ControlFlow::Break(found) => found.map(Some),
        ControlFlow::Continue(()) => Ok(None),
    }
}

impl Checks {
    /// Goes through the legal moves that may be checks, always in the same order,
    /// until `see` breaks off.
    pub(crate) fn each<B>(
        &self,
        position: &Chess,
        see: &mut impl FnMut(Move) -> ControlFlow<B>,
    ) -> ControlFlow<B> {
        let board = position.board();
        let us = self.us;
        let Some(king) = board.king_of(us) else {
            return ControlFlow::Continue(());
        };
        if position.is_check() {
            for &m in &position.legal_moves() {
                if self.may_check(m) {
                    see(m)?;
                }
            }
            return ControlFlow::Continue(());
        }
        let occupied = board.occupied();
        let ours = position.us();
        let pinned = pinned(position, king);
        self.each_of_pawns(position, pinned, king, see)?;
        let officers = [
            (Role::Knight, attacks::knight_attacks(self.king)),
            (Role::Bishop, self.diagonal),
            (Role::Rook, self.straight),
            (Role::Queen, self.diagonal | self.straight),
            (Role::King, Bitboard::EMPTY),
        ];
        for (role, squares) in officers {
            for from in ours & board.by_role(role) {
                let unmasks = self.unmasking.contains(from);
                if !unmasks && squares.is_empty() {
                    continue;
                }
                let mut targets = attacks::attacks(from, role.of(us), occupied) & !ours;
                if !unmasks {
                    targets &= squares;
                }
                if pinned.contains(from) {
                    targets &= attacks::ray(king, from);
                }
                for to in targets {
                    let m = Move::Normal {
                        role,
                        from,
                        capture: board.role_at(to),
                        to,
                        promotion: None,
                    };
                    let safe = role != Role::King
                        || board.attacks_to(to, !us, occupied.without(from)).is_empty();
                    if safe && (!unmasks || self.may_check(m)) {
                        see(m)?;
                    }
                }
            }
        }
        if position.maybe_ep_square().is_some() {
            for &m in &position.en_passant_moves() {
                see(m)?;
            }
        }
        if position.castles().has_color(us) {
            for side in shakmaty::CastlingSide::ALL {
                for &m in &position.castling_moves(side) {
                    see(m)?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    fn each_of_pawns<B>(
        &self,
        position: &Chess,
        pinned: Bitboard,
        king: Square,
        see: &mut impl FnMut(Move) -> ControlFlow<B>,
    ) -> ControlFlow<B> {
        let board = position.board();
        let us = self.us;
        let occupied = board.occupied();
        let squares = attacks::pawn_attacks(!us, self.king);
        let forward = us.fold_wb(8, -8);
        let start = us.fold_wb(shakmaty::Rank::Second, shakmaty::Rank::Seventh);
        let last = us.fold_wb(shakmaty::Rank::Eighth, shakmaty::Rank::First);
        for from in position.us() & board.pawns() {
            let mut targets = attacks::pawn_attacks(us, from) & position.them();
            if let Some(to) = from.offset(forward)
                && !occupied.contains(to)
            {
                targets.add(to);
                if from.rank() == start
                    && let Some(to) = to.offset(forward)
                    && !occupied.contains(to)
                {
                    targets.add(to);
                }
            }
            if !self.unmasking.contains(from) {
                targets &= squares | Bitboard::from(last);
            }
            if pinned.contains(from) {
                targets &= attacks::ray(king, from);
            }
            for to in targets {
                let capture = board.role_at(to);
                let promotions: &[Option<Role>] = if to.rank() == last {
                    &[
                        Some(Role::Queen),
                        Some(Role::Knight),
                        Some(Role::Rook),
                        Some(Role::Bishop),
                    ]
                } else {
                    &[None]
                };
                for &promotion in promotions {
                    let m = Move::Normal {
                        role: Role::Pawn,
                        from,
                        capture,
                        to,
                        promotion,
                    };
                    if self.may_check(m) {
                        see(m)?;
                    }
                }
            }
        }
        ControlFlow::Continue(())
    }
}

/// The budget ran out, or the work was told to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct OutOfBudget;

#[cfg(test)]
mod tests {
    use super::*;
    use shakmaty::{CastlingMode, fen::Fen};

    /// In every position within three plies of positions with pins, castling, en
    /// passant, promotions and checks, a mate in one is found exactly when playing
    /// every legal move finds one, and no check is overlooked.
    #[test]
    fn mates_in_one_are_those_that_playing_every_move_finds() {
        fn walk(position: &Chess, depth: u32, counts: &mut [u32; 2]) {
            let moves = position.legal_moves();
            let checks = Checks::new(position).unwrap();
            let mut mates = Vec::new();
            for &m in &moves {
                let mut next = position.clone();
                next.play_unchecked(m);
                assert!(
                    !next.is_check() || checks.may_check(m),
                    "{position:?} {m:?}"
                );
                let replies = next.is_check().then(|| next.legal_moves().len());
                assert_eq!(evasions(&next, usize::MAX), replies, "{next:?}");
                assert_eq!(evasions(&next, 1) == Some(0), next.is_checkmate());
                if next.is_checkmate() {
                    mates.push(m);
                }
                if depth > 0 {
                    walk(&next, depth - 1, counts);
                }
            }
            let mut seen = Vec::new();
            let found = mate_in_one(position, &mut Budget::nodes(1000), |m| seen.push(m)).unwrap();
            if found.is_none() {
                let mut expected: Vec<_> = moves.iter().filter(|&&m| checks.may_check(m)).collect();
                let order = |m: &Move| (m.from(), m.to(), m.promotion());
                expected.sort_by_key(|m| order(m));
                seen.sort_by_key(order);
                assert!(seen.iter().eq(expected), "{position:?} {seen:?}");
            }
            match found {
                Some(m) => assert!(mates.contains(&m), "{position:?} {m:?}"),
                None => assert!(mates.is_empty(), "{position:?} {mates:?}"),
            }
            counts[usize::from(found.is_some())] += 1;
        }
        let mut counts = [0; 2];
        for (fen, depth) in [
            (
                "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
                2,
            ),
            (
                "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
                2,
            ),
            ("8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1", 3),
            ("3k4/8/8/8/8/8/3P4/R3K2R w KQ - 0 1", 2),
            ("8/8/8/2k5/2pP4/8/B7/4K3 b - d3 0 3", 2),
            ("6k1/3PP3/5K2/8/8/8/p7/1N6 w - - 0 1", 3),
            ("7k/5K2/8/6N1/8/8/1P6/B5R1 w - - 0 1", 2),
            ("6k1/5ppp/8/8/8/5N2/8/R2QK2R w KQ - 0 1", 2),
        ] {
            let position: Chess = fen
                .parse::<Fen>()
                .unwrap()
                .into_position(CastlingMode::Standard)
                .unwrap();
            walk(&position, depth, &mut counts);
        }
        assert!(counts[0] > 7_000 && counts[1] > 100, "{counts:?}");
    }
}
