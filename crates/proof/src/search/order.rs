//! The order in which moves are tried, and what the search learns about it.

use shakmaty::{Bitboard, Chess, Color, Move, Position, Role, Square, attacks};

use super::table::Packed;
use super::value::DEEPEST;
use crate::facts::{exchange_of, role_value};

/// A piece and the square it went to: the last move, as the memory of replies sees it.
pub(super) type Footprint = usize;

/// So many footprints: two sides, six roles, 64 squares.
const FOOTPRINTS: usize = 2 * 6 * 64;
/// Of one side.
const PRINTS: usize = 6 * 64;

pub(super) const fn footprint(turn: Color, m: Move) -> Footprint {
    let side = match turn {
        Color::White => 0,
        Color::Black => PRINTS,
    };
    side + (m.role() as usize - 1) * 64 + m.to() as usize
}

/// What has been learned of quiet moves in this search.
#[derive(Debug)]
pub(super) struct Learned {
    killers: Vec<[Packed; 2]>,
    /// By side, from and to.
    history: Vec<i16>,
    /// By the footprint of the last move and that of the reply.
    replies: Vec<i16>,
}

/// No history value grows beyond this.
const MOST: i32 = 16_000;

impl Learned {
    pub(super) fn new() -> Self {
        Self {
            killers: vec![[Packed::NONE; 2]; DEEPEST + 4],
            history: vec![0; 2 * 64 * 64],
            replies: vec![0; FOOTPRINTS * PRINTS],
        }
    }

    pub(super) fn reset(&mut self) {
        self.killers.fill([Packed::NONE; 2]);
        self.history.fill(0);
        self.replies.fill(0);
    }

    const fn slot(turn: Color, m: Move) -> usize {
        let from = match m.from() {
            Some(square) => square as usize,
            None => 0,
        };
        let side = match turn {
            Color::White => 0,
            Color::Black => 64 * 64,
        };
        side + from * 64 + m.to() as usize
    }

    const fn reply_slot(last: Footprint, m: Move) -> usize {
        last * PRINTS + (m.role() as usize - 1) * 64 + m.to() as usize
    }

    pub(super) fn killers(&self, ply: usize) -> [Packed; 2] {
        self.killers.get(ply).copied().unwrap_or_default()
    }

    /// How well a quiet move has done.
    pub(super) fn quiet(&self, turn: Color, last: Option<Footprint>, m: Move) -> i32 {
        let own = self.history.get(Self::slot(turn, m)).copied().unwrap_or(0);
        let reply = last
            .and_then(|last| self.replies.get(Self::reply_slot(last, m)))
            .copied()
            .unwrap_or(0);
        i32::from(own) + i32::from(reply)
    }

    /// `m` refuted the position; the quiet moves `tried` before it did not.
    pub(super) fn learn(
        &mut self,
        turn: Color,
        last: Option<Footprint>,
        ply: usize,
        depth: i32,
        m: Move,
        tried: &[Move],
    ) {
        let packed = Packed::new(m);
        if let Some(pair) = self.killers.get_mut(ply)
            && pair[0] != packed
        {
            pair[1] = pair[0];
            pair[0] = packed;
        }
        let bonus = (16 * depth * depth + 64 * depth).min(1_600);
        self.change(turn, last, m, bonus);
        for &other in tried {
            self.change(turn, last, other, -bonus);
        }
    }

    fn change(&mut self, turn: Color, last: Option<Footprint>, m: Move, bonus: i32) {
        if let Some(value) = self.history.get_mut(Self::slot(turn, m)) {
            update(value, bonus);
        }
        if let Some(last) = last
            && let Some(value) = self.replies.get_mut(Self::reply_slot(last, m))
        {
            update(value, bonus);
        }
    }
}

/// Moves the value towards the bound, the less the nearer it is.
fn update(value: &mut i16, bonus: i32) {
    let now = i32::from(*value);
    let next = now + bonus - now * bonus.abs() / MOST;
    *value = i16::try_from(next.clamp(-MOST, MOST)).unwrap_or(0);
}

/// Classes of moves, best first.
const HASH_MOVE: i32 = 1 << 28;
const GOOD_CAPTURE: i32 = 1 << 26;
const KILLER: i32 = 1 << 24;
const BAD_CAPTURE: i32 = -(1 << 26);

/// A move with its place in the order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ranked {
    pub(super) m: Move,
    rank: i32,
}

impl Ranked {
    /// Whether it was ranked as a capture that loses material by exchange.
    pub(super) const fn is_losing_capture(&self) -> bool {
        self.rank < BAD_CAPTURE / 2
    }
}

/// Ranks the moves and gives them one after another, best first.
pub(super) struct Picker {
    moves: Vec<Ranked>,
    next: usize,
}

impl Picker {
    pub(super) fn new(
        position: &Chess,
        moves: &[Move],
        hash_move: Packed,
        memory: &Learned,
        last: Option<Footprint>,
        ply: usize,
    ) -> Self {
        let killers = memory.killers(ply);
        let turn = position.turn();
        let moves = moves
            .iter()
            .map(|&m| {
                let packed = Packed::new(m);
                let rank = if packed == hash_move {
                    HASH_MOVE
                } else if m.is_capture() || m.promotion() == Some(Role::Queen) {
                    rank_capture(position, m)
                } else if m.is_promotion() {
                    BAD_CAPTURE + 1
                } else if packed == killers[0] {
                    KILLER + 1
                } else if packed == killers[1] {
                    KILLER
                } else {
                    memory.quiet(turn, last, m)
                };
                Ranked { m, rank }
            })
            .collect();
        Self { moves, next: 0 }
    }

    /// Captures and promotions only, losing ones left out.
    pub(super) fn captures(position: &Chess, moves: &[Move], hash_move: Packed) -> Self {
        let moves = moves
            .iter()
            .filter(|m| m.promotion().is_none_or(|role| role == Role::Queen))
            .map(|&m| {
                let rank = if Packed::new(m) == hash_move {
                    HASH_MOVE
                } else {
                    rank_capture(position, m)
                };
                Ranked { m, rank }
            })
            .filter(|ranked| !ranked.is_losing_capture())
            .collect();
        Self { moves, next: 0 }
    }
}

impl Iterator for Picker {
    type Item = Ranked;

    fn next(&mut self) -> Option<Ranked> {
        let rest = self.moves.get_mut(self.next..)?;
        // Among equals the first generated, so that the order is always the same.
        let mut best = 0;
        let mut most = i32::MIN;
        for (at, ranked) in rest.iter().enumerate() {
            if ranked.rank > most {
                most = ranked.rank;
                best = at;
            }
        }
        if rest.is_empty() {
            return None;
        }
        rest.get_mut(..=best)?.rotate_right(1);
        self.next += 1;
        rest.first().copied()
    }
}

/// Most valuable victim first, least valuable attacker first; losing exchanges last.
fn rank_capture(position: &Chess, m: Move) -> i32 {
    let victim = m.capture().map_or(0, role_value);
    let attacker = role_value(m.role());
    let gain = victim * 16 - attacker.min(1_000);
    if m.is_promotion() {
        let value = exchange_of(position, m);
        return if value >= 0 {
            GOOD_CAPTURE + 12_000 + gain
        } else {
            BAD_CAPTURE + gain
        };
    }
    if victim >= attacker || exchange_of(position, m) >= 0 {
        GOOD_CAPTURE + gain
    } else {
        BAD_CAPTURE + gain
    }
}

/// Tells which moves give check without playing them.
pub(super) struct Checks {
    king: Option<Square>,
    /// The side's own men that mask a line of its sliders to the enemy king.
    masks: Bitboard,
}

impl Checks {
    pub(super) fn new(position: &Chess) -> Self {
        let board = position.board();
        let king = board.king_of(!position.turn());
        let us = position.us();
        let mut masks = Bitboard::EMPTY;
        if let Some(king) = king {
            let straight = attacks::rook_attacks(king, Bitboard::EMPTY) & board.rooks_and_queens();
            let diagonal =
                attacks::bishop_attacks(king, Bitboard::EMPTY) & board.bishops_and_queens();
            for slider in (straight | diagonal) & us {
                let between = attacks::between(king, slider) & board.occupied();
                if let Some(mask) = between.single_square()
                    && us.contains(mask)
                {
                    masks.add(mask);
                }
            }
        }
        Self { king, masks }
    }

    /// Whether the legal move gives check.
    pub(super) fn given_by(&self, position: &Chess, m: Move) -> bool {
        let Some(king) = self.king else { return false };
        let Move::Normal {
            role,
            from,
            to,
            promotion,
            ..
        } = m
        else {
            // Castling and en passant are rare enough to be played out.
            let mut next = position.clone();
            next.play_unchecked(m);
            return next.is_check();
        };
        let piece = promotion.unwrap_or(role).of(position.turn());
        let occupied = position.board().occupied().without(from).with(to);
        attacks::attacks(to, piece, occupied).contains(king)
            || (self.masks.contains(from) && !attacks::aligned(from, to, king))
    }
}
