//! Retrograde analysis of one signature: the moves of a position, and a plain pass over all of
//! them.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use shakmaty::{Bitboard, Color, Rank, Role, Square, attacks};

use super::distance::{DRAWN, ILLEGAL, TableError, plies, value};
use super::layout::{Layout, MOST, Node, seat};
use super::signature::Signature;
use super::table::Table;

/// Marks a position whose side to move has a move that does not lose.
const SAFE: u8 = 255;

/// How many positions are worked on between two looks at the stop flag.
const STRETCH: usize = 512;

/// What is known of the positions that a capture or promotion leads to.
enum Known {
    /// Always drawn: too little material.
    Bare,
    /// In a table.
    In {
        table: Arc<Table>,
        layout: Layout,
        /// Whether the colours change places.
        reversed: bool,
        /// Whether the two men change places.
        swapped: bool,
    },
}

impl Known {
    fn find(
        men: &[(Color, Role)],
        tables: &dyn Fn(Signature) -> Option<Arc<Table>>,
    ) -> Result<Self, TableError> {
        let of = |wanted: Color| {
            men.iter()
                .filter(|(color, _)| *color == wanted)
                .map(|&(_, role)| role)
                .collect::<Vec<_>>()
        };
        let Some((signature, straight)) = Signature::new(of(Color::White), of(Color::Black)) else {
            return Ok(Self::Bare);
        };
        if signature.is_bare() {
            return Ok(Self::Bare);
        }
        let table = tables(signature).ok_or_else(|| TableError::Missing(signature.to_string()))?;
        let layout = Layout::new(signature);
        let oriented: Vec<(Color, Role)> = men
            .iter()
            .map(|&(color, role)| (if straight { color } else { !color }, role))
            .collect();
        let swapped = layout.count == 2 && oriented.first() != layout.men.first();
        Ok(Self::In {
            table,
            layout,
            reversed: !straight,
            swapped,
        })
    }

    /// The value of a position given with the men in the order they were asked with.
    fn value(&self, mut node: Node) -> u8 {
        match self {
            Self::Bare => DRAWN,
            Self::In {
                table,
                layout,
                reversed,
                swapped,
            } => {
                if *reversed {
                    let [white, black] = node.kings;
                    node.kings = [black.flip_vertical(), white.flip_vertical()];
                    node.squares = node.squares.map(Square::flip_vertical);
                    node.turn = !node.turn;
                }
                if *swapped {
                    node.squares.swap(0, 1);
                }
                table.at(layout.number(&node))
            }
        }
    }
}

/// Where captures and promotions lead.
struct Exits {
    /// By the man that is left alone after the other was captured, and its role then.
    captured: [[Known; 6]; MOST],
    /// By the man that promotes, and its new role.
    promoted: [[Known; 6]; MOST],
}

const PROMOTIONS: [Role; 4] = [Role::Queen, Role::Rook, Role::Bishop, Role::Knight];

impl Exits {
    fn new(
        layout: &Layout,
        tables: &dyn Fn(Signature) -> Option<Arc<Table>>,
    ) -> Result<Self, TableError> {
        let none = || [const { Known::Bare }; 6];
        let mut exits = Self {
            captured: [none(), none()],
            promoted: [none(), none()],
        };
        for man in 0..layout.count {
            let Some(&(color, role)) = layout.men.get(man) else {
                continue;
            };
            let roles: &[Role] = if role == Role::Pawn { &PROMOTIONS } else { &[] };
            for &new in roles.iter().chain([&role]) {
                let place = new as usize - 1;
                if layout.count == 2
                    && let Some(slot) = exits.captured.get_mut(man).and_then(|s| s.get_mut(place))
                {
                    *slot = Known::find(&[(color, new)], tables)?;
                }
                if new != role
                    && let Some(slot) = exits.promoted.get_mut(man).and_then(|s| s.get_mut(place))
                {
                    let mut men = layout.men;
                    if let Some(changed) = men.get_mut(man) {
                        *changed = (color, new);
                    }
                    *slot = Known::find(men.get(..layout.count).unwrap_or_default(), tables)?;
                }
            }
        }
        Ok(exits)
    }

    fn after_capture(&self, left: usize, role: Role, node: Node) -> u8 {
        self.captured
            .get(left)
            .and_then(|roles| roles.get(role as usize - 1))
            .map_or(DRAWN, |known| known.value(node))
    }

    fn after_promotion(&self, man: usize, role: Role, node: Node) -> u8 {
        self.promoted
            .get(man)
            .and_then(|roles| roles.get(role as usize - 1))
            .map_or(DRAWN, |known| known.value(node))
    }
}

/// A legal move as the tables see it.
pub(super) enum Step {
    /// To another position of the same table.
    Quiet,
    /// Out of the table, to a position of this value.
    Exit(u8),
}

pub(super) struct Retrograde<'a> {
    layout: Layout,
    exits: Exits,
    stop: &'a AtomicBool,
}

impl<'a> Retrograde<'a> {
    pub(super) fn new(
        signature: Signature,
        tables: &dyn Fn(Signature) -> Option<Arc<Table>>,
        stop: &'a AtomicBool,
    ) -> Result<Self, TableError> {
        let layout = Layout::new(signature);
        let exits = Exits::new(&layout, tables)?;
        Ok(Self {
            layout,
            exits,
            stop,
        })
    }

    /// How the positions are numbered.
    pub(super) const fn layout(&self) -> &Layout {
        &self.layout
    }

    /// The values of all numbers of the signature, position by position: what knows en passant,
    /// and the measure of the other way.
    pub(super) fn run_plainly(&self) -> Result<Vec<u8>, TableError> {
        let mut values = vec![DRAWN; self.layout.len()];
        let mut open = vec![SAFE; self.layout.len()];
        let mut last = self.look_forward(&mut values, &mut open)?;
        let mut ply = 0;
        while ply <= last && ply < u8::MAX - 2 {
            last = last.max(self.look_back(ply, &mut values, &mut open)?);
            ply += 1;
        }
        Ok(values)
    }

    pub(super) fn go_on(&self, number: usize) -> Result<(), TableError> {
        if number.is_multiple_of(STRETCH) && self.stop.load(Ordering::Relaxed) {
            return Err(TableError::Stopped);
        }
        Ok(())
    }

    /// Finds illegal numbers, mates, what captures and promotions settle, and how many
    /// quiet moves each position has. Returns the longest distance given, in plies.
    fn look_forward(&self, values: &mut [u8], open: &mut [u8]) -> Result<u8, TableError> {
        let mut last = 0;
        for (number, (stored, open)) in values.iter_mut().zip(open.iter_mut()).enumerate() {
            self.go_on(number)?;
            let Some(node) = self.layout.node(number) else {
                *stored = ILLEGAL;
                continue;
            };
            let mut quiet = 0_u8;
            let mut exits = Best::default();
            self.steps(&node, &mut |step| match step {
                Step::Quiet => quiet = quiet.saturating_add(1),
                Step::Exit(after) => exits.add(after),
            });
            if quiet == 0 && exits.is_empty() {
                let occupied = self.layout.occupied(&node);
                if self.layout.in_check(&node, node.turn, occupied) {
                    *stored = value(0);
                }
                continue;
            }
            if let Some(win) = exits.win {
                *stored = value(win + 1);
                last = last.max(win + 1);
                continue;
            }
            if exits.drawn {
                continue;
            }
            if quiet == 0 {
                *stored = value(exits.longest + 1);
                last = last.max(exits.longest + 1);
            } else {
                *open = quiet;
            }
        }
        Ok(last)
    }

    /// Carries the positions decided at `ply` back to those before them.
    fn look_back(&self, ply: u8, values: &mut [u8], open: &mut [u8]) -> Result<u8, TableError> {
        let wanted = value(ply);
        let lost = ply.is_multiple_of(2);
        let mut last = 0;
        for number in 0..values.len() {
            self.go_on(number)?;
            if values.get(number) != Some(&wanted) {
                continue;
            }
            let Some(node) = self.layout.node(number) else {
                continue;
            };
            self.steps_back(&node, &mut |before| {
                let at = self.layout.number(before);
                let (Some(stored), Some(open)) = (values.get_mut(at), open.get_mut(at)) else {
                    return;
                };
                if lost {
                    let wins = value(ply + 1);
                    if *stored == DRAWN || (*stored != ILLEGAL && *stored > wins) {
                        *stored = wins;
                        last = last.max(ply + 1);
                    }
                } else if *stored == DRAWN && *open != SAFE {
                    *open -= 1;
                    if *open == 0 {
                        // Every quiet move loses; an exit may hold out longer still.
                        let mut exits = Best::default();
                        self.steps(before, &mut |step| {
                            if let Step::Exit(after) = step {
                                exits.add(after);
                            }
                        });
                        let holds = ply.max(exits.longest) + 1;
                        *stored = value(holds);
                        last = last.max(holds);
                    }
                }
            });
        }
        Ok(last)
    }

    /// Calls `found` for every legal move.
    pub(super) fn steps(&self, node: &Node, found: &mut dyn FnMut(Step)) {
        self.steps_to(node, Bitboard::FULL, found);
    }

    /// Calls `found` for every legal move that leaves the table, and perhaps for some of a
    /// pawn that do not.
    pub(super) fn exits(&self, node: &Node, found: &mut dyn FnMut(Step)) {
        let men = self.layout.men.iter().zip(&node.squares);
        let theirs = men
            .take(self.layout.count)
            .fold(Bitboard::EMPTY, |all, (man, &at)| {
                if man.0 == node.turn { all } else { all | at }
            });
        self.steps_to(node, theirs, found);
    }

    /// Calls `found` for every legal move of a pawn, and those of pieces to `targets`.
    fn steps_to(&self, node: &Node, targets: Bitboard, found: &mut dyn FnMut(Step)) {
        let occupied = self.layout.occupied(node);
        let us = node.turn;
        let king = node.kings[seat(us)];
        for to in attacks::king_attacks(king) & targets {
            let mut next = *node;
            next.kings[seat(us)] = to;
            self.piece_step(next, None, king, to, occupied, found);
        }
        for man in 0..self.layout.count {
            let (Some(&(color, role)), Some(&from)) =
                (self.layout.men.get(man), node.squares.get(man))
            else {
                continue;
            };
            if color != us {
                continue;
            }
            if role == Role::Pawn {
                self.pawn_steps(node, man, from, occupied, found);
                continue;
            }
            for to in attacks::attacks(from, role.of(color), occupied) & targets {
                let mut next = *node;
                if let Some(place) = next.squares.get_mut(man) {
                    *place = to;
                }
                self.piece_step(next, Some(man), from, to, occupied, found);
            }
        }
    }

    /// A move of a piece that has been made on `next` already, the turn excepted.
    fn piece_step(
        &self,
        mut next: Node,
        mover: Option<usize>,
        from: Square,
        to: Square,
        occupied: Bitboard,
        found: &mut dyn FnMut(Step),
    ) {
        let us = next.turn;
        let captured = if occupied.contains(to) {
            // Own men and kings cannot be captured.
            let other = (0..self.layout.count)
                .find(|&man| Some(man) != mover && next.squares.get(man) == Some(&to));
            let Some(other) = other else { return };
            if self
                .layout
                .men
                .get(other)
                .is_none_or(|&(color, _)| color == us)
            {
                return;
            }
            Some(other)
        } else {
            None
        };
        next.passing = None;
        let after = occupied.without(from).with(to);
        if self
            .layout
            .attacked(&next, next.kings[seat(us)], !us, after, captured)
        {
            return;
        }
        next.turn = !us;
        match captured {
            None => found(Step::Quiet),
            Some(gone) => self.capture(next, gone, None, found),
        }
    }

    /// A capture made on `next` already; the man that is left may take the role `new`.
    fn capture(&self, mut next: Node, gone: usize, new: Option<Role>, found: &mut dyn FnMut(Step)) {
        if self.layout.count < 2 {
            found(Step::Exit(DRAWN));
            return;
        }
        let left = 1 - gone.min(1);
        let Some(&(_, role)) = self.layout.men.get(left) else {
            return;
        };
        if left == 1 {
            next.squares.swap(0, 1);
        }
        found(Step::Exit(self.exits.after_capture(
            left,
            new.unwrap_or(role),
            next,
        )));
    }

    fn pawn_steps(
        &self,
        node: &Node,
        man: usize,
        from: Square,
        occupied: Bitboard,
        found: &mut dyn FnMut(Step),
    ) {
        let us = node.turn;
        let moved = |to: Square| {
            let mut next = *node;
            next.passing = None;
            if let Some(place) = next.squares.get_mut(man) {
                *place = to;
            }
            next
        };
        let exposed = |next: &Node, after: Bitboard, gone: Option<usize>| {
            self.layout
                .attacked(next, next.kings[seat(us)], !us, after, gone)
        };
        let ahead = us.fold_wb(8, -8);
        if let Some(one) = from.offset(ahead)
            && !occupied.contains(one)
        {
            let mut next = moved(one);
            if !exposed(&next, occupied.without(from).with(one), None) {
                next.turn = !us;
                if Bitboard::BACKRANKS.contains(one) {
                    for role in PROMOTIONS {
                        found(Step::Exit(self.exits.after_promotion(man, role, next)));
                    }
                } else {
                    found(Step::Quiet);
                }
            }
            if from.rank() == us.relative_rank(Rank::Second)
                && let Some(two) = one.offset(ahead)
                && !occupied.contains(two)
            {
                let next = moved(two);
                let after = occupied.without(from).with(two);
                if !exposed(&next, after, None) {
                    found(Step::Quiet);
                }
            }
        }
        let other = 1 - man.min(1);
        if self.layout.count < 2 || self.layout.men.get(other).is_none_or(|m| m.0 == us) {
            return;
        }
        let Some(&target) = node.squares.get(other) else {
            return;
        };
        let reach = attacks::pawn_attacks(us, from);
        if reach.contains(target) {
            let mut next = moved(target);
            if !exposed(&next, occupied.without(from), Some(other)) {
                next.turn = !us;
                if Bitboard::BACKRANKS.contains(target) {
                    for role in PROMOTIONS {
                        self.capture(next, other, Some(role), found);
                    }
                } else {
                    self.capture(next, other, None, found);
                }
            }
        }
        if node.passing == Some(other)
            && let Some(to) = target.offset(ahead)
            && reach.contains(to)
        {
            let mut next = moved(to);
            let after = occupied.without(from).without(target).with(to);
            if !exposed(&next, after, Some(other)) {
                next.turn = !us;
                self.capture(next, other, None, found);
            }
        }
    }

    /// Calls `found` for every position from which a quiet move leads here; some of them
    /// may be illegal.
    fn steps_back(&self, node: &Node, found: &mut dyn FnMut(&Node)) {
        let occupied = self.layout.occupied(node);
        let mover = !node.turn;
        if let Some(man) = node.passing {
            // The last move was the double step.
            self.unpush(node, man, 2, occupied, found);
            return;
        }
        let king = node.kings[seat(mover)];
        for from in attacks::king_attacks(king) & !occupied {
            let mut before = *node;
            before.turn = mover;
            before.kings[seat(mover)] = from;
            self.before(before, found);
        }
        for man in 0..self.layout.count {
            let (Some(&(color, role)), Some(&to)) =
                (self.layout.men.get(man), node.squares.get(man))
            else {
                continue;
            };
            if color != mover {
                continue;
            }
            if role == Role::Pawn {
                self.unpush(node, man, 1, occupied, found);
                if !self.layout.can_have_passed(node, man, occupied) {
                    self.unpush(node, man, 2, occupied, found);
                }
                continue;
            }
            for from in attacks::attacks(to, role.of(color), occupied) & !occupied {
                let mut before = *node;
                before.turn = mover;
                if let Some(place) = before.squares.get_mut(man) {
                    *place = from;
                }
                self.before(before, found);
            }
        }
    }

    /// Takes back a pawn's step of one or two ranks if it can have been one.
    fn unpush(
        &self,
        node: &Node,
        man: usize,
        ranks: i32,
        occupied: Bitboard,
        found: &mut dyn FnMut(&Node),
    ) {
        let mover = !node.turn;
        let Some(&to) = node.squares.get(man) else {
            return;
        };
        let back = mover.fold_wb(-8, 8);
        let rank = mover.relative_rank(to.rank());
        let fits = if ranks == 1 {
            rank > Rank::Second
        } else {
            rank == Rank::Fourth
        };
        let (Some(near), Some(from)) = (to.offset(back), to.offset(back * ranks)) else {
            return;
        };
        if !fits || occupied.contains(near) || occupied.contains(from) {
            return;
        }
        let mut before = *node;
        before.turn = mover;
        before.passing = None;
        if let Some(place) = before.squares.get_mut(man) {
            *place = from;
        }
        self.before(before, found);
    }

    /// The position itself, and the same with each double step that may have led to it.
    fn before(&self, before: Node, found: &mut dyn FnMut(&Node)) {
        found(&before);
        if !self.layout.may_pass() {
            return;
        }
        let passed = seat(!before.turn);
        let occupied = self.layout.occupied(&before);
        if self.layout.can_have_passed(&before, passed, occupied) {
            found(&Node {
                passing: Some(passed),
                ..before
            });
        }
    }
}

/// The best that moves out of the table can do.
#[derive(Default)]
pub(super) struct Best {
    /// The shortest loss of the other side, in plies.
    pub(super) win: Option<u8>,
    pub(super) drawn: bool,
    /// The longest win of the other side, in plies.
    pub(super) longest: u8,
    any: bool,
}

impl Best {
    pub(super) fn add(&mut self, after: u8) {
        self.any = true;
        match plies(after) {
            None => self.drawn = true,
            Some(ply) if ply.is_multiple_of(2) => {
                self.win = Some(self.win.map_or(ply, |best| best.min(ply)));
            }
            Some(ply) => self.longest = self.longest.max(ply),
        }
    }

    pub(super) const fn is_empty(&self) -> bool {
        !self.any
    }
}
