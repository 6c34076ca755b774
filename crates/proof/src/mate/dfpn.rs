//! Depth-first proof-number search.
//!
//! Sources: Nagai, "Df-pn algorithm for searching AND/OR trees and its
//! applications" (2002); Kishimoto, Winands, Müller and Saito, "Game-tree search
//! using proof numbers: the first twenty years", ICGA Journal 35 (2012); Pawlewicz
//! and Lew, "Improving depth-first PN-search: 1+ε trick" (2006).
//!
//! # Few moves played
//!
//! A position's moves are looked at one by one, in a fixed order, and only when the
//! best of those seen has become harder than an unseen one is thought to be. Before a
//! move is played, the table is asked under the key that the position after it will
//! have.
//!
//! # Soundness
//!
//! With a bound on the moves, everything is kept under the position and the moves
//! left, so there are no cycles. Without one, a position that stands on the path
//! already counts as a failure of the attack, which is right for this path only. A
//! disproof that rests on that is kept with a [`Pin`] on the ancestors it needs, and
//! is forgotten when the search leaves them. Proofs never rest on the path. Without
//! a bound, the fifty-move rule is left to whoever uses the proof.

use shakmaty::{Move, Position};

use super::{
    checks::{OutOfBudget, mate_in_one},
    dag::clock_after,
    exact::{FIFTY_MOVES, Place},
    key::{Key, key_after, with_number},
    order,
    table::{FactTable, Packed, pack},
    tree::{Entry, INFINITE, Pin, State, Tree},
};
use crate::Budget;

/// Half-moves that a path may have; what lies deeper counts as on the path.
const DEEPEST: usize = 300;

/// A sibling is left only when the second best is better by one part in so many:
/// otherwise the search jumps between equals and spends its time coming back.
const WIDEN: u32 = 4;

// Proof and disproof numbers of moves that have not been looked at, by experiment.
const CHECK_UNSEEN: (u32, u32) = (4, 1);
const QUIET_UNSEEN: (u32, u32) = (8, 1);
const REPLY_UNSEEN: (u32, u32) = (1, 1);
/// A position with the attacker to move that has no mate in one.
const ATTACK_SEEN: State = State::Open(1, 1);

/// No bound on the number of moves.
pub(crate) const ANY: u32 = u32::MAX;

/// What is asked of a position: does the attacker, who is to move or not, mate
/// within `left` more moves of his own?
#[derive(Clone, Copy, Debug)]
pub(crate) struct Goal {
    attacking: bool,
    left: u32,
}

impl Goal {
    /// The attacker, to move, mates within `left` moves.
    pub(crate) const fn attack(left: u32) -> Self {
        Self {
            attacking: true,
            left,
        }
    }

    /// The defender, to move, is mated within `left` more moves of the attacker.
    pub(crate) const fn defend(left: u32) -> Self {
        Self {
            attacking: false,
            left,
        }
    }

    const fn is_bounded(self) -> bool {
        self.left != ANY
    }

    /// The question after a move.
    const fn next(self) -> Self {
        Self {
            attacking: !self.attacking,
            left: if self.attacking && self.is_bounded() {
                self.left.saturating_sub(1)
            } else {
                self.left
            },
        }
    }

    /// The number under which facts are kept: from 1 up.
    const fn measure(self) -> u32 {
        self.left + if self.attacking { 0 } else { 1 }
    }

    /// The key under which facts are kept: with the fifty-move clock as soon as it
    /// can run out on the way.
    const fn fact_key(self, key: Key, clock: u32) -> Key {
        let plies = 2 * self.left + if self.attacking { 0 } else { 1 };
        if clock.saturating_add(plies) <= FIFTY_MOVES {
            key
        } else {
            with_number(key, clock)
        }
    }

    /// The key under which the search keeps its numbers.
    const fn tree_key(self, key: Key, clock: u32) -> Key {
        if self.is_bounded() {
            with_number(self.fact_key(key, clock), self.left + 1000)
        } else {
            key
        }
    }
}

/// A move that was looked at and is not settled for good.
#[derive(Clone, Copy)]
struct Child {
    /// Its place in the order.
    index: usize,
    state: State,
}

/// A position on the path.
struct Step {
    key: Key,
    visit: u32,
}

/// A position that is being searched.
struct Node {
    /// Where its moves begin in the list of all moves on the path.
    moves: usize,
    /// Where its children begin in the list of all children on the path.
    children: usize,
    /// How many moves it has.
    count: usize,
    /// How many of these are checks, when the attacker is to move.
    checking: usize,
    /// How many have been looked at.
    reach: usize,
    /// Which of the first 64 are settled for good.
    settled: u64,
    /// The longest mate after a settled move.
    longest: u16,
}

/// What the children of a position say of it.
struct Numbers {
    state: State,
    /// The child to go on with, by its place in the list of all children; none for an
    /// unseen move.
    chosen: Option<usize>,
    /// The second best number.
    second: u32,
}

/// The limits of a visit: it ends when a number reaches its limit.
#[derive(Clone, Copy)]
struct Limits {
    pn: u32,
    dn: u32,
}

pub(crate) struct Prove<'t> {
    tree: &'t mut Tree,
    facts: &'t mut FactTable,
    path: Vec<Step>,
    moves: Vec<Move>,
    children: Vec<Child>,
    keys: Vec<(usize, Key)>,
    visits: u32,
}

impl<'t> Prove<'t> {
    pub(crate) fn new(tree: &'t mut Tree, facts: &'t mut FactTable) -> Self {
        Self {
            tree,
            facts,
            path: Vec::new(),
            moves: Vec::new(),
            children: Vec::new(),
            keys: Vec::new(),
            visits: 0,
        }
    }

    /// Searches until the question is settled: the answer is never open.
    pub(crate) fn run(
        &mut self,
        place: &Place,
        goal: Goal,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        let clock = place.position.halfmoves();
        if let Some(state @ (State::Won(_) | State::Lost)) = self.known(place.key, clock, goal) {
            return Ok(state);
        }
        let (state, best) = self.evaluate(place, goal, true, budget)?;
        if !matches!(state, State::Open(..)) {
            self.store(place.key, clock, goal, Entry::leaf(state, best), 0);
            return Ok(state);
        }
        let limits = Limits {
            pn: INFINITE,
            dn: INFINITE,
        };
        self.search(place, goal, limits, budget)
    }

    /// Visits a position until one of its numbers reaches its limit.
    ///
    /// The recursion ends at [`DEEPEST`]; what a visit needs room for lies in the
    /// lists that all visits share.
    fn search(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        let depth = self.path.len();
        if depth >= DEEPEST {
            let deep = depth - 1;
            return Ok(self.pinned_at(deep));
        }
        let spent = budget.spent();
        self.visits = self.visits.wrapping_add(1);
        self.path.push(Step {
            key: place.key,
            visit: self.visits,
        });
        let mut node = self.open(place, goal);
        let result = match terminal(place, goal, node.count, depth == 0) {
            Some(state) => Ok((state, 0)),
            None => self.visit(place, goal, limits, &mut node, budget),
        };
        self.moves.truncate(node.moves);
        self.children.truncate(node.children);
        self.path.pop();
        let (state, best) = result?;
        let state = match state {
            State::LostHere(pin) => self.lift(pin, depth),
            other => other,
        };
        let entry = Entry {
            state,
            best,
            reach: node.reach.min(usize::from(u8::MAX)) as u8,
            settled: node.settled,
            longest: node.longest,
        };
        let effort = budget.spent() - spent;
        self.store(place.key, place.position.halfmoves(), goal, entry, effort);
        Ok(state)
    }

    /// Lists the moves of a position, and what is known of those that were looked at
    /// in earlier visits.
    fn open(&mut self, place: &Place, goal: Goal) -> Node {
        let clock = place.position.halfmoves();
        let mut node = Node {
            moves: self.moves.len(),
            children: self.children.len(),
            count: 0,
            checking: 0,
            reach: 0,
            settled: 0,
            longest: 0,
        };
        if goal.attacking {
            node.checking = order::attacking(&place.position, &mut self.moves);
        } else {
            order::defending(&place.position, &mut self.moves);
        }
        node.count = self.moves.len() - node.moves;
        let Some(entry) = self.tree.get(goal.tree_key(place.key, clock)) else {
            return node;
        };
        node.reach = usize::from(entry.reach).min(node.count);
        node.settled = entry.settled;
        node.longest = entry.longest;
        let next = goal.next();
        let mut keys = std::mem::take(&mut self.keys);
        keys.clear();
        let mut touched = 0;
        for index in 0..node.reach {
            if index < 64 && node.settled >> index & 1 == 1 {
                continue;
            }
            if let Some(&m) = self.moves.get(node.moves + index) {
                let key = key_after(&place.position, place.key, m);
                touched ^= self.tree.touch(next.tree_key(key, clock_after(clock, m)));
                keys.push((index, key));
            }
        }
        std::hint::black_box(touched);
        for &(index, key) in &keys {
            let clock = self
                .moves
                .get(node.moves + index)
                .map_or(clock, |&m| clock_after(clock, m));
            // What the table has lost is taken for a leaf.
            let state = self.known(key, clock, next).unwrap_or(State::Open(1, 1));
            self.note(&mut node, goal, index, state);
        }
        self.keys = keys;
        node
    }

    /// Notes what is known of a move.
    fn note(&mut self, node: &mut Node, goal: Goal, index: usize, state: State) {
        let settled = match state {
            State::Lost => goal.attacking,
            State::Won(_) => !goal.attacking,
            _ => false,
        };
        if settled {
            if let State::Won(length) = state {
                node.longest = node.longest.max(length);
            }
            if index < 64 {
                node.settled |= 1 << index;
            }
        } else {
            self.children.push(Child { index, state });
        }
    }

    fn visit(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        node: &mut Node,
        budget: &mut Budget<'_>,
    ) -> Result<(State, Packed), OutOfBudget> {
        let clock = place.position.halfmoves();
        let next = goal.next();
        // The position after the move that was looked at last, if it was played.
        let mut fresh: Option<(usize, Place)> = None;
        loop {
            let Numbers {
                state,
                chosen,
                second,
            } = self.numbers(node, goal);
            let child = chosen.and_then(|chosen| self.children.get(chosen)).copied();
            let State::Open(pn, dn) = state else {
                let best = child
                    .and_then(|child| self.moves.get(node.moves + child.index))
                    .map_or(0, |&m| pack(m));
                return Ok((state, best));
            };
            if pn >= limits.pn || dn >= limits.dn {
                return Ok((state, 0));
            }
            let (Some(chosen), Some(child)) = (chosen, child) else {
                let index = node.reach;
                let Some(&m) = self.moves.get(node.moves + index) else {
                    return Ok((state, 0));
                };
                let key = key_after(&place.position, place.key, m);
                let clock = clock_after(clock, m);
                let state = match self.known(key, clock, next) {
                    Some(state) => state,
                    None => {
                        if !budget.spend() {
                            return Err(OutOfBudget);
                        }
                        let after = place.after(m);
                        let (state, best) = self.evaluate(&after, next, false, budget)?;
                        self.store(key, clock, next, Entry::leaf(state, best), 0);
                        fresh = Some((index, after));
                        state
                    }
                };
                node.reach += 1;
                self.note(node, goal, index, state);
                continue;
            };
            let after = match fresh.take() {
                Some((index, after)) if index == child.index => after,
                _ => {
                    let Some(&m) = self.moves.get(node.moves + child.index) else {
                        return Ok((state, 0));
                    };
                    if !budget.spend() {
                        return Err(OutOfBudget);
                    }
                    place.after(m)
                }
            };
            // The child may grow until another is better, or this position's own
            // limit is reached.
            let (child_pn, child_dn) = numbers_of(child.state);
            let limits = if goal.attacking {
                Limits {
                    pn: limits.pn.min(widen(second)),
                    dn: limits.dn.saturating_sub(dn.saturating_sub(child_dn)),
                }
            } else {
                Limits {
                    pn: limits.pn.saturating_sub(pn.saturating_sub(child_pn)),
                    dn: limits.dn.min(widen(second)),
                }
            };
            let state = self.search(&after, next, limits, budget)?;
            self.children.swap_remove(chosen);
            self.note(node, goal, child.index, state);
        }
    }

    /// A disproof that rests on the position at `deep` on the path.
    fn pinned_at(&self, deep: usize) -> State {
        State::LostHere(Pin {
            visit: self.path.get(deep).map_or(0, |step| step.visit),
            deep: deep as u16,
            shallow: deep as u16,
        })
    }

    /// What a disproof found at `depth` rests on above that depth.
    fn lift(&self, pin: Pin, depth: usize) -> State {
        if usize::from(pin.shallow) >= depth || depth == 0 {
            return State::Lost;
        }
        // When the deepest ancestor is this position itself, the next one is not
        // known; the parent is a safe choice, since it goes when any of them goes.
        let deep = usize::from(pin.deep).min(depth - 1);
        State::LostHere(Pin {
            visit: self.path.get(deep).map_or(0, |step| step.visit),
            deep: deep as u16,
            shallow: pin.shallow,
        })
    }

    /// What the path or the tables say of a position whose clock stands at `clock`.
    fn known(&self, key: Key, clock: u32, goal: Goal) -> Option<State> {
        if goal.is_bounded() {
            if let Some(entry) = self.tree.get(goal.tree_key(key, clock)) {
                return Some(entry.state);
            }
            let fact = self.facts.get(goal.fact_key(key, clock));
            if fact.proves(goal.measure()) {
                let length = fact.length().saturating_sub(u32::from(!goal.attacking));
                return Some(State::Won(length as u16));
            }
            return fact.refutes(goal.measure()).then_some(State::Lost);
        }
        // A position recurs after an even number of moves without capture or pawn
        // move, four at least.
        let depth = self.path.len();
        let back = depth.min(clock as usize);
        for distance in (4..=back).step_by(2) {
            let at = depth - distance;
            if self.path.get(at).is_some_and(|step| step.key == key) {
                return Some(self.pinned_at(at));
            }
        }
        let state = self.tree.get(key)?.state;
        if let State::LostHere(pin) = state
            && self
                .path
                .get(usize::from(pin.deep))
                .is_none_or(|step| step.visit != pin.visit)
        {
            return Some(State::Open(1, 1));
        }
        Some(state)
    }

    fn store(&mut self, key: Key, clock: u32, goal: Goal, entry: Entry, effort: u64) {
        if goal.is_bounded() {
            let fact_key = goal.fact_key(key, clock);
            match entry.state {
                State::Won(length) => {
                    let measure = u32::from(length) + u32::from(!goal.attacking);
                    self.facts.prove(fact_key, measure, entry.best);
                }
                State::Lost => self.facts.refute(fact_key, goal.measure()),
                _ => {}
            }
        }
        self.tree.put(goal.tree_key(key, clock), entry, effort);
    }

    /// Looks at a position for the first time; `root` as for [`terminal`].
    fn evaluate(
        &self,
        place: &Place,
        goal: Goal,
        root: bool,
        budget: &mut Budget<'_>,
    ) -> Result<(State, Packed), OutOfBudget> {
        let position = &place.position;
        if !goal.attacking {
            let replies = position.legal_moves().len();
            let state = terminal(place, goal, replies, root);
            return Ok((state.unwrap_or(State::Open(replies as u32, 1)), 0));
        }
        // An attacker without a move is noticed when he is to make one.
        if let Some(state) = terminal(place, goal, 1, root) {
            return Ok((state, 0));
        }
        if let Some(m) = mate_in_one(position, budget)? {
            return Ok((State::Won(1), pack(m)));
        }
        if goal.left == 1 {
            return Ok((State::Lost, 0));
        }
        Ok((ATTACK_SEEN, 0))
    }

    /// The numbers of a position from those of its moves: the side to move needs one
    /// move, the other side an answer to every one.
    fn numbers(&self, node: &Node, goal: Goal) -> Numbers {
        let children = self.children.get(node.children..).unwrap_or_default();
        let mut best = (INFINITE, INFINITE);
        let mut second = INFINITE;
        let mut chosen = None;
        // The other number: the attacker's disproof numbers count as their greatest
        // and one for each other move, since transpositions would make a sum absurd.
        let mut sum = 0_u32;
        let mut greatest = 0;
        let mut live = 0_u32;
        let mut pin: Option<Pin> = None;
        for (at, child) in (node.children..).zip(children) {
            let (pn, dn) = match child.state {
                State::Open(pn, dn) => (pn, dn),
                State::LostHere(other) if goal.attacking => {
                    pin = Some(merge(pin, other));
                    continue;
                }
                State::Won(length) => {
                    return Numbers {
                        state: State::Won(length.saturating_add(1)),
                        chosen: Some(at),
                        second: 0,
                    };
                }
                lost @ (State::Lost | State::LostHere(_)) => {
                    return Numbers {
                        state: lost,
                        chosen: Some(at),
                        second: 0,
                    };
                }
            };
            live += 1;
            let (own, other) = if goal.attacking { (pn, dn) } else { (dn, pn) };
            sum = sum.saturating_add(other);
            greatest = greatest.max(other);
            if (own, other) < best {
                second = best.0;
                best = (own, other);
                chosen = Some(at);
            } else {
                second = second.min(own);
            }
        }
        let rest = (node.count - node.reach) as u32;
        if rest > 0 {
            let (pn, dn) = if !goal.attacking {
                REPLY_UNSEEN
            } else if node.reach < node.checking {
                CHECK_UNSEEN
            } else {
                QUIET_UNSEEN
            };
            live += rest;
            let (own, other) = if goal.attacking { (pn, dn) } else { (dn, pn) };
            sum = sum.saturating_add(other.saturating_mul(rest));
            greatest = greatest.max(other);
            if own < best.0 {
                second = best.0;
                best = (own, other);
                chosen = None;
            } else {
                second = second.min(own);
            }
        }
        let most = INFINITE - 1;
        let state = if live == 0 && goal.attacking {
            pin.map_or(State::Lost, State::LostHere)
        } else if live == 0 {
            State::Won(node.longest)
        } else if goal.attacking {
            State::Open(
                best.0.min(most),
                greatest.saturating_add(live - 1).min(most),
            )
        } else {
            State::Open(sum.min(most), best.0.min(most))
        };
        Numbers {
            state,
            chosen,
            second,
        }
    }
}

/// What is settled without looking ahead, given the number of legal moves. `root`
/// says that the attacker is asked about this very position, where play goes on
/// whatever the clock says.
fn terminal(place: &Place, goal: Goal, moves: usize, root: bool) -> Option<State> {
    let position = &place.position;
    let drawn = goal.is_bounded() && place.is_clock_out();
    if goal.attacking {
        let hopeless = goal.left == 0
            || moves == 0
            || (drawn && !root)
            || position.has_insufficient_material(position.turn());
        return hopeless.then_some(State::Lost);
    }
    if moves == 0 {
        return Some(if position.is_check() {
            State::Won(0)
        } else {
            State::Lost
        });
    }
    (goal.left == 0 || drawn).then_some(State::Lost)
}

fn widen(second: u32) -> u32 {
    second
        .saturating_add(second / WIDEN)
        .saturating_add(1)
        .min(INFINITE)
}

const fn numbers_of(state: State) -> (u32, u32) {
    match state {
        State::Open(pn, dn) => (pn, dn),
        State::Won(_) => (0, INFINITE),
        State::Lost | State::LostHere(_) => (INFINITE, 0),
    }
}

/// What two disproofs rest on together.
fn merge(pin: Option<Pin>, other: Pin) -> Pin {
    let Some(pin) = pin else {
        return other;
    };
    let deeper = if pin.deep >= other.deep { pin } else { other };
    Pin {
        shallow: pin.shallow.min(other.shallow),
        ..deeper
    }
}
