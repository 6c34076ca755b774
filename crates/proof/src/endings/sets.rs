//! Retrograde analysis of one signature on sets of positions.
//!
//! All positions that differ only in the square of the last man make one word of 64 bits, a
//! *slice*. A step back over all of them is a few shifts and masks, where a plain pass plays
//! every move of every position. Only positions that can leave the table are looked at one by
//! one, with the plain pass's own rules ([`Retrograde`]), and a test compares the two whole.

use shakmaty::{Bitboard, Color, Rank, Role, Square, attacks};

use super::build::{Best, Retrograde, Step};
use super::distance::{DRAWN, ILLEGAL, TableError, value};
use super::layout::{Layout, Node, seat};

/// Squares of the last man.
const SQUARES: usize = 64;

/// What all positions of a slice share.
#[derive(Clone, Copy)]
struct Slice {
    turn: Color,
    kings: [Square; 2],
    /// The first of two men.
    mid: Option<Square>,
}

/// The numbering of slices: that of the layout without the last man's square.
struct Slices<'l> {
    layout: &'l Layout,
    /// The first of two men.
    mid: Option<(Color, Role)>,
    last: (Color, Role),
}

impl<'l> Slices<'l> {
    fn of(layout: &'l Layout) -> Option<Self> {
        let last = layout.count.checked_sub(1)?;
        Some(Self {
            layout,
            mid: (last == 1).then(|| layout.men.first().copied()).flatten(),
            last: *layout.men.get(last)?,
        })
    }

    const fn len(&self) -> usize {
        self.layout.len() / SQUARES
    }

    /// The slice with this number, if any of its positions can be legal.
    fn at(&self, number: usize) -> Option<Slice> {
        let (turn, kings, mid) = self.layout.slice(number * SQUARES)?;
        let mid = self.mid.map(|(_, role)| (mid, role));
        if let Some((mid, role)) = mid {
            let homeless = role == Role::Pawn && Bitboard::BACKRANKS.contains(mid);
            if homeless || kings.contains(&mid) {
                return None;
            }
        }
        Some(Slice {
            turn,
            kings,
            mid: mid.map(|(mid, _)| mid),
        })
    }

    /// The bits of a slice of `sets`, as seen without mirroring.
    fn bits(&self, sets: &[u64], slice: &Slice) -> Bitboard {
        let mut node = Node {
            turn: slice.turn,
            kings: slice.kings,
            squares: [Square::A1; super::layout::MOST],
            passing: None,
        };
        if let (Some(place), Some(mid)) = (node.squares.first_mut(), slice.mid) {
            *place = mid;
        }
        let (files, ranks) = self.layout.mirrored(slice.kings[0]);
        let at = self.layout.number(&node) / SQUARES;
        let mut bits = Bitboard(sets.get(at).copied().unwrap_or(0));
        if files {
            bits = bits.flip_horizontal();
        }
        if ranks {
            bits = bits.flip_vertical();
        }
        bits
    }

    /// The squares that `man` attacks from `from`.
    fn reach(man: (Color, Role), from: Square, occupied: Bitboard) -> Bitboard {
        attacks::attacks(from, man.1.of(man.0), occupied)
    }

    /// The squares from which `man` attacks `target`.
    fn attackers(man: (Color, Role), target: Square, occupied: Bitboard) -> Bitboard {
        attacks::attacks(target, man.1.of(!man.0), occupied)
    }

    /// Where the last man may stand so that the position is legal.
    fn legal(&self, slice: &Slice) -> Bitboard {
        let us = slice.turn;
        let enemy = slice.kings[seat(!us)];
        let kings = slice.pair();
        let occupied = slice.occupied();
        let mut legal = !occupied;
        if self.last.1 == Role::Pawn {
            legal &= !Bitboard::BACKRANKS;
        }
        if let (Some(man), Some(mid)) = (self.mid, slice.mid)
            && man.0 == us
            && Self::reach(man, mid, kings).contains(enemy)
        {
            legal &= attacks::between(mid, enemy);
        }
        if self.last.0 == us {
            legal &= !Self::attackers(self.last, enemy, occupied);
        }
        legal
    }

    /// Where the last man stands when the side to move is in check.
    fn checks(&self, slice: &Slice) -> Bitboard {
        let them = !slice.turn;
        let king = slice.kings[seat(slice.turn)];
        let mut checks = Bitboard::EMPTY;
        if let (Some(man), Some(mid)) = (self.mid, slice.mid)
            && man.0 == them
            && Self::reach(man, mid, slice.pair()).contains(king)
        {
            checks |= !attacks::between(mid, king);
        }
        if self.last.0 == them {
            checks |= Self::attackers(self.last, king, slice.occupied());
        }
        checks
    }

    /// Where the last man stands when a capture or a promotion may be possible; too many
    /// rather than too few.
    fn may_leave(&self, slice: &Slice) -> Bitboard {
        let us = slice.turn;
        let near = attacks::king_attacks(slice.kings[seat(us)]);
        let seventh = Bitboard::from(us.relative_rank(Rank::Seventh));
        let kings = slice.pair();
        let mut leave = Bitboard::EMPTY;
        let last_is_ours = self.last.0 == us;
        if last_is_ours && self.last.1 == Role::Pawn {
            leave |= seventh;
        }
        if !last_is_ours {
            leave |= near;
        }
        if let (Some(man), Some(mid)) = (self.mid, slice.mid) {
            if man.0 == us {
                if man.1 == Role::Pawn && seventh.contains(mid) {
                    return Bitboard::FULL;
                }
                if !last_is_ours {
                    leave |= Self::reach(man, mid, kings);
                }
            } else {
                if near.contains(mid) {
                    return Bitboard::FULL;
                }
                if last_is_ours {
                    leave |= Self::attackers(self.last, mid, kings);
                }
            }
        }
        leave
    }

    /// Where the last man stands when some quiet move leads into `sets`, which hold legal
    /// positions only.
    fn before(&self, slice: &Slice, sets: &[u64]) -> Bitboard {
        let us = slice.turn;
        let occupied = slice.occupied();
        let next = Slice {
            turn: !us,
            ..*slice
        };
        let mut found = Bitboard::EMPTY;
        let (king, enemy) = (slice.kings[seat(us)], slice.kings[seat(!us)]);
        for to in attacks::king_attacks(king) & !occupied & !attacks::king_attacks(enemy) {
            let mut next = next;
            next.kings[seat(us)] = to;
            found |= self.bits(sets, &next);
        }
        if let (Some(man), Some(mid)) = (self.mid, slice.mid)
            && man.0 == us
        {
            let mut to_square = |to: Square| {
                let next = Slice {
                    mid: Some(to),
                    ..next
                };
                found |= self.bits(sets, &next) & !attacks::between(mid, to);
            };
            if man.1 == Role::Pawn {
                pawn_steps(us, mid, occupied)
                    .into_iter()
                    .for_each(&mut to_square);
            } else {
                let reach = Self::reach(man, mid, occupied) & !occupied;
                reach.into_iter().for_each(&mut to_square);
            }
        }
        if self.last.0 == us {
            let targets = self.bits(sets, &next);
            if targets.any() {
                found |= origins(self.last, targets, !occupied);
            }
        }
        found
    }
}

impl Slice {
    fn pair(&self) -> Bitboard {
        Bitboard::from(self.kings[0]) | self.kings[1]
    }

    fn occupied(&self) -> Bitboard {
        self.mid
            .map_or_else(|| self.pair(), |mid| self.pair() | mid)
    }
}

/// The squares to which a pawn can step without promoting.
fn pawn_steps(us: Color, from: Square, occupied: Bitboard) -> Bitboard {
    let free = !occupied & !Bitboard::BACKRANKS;
    let one = ahead(us, Bitboard::from(from)) & free;
    let third = Bitboard::from(us.relative_rank(Rank::Third));
    one | (ahead(us, one & third) & free)
}

/// All squares one rank on, as the pawns of a side see it.
fn ahead(us: Color, squares: Bitboard) -> Bitboard {
    us.fold_wb(Bitboard(squares.0 << 8), Bitboard(squares.0 >> 8))
}

/// The squares from which a man reaches one of `targets` by a quiet move over `free` squares.
fn origins(man: (Color, Role), targets: Bitboard, free: Bitboard) -> Bitboard {
    let (color, role) = man;
    match role {
        Role::Pawn => {
            let one = ahead(!color, targets) & free;
            let fourth = Bitboard::from(color.relative_rank(Rank::Fourth));
            let two = ahead(!color, ahead(!color, targets & fourth) & free) & free;
            (one | two) & !Bitboard::BACKRANKS
        }
        Role::Knight => targets.into_iter().fold(Bitboard::EMPTY, |found, to| {
            found | attacks::knight_attacks(to)
        }),
        Role::King => targets.into_iter().fold(Bitboard::EMPTY, |found, to| {
            found | attacks::king_attacks(to)
        }),
        Role::Bishop => fill(targets.0, free.0, &DIAGONAL),
        Role::Rook => fill(targets.0, free.0, &STRAIGHT),
        Role::Queen => fill(targets.0, free.0, &DIAGONAL) | fill(targets.0, free.0, &STRAIGHT),
    }
}

/// A direction: how far to shift to the left (negative: to the right), and the squares that do
/// not come from over the edge of the board.
type Direction = (i32, u64);

const NOT_A: u64 = 0xfefe_fefe_fefe_fefe;
const NOT_H: u64 = 0x7f7f_7f7f_7f7f_7f7f;
const STRAIGHT: [Direction; 4] = [(8, !0), (-8, !0), (1, NOT_A), (-1, NOT_H)];
const DIAGONAL: [Direction; 4] = [(9, NOT_A), (7, NOT_H), (-7, NOT_A), (-9, NOT_H)];

/// All squares that sliding from `from` over `free` squares reaches.
fn fill(from: u64, free: u64, directions: &[Direction; 4]) -> Bitboard {
    let mut found = 0;
    for &(shift, inside) in directions {
        let mut front = from;
        for _ in 0..7 {
            front = if shift > 0 {
                front << shift
            } else {
                front >> -shift
            };
            front &= inside & free;
            found |= front;
        }
    }
    Bitboard(found)
}

/// The work on one table.
pub(super) struct Sets<'b> {
    builder: &'b Retrograde<'b>,
    slices: Slices<'b>,
    values: Vec<u8>,
    /// The legal positions.
    legal: Vec<u64>,
    /// The legal positions that are not yet known to be won for the side to move.
    open: Vec<u64>,
    /// The positions known to be lost.
    lost: Vec<u64>,
    /// The positions that are never lost: they can leave the table at no loss, or it is
    /// stalemate.
    safe: Vec<u64>,
    /// The positions that can leave the table, but only into a loss.
    bad_exit: Vec<u64>,
    /// The numbers that are settled at a distance by leaving the table.
    at_distance: Vec<Vec<u32>>,
}

impl<'b> Sets<'b> {
    /// The values of all numbers of the builder's signature, which knows no en passant.
    pub(super) fn run(builder: &'b Retrograde<'b>) -> Result<Vec<u8>, TableError> {
        let layout = builder.layout();
        let Some(slices) = Slices::of(layout) else {
            return Ok(vec![DRAWN; layout.len()]);
        };
        let words = || vec![0; slices.len()];
        let mut sets = Self {
            builder,
            values: vec![ILLEGAL; layout.len()],
            legal: words(),
            open: words(),
            lost: words(),
            safe: words(),
            bad_exit: words(),
            at_distance: vec![Vec::new(); usize::from(u8::MAX)],
            slices,
        };
        sets.find_legal();
        let mut front = sets.look_forward()?;
        let mut ply = 0_u8;
        while ply < u8::MAX - 2 {
            sets.join_those_at(ply, &mut front);
            let later = sets.at_distance.iter().skip(usize::from(ply));
            if front.iter().all(|&word| word == 0) && later.into_iter().all(Vec::is_empty) {
                break;
            }
            front = sets.look_back(ply, &front)?;
            ply += 1;
        }
        Ok(sets.values)
    }

    fn find_legal(&mut self) {
        for number in 0..self.slices.len() {
            let Some(slice) = self.slices.at(number) else {
                continue;
            };
            let legal = self.slices.legal(&slice);
            put(&mut self.legal, number, legal.0);
            put(&mut self.open, number, legal.0);
            self.give(number, legal, DRAWN);
        }
    }

    /// Gives the positions of a slice a value.
    fn give(&mut self, slice: usize, squares: Bitboard, value: u8) {
        let Some(values) = self.values.get_mut(slice * SQUARES..(slice + 1) * SQUARES) else {
            return;
        };
        for square in squares {
            if let Some(place) = values.get_mut(square.to_usize()) {
                *place = value;
            }
        }
    }

    /// Finds mates, stalemates and what leaving the table settles. Gives the mates.
    fn look_forward(&mut self) -> Result<Vec<u64>, TableError> {
        let mut mates = vec![0; self.slices.len()];
        for number in 0..self.slices.len() {
            self.builder.go_on(number)?;
            let legal = Bitboard(word(&self.legal, number));
            let Some(slice) = self.slices.at(number).filter(|_| legal.any()) else {
                continue;
            };
            let quiet = self.slices.before(&slice, &self.legal);
            let mut stays = legal;
            for square in self.slices.may_leave(&slice) & legal {
                if self.leave(number, square, quiet.contains(square)) {
                    stays.discard(square);
                }
            }
            let stuck = stays & !quiet;
            if stuck.is_empty() {
                continue;
            }
            let mated = stuck & self.slices.checks(&slice);
            add(&mut self.safe, number, stuck.0 & !mated.0);
            add(&mut self.lost, number, mated.0);
            put(&mut mates, number, mated.0);
            self.give(number, mated, value(0));
        }
        Ok(mates)
    }

    /// Looks at the moves by which a position leaves the table; whether there are any. It may
    /// have `quiet` ones besides.
    fn leave(&mut self, slice: usize, square: Square, quiet: bool) -> bool {
        let number = slice * SQUARES + square.to_usize();
        let exits = self.exits(number);
        if exits.is_empty() {
            return false;
        }
        let bit = Bitboard::from(square).0;
        let at = |ply: u8| {
            (
                usize::from(ply) + 1,
                u32::try_from(number).unwrap_or(u32::MAX),
            )
        };
        if let Some(win) = exits.win {
            add(&mut self.safe, slice, bit);
            self.remember(at(win));
        } else if exits.drawn {
            add(&mut self.safe, slice, bit);
        } else if quiet {
            add(&mut self.bad_exit, slice, bit);
        } else {
            add(&mut self.lost, slice, bit);
            self.remember(at(exits.longest));
        }
        true
    }

    fn remember(&mut self, (ply, number): (usize, u32)) {
        if let Some(numbers) = self.at_distance.get_mut(ply) {
            numbers.push(number);
        }
    }

    /// The best that leaving the table does in a position.
    fn exits(&self, number: usize) -> Best {
        let mut exits = Best::default();
        if let Some(node) = self.builder.layout().node(number) {
            self.builder.exits(&node, &mut |step| {
                if let Step::Exit(after) = step {
                    exits.add(after);
                }
            });
        }
        exits
    }

    /// Adds those positions to the front that leaving the table settles at this distance.
    fn join_those_at(&mut self, ply: u8, front: &mut [u64]) {
        let numbers = self.at_distance.get_mut(usize::from(ply));
        let numbers = numbers.map(std::mem::take).unwrap_or_default();
        for number in numbers {
            let number = number as usize;
            let Some(stored) = self.values.get_mut(number) else {
                continue;
            };
            // A quiet move may have won sooner.
            if *stored != DRAWN {
                continue;
            }
            *stored = value(ply);
            add(front, number / SQUARES, 1 << (number % SQUARES));
        }
    }

    /// Carries the positions decided at `ply` back to those before them, which it gives.
    fn look_back(&mut self, ply: u8, front: &[u64]) -> Result<Vec<u64>, TableError> {
        let won = !ply.is_multiple_of(2);
        if won {
            for (open, won) in self.open.iter_mut().zip(front) {
                *open &= !won;
            }
        }
        let half = self.slices.len() / 2;
        let any = |words: &[u64]| words.iter().any(|&word| word != 0);
        let (white, black) = front.split_at(half);
        // Who moves into a position is who is not to move in it.
        let moving = [any(black), any(white)];
        let mut found = vec![0; self.slices.len()];
        for number in 0..self.slices.len() {
            self.builder.go_on(number)?;
            if !moving[usize::from(number >= half)] {
                continue;
            }
            let undecided = word(&self.open, number) & !word(&self.lost, number);
            let candidates = if won {
                undecided & !word(&self.safe, number)
            } else {
                undecided
            };
            if candidates == 0 {
                continue;
            }
            let Some(slice) = self.slices.at(number) else {
                continue;
            };
            let reached = self.slices.before(&slice, front).0 & candidates;
            if reached == 0 {
                continue;
            }
            let mut decided = Bitboard(reached);
            if won {
                decided &= !self.slices.before(&slice, &self.open);
                add(&mut self.lost, number, decided.0);
                for square in decided & Bitboard(word(&self.bad_exit, number)) {
                    let at = number * SQUARES + square.to_usize();
                    let longest = self.exits(at).longest;
                    if longest > ply {
                        decided.discard(square);
                        let at = u32::try_from(at).unwrap_or(u32::MAX);
                        self.remember((usize::from(longest) + 1, at));
                    }
                }
            }
            put(&mut found, number, decided.0);
            self.give(number, decided, value(ply + 1));
        }
        Ok(found)
    }
}

fn word(sets: &[u64], at: usize) -> u64 {
    sets.get(at).copied().unwrap_or(0)
}

fn put(sets: &mut [u64], at: usize, bits: u64) {
    if let Some(word) = sets.get_mut(at) {
        *word = bits;
    }
}

fn add(sets: &mut [u64], at: usize, bits: u64) {
    if let Some(word) = sets.get_mut(at) {
        *word |= bits;
    }
}

#[cfg(test)]
mod tests {
    use std::sync::{Arc, atomic::AtomicBool};

    use super::*;
    use crate::endings::{Signature, Table, Tables};

    /// Signatures of every kind: one man, two of a side, men against men, pawns that promote
    /// and capture, and a man that blocks another.
    #[test]
    fn sets_give_what_a_plain_pass_gives() {
        let stop = AtomicBool::new(false);
        let tables = Tables::new(usize::MAX);
        for name in ["KPK", "KQKR", "KBNK", "KRKP"] {
            let signature: Signature = name.parse().expect("a signature");
            let table = tables.build(signature, &stop).expect("built");
            let lookup = |wanted: Signature| -> Option<Arc<Table>> { tables.get(wanted) };
            let builder = Retrograde::new(signature, &lookup, &stop).expect("its exits");
            let plain = builder.run_plainly().expect("values");
            let differ = (0..plain.len()).find(|&at| plain.get(at) != Some(&table.at(at)));
            assert_eq!(differ, None, "{name}");
        }
    }
}
