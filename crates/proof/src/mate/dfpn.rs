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
    exact::Place,
    goal::Goal,
    key::{Key, key_after},
    numbers::{Limits, merge, numbers_of},
    order,
    table::{FactTable, Packed, pack, rebuild},
    tree::{Entry, INFINITE, Others, Pin, State, Tree},
};
use crate::Budget;

/// Half-moves that a path may have; what lies deeper counts as on the path.
const DEEPEST: usize = 300;

// Proof and disproof numbers of moves that have not been looked at, by experiment.
const CHECK_UNSEEN: (u32, u32) = (4, 1);
const QUIET_UNSEEN: (u32, u32) = (8, 1);
const REPLY_UNSEEN: (u32, u32) = (1, 1);
/// A position that was looked at and of which the table has lost what it was.
const FORGOTTEN: State = State::Open(1, 1);

/// Positions of the path are told apart at first glance by so many endings of keys.
const ENDINGS: usize = 1024;

const fn ending(key: Key) -> usize {
    key as usize % ENDINGS
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
    /// How many moves are listed.
    count: usize,
    /// How many of these are checks, when the attacker is to move.
    checking: usize,
    /// About how many moves are not listed yet: the attacker's quiet moves, until they
    /// are needed.
    unlisted: usize,
    /// How many have been looked at.
    reach: usize,
    /// Which of the first 64 are settled for good.
    settled: u64,
    /// The longest mate after a settled move.
    longest: u8,
}

/// What the children of a position say of it: the side to move needs one move, the
/// other side an answer to every one.
#[derive(Clone, Copy)]
struct Sum {
    attacking: bool,
    /// The numbers of the best child: first the one that the side to move makes small.
    best: (u32, u32),
    /// The best child, by its place in the list of all children; none for an unseen
    /// move.
    chosen: Option<usize>,
    /// What the moves say without the best one.
    others: Others,
    /// Moves that are neither settled nor rest on the path.
    live: usize,
    /// What the disproofs rest on that rest on the path.
    pin: Option<Pin>,
    /// What a single child has decided.
    decided: Option<State>,
}

impl Sum {
    const fn new(goal: Goal) -> Self {
        Self {
            attacking: goal.attacking,
            best: (INFINITE, INFINITE),
            chosen: None,
            others: Others {
                second: INFINITE,
                rest: 0,
                count: 0,
            },
            live: 0,
            pin: None,
            decided: None,
        }
    }

    /// Adds the child at a place in the list of all children.
    fn see(&mut self, state: State, at: usize) {
        match state {
            State::Open(pn, dn) => self.add((pn, dn), 1, Some(at)),
            State::LostHere(pin) if self.attacking => self.pin = Some(merge(self.pin, pin)),
            State::Won(length) => {
                self.decided = Some(State::Won(length.saturating_add(1)));
                self.chosen = Some(at);
            }
            lost @ (State::Lost | State::LostHere(_)) => {
                self.decided = Some(lost);
                self.chosen = Some(at);
            }
        }
    }

    /// Adds so many moves with the same numbers.
    fn add(&mut self, (pn, dn): (u32, u32), times: u32, at: Option<usize>) {
        let numbers = if self.attacking { (pn, dn) } else { (dn, pn) };
        // What is not the best goes to the others.
        let (less, less_times) = if numbers < self.best {
            let less = std::mem::replace(&mut self.best, numbers);
            self.chosen = at;
            self.others.second = less.0;
            if !self.attacking {
                let equal = numbers.1.saturating_mul(times - 1);
                self.others.rest = self.others.rest.saturating_add(equal);
            }
            (less, u32::from(self.live > 0))
        } else {
            self.others.second = self.others.second.min(numbers.0);
            (numbers, times)
        };
        if less_times > 0 {
            self.others.rest = if self.attacking {
                self.others.rest.max(less.1)
            } else {
                let sum = less.1.saturating_mul(less_times);
                self.others.rest.saturating_add(sum)
            };
        }
        self.live += times as usize;
    }

    /// The position's state when the moves that have not been looked at are added,
    /// which leaves this as it is of a position that is settled.
    fn conclude(&mut self, node: &Node, goal: Goal) -> State {
        if let Some(state) = self.decided {
            return state;
        }
        let rest = node.count + node.unlisted - node.reach;
        if rest > 0 {
            let unseen = if !goal.attacking {
                REPLY_UNSEEN
            } else if node.reach < node.checking {
                CHECK_UNSEEN
            } else {
                QUIET_UNSEEN
            };
            self.add(unseen, rest as u32, None);
        }
        if self.live == 0 {
            return match self.pin {
                _ if !goal.attacking => State::Won(u16::from(node.longest)),
                Some(pin) => State::LostHere(pin),
                None => State::Lost,
            };
        }
        let (own, other) = self.best;
        let (pn, dn) = if goal.attacking {
            self.others.count = u8::try_from(self.live - 1).unwrap_or(u8::MAX);
            (own, other)
        } else {
            (other, own)
        };
        let (pn, dn) = self.others.with(goal, pn, dn);
        State::Open(pn, dn)
    }
}

pub(crate) struct Prove<'t> {
    tree: &'t mut Tree,
    facts: &'t mut FactTable,
    path: Vec<Step>,
    moves: Vec<Move>,
    children: Vec<Child>,
    keys: Vec<(usize, Key)>,
    visits: u32,
    /// How many positions of the path have a key that ends in these bits.
    endings: [u16; ENDINGS],
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
            endings: [0; ENDINGS],
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
        self.moves.clear();
        if !matches!(state, State::Open(..)) {
            self.store(place.key, clock, goal, Entry::leaf(state, best), 0);
            return Ok(state);
        }
        let limits = Limits {
            pn: INFINITE,
            dn: INFINITE,
        };
        self.search(place, goal, limits, None, budget)
    }

    /// Visits a position until one of its numbers reaches its limit. The first of its
    /// moves in the list of all moves is `listed` if they were listed already; the
    /// caller must drop them.
    ///
    /// The recursion ends at [`DEEPEST`]; what a visit needs room for lies in the
    /// lists that all visits share.
    fn search(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        listed: Option<usize>,
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
        self.endings[ending(place.key)] += 1;
        let clock = place.position.halfmoves();
        let known = self.tree.get(goal.tree_key(place.key, clock));
        let result = match self.resume(place, goal, limits, known, budget) {
            Ok(None) => self.settle(place, goal, limits, known, listed, budget),
            Ok(Some(entry)) => Ok(entry),
            Err(error) => Err(error),
        };
        self.path.pop();
        self.endings[ending(place.key)] -= 1;
        let mut entry = result?;
        if let State::LostHere(pin) = entry.state {
            entry.state = self.lift(pin, depth);
        }
        self.store(place.key, clock, goal, entry, budget.spent() - spent);
        Ok(entry.state)
    }

    /// Goes on with the move that was best at the end of the last visit, as long as
    /// that is all there is to do; `None` when the other moves must be looked at.
    fn resume(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        known: Option<Entry>,
        budget: &mut Budget<'_>,
    ) -> Result<Option<Entry>, OutOfBudget> {
        let Some(mut entry) = known else {
            return Ok(None);
        };
        if !matches!(entry.state, State::Open(..)) {
            return Ok(None);
        }
        let Some(m) = rebuild(entry.best, &place.position) else {
            return Ok(None);
        };
        let next = goal.next();
        let clock = clock_after(place.position.halfmoves(), m);
        let key = key_after(&place.position, place.key, m);
        let Some(State::Open(child_pn, child_dn)) = self.known(key, clock, next) else {
            return Ok(None);
        };
        let (pn, dn) = entry.others.with(goal, child_pn, child_dn);
        if pn < limits.pn && dn < limits.dn {
            if !budget.spend() {
                return Err(OutOfBudget);
            }
            let limits = limits.of_child(goal, (pn, dn), (child_pn, child_dn), entry.others.second);
            match self.search(&place.after(m), next, limits, None, budget)? {
                State::Open(child_pn, child_dn) => {
                    let (pn, dn) = entry.others.with(goal, child_pn, child_dn);
                    entry.state = State::Open(pn, dn);
                }
                State::Won(length) if goal.attacking => {
                    entry.state = State::Won(length.saturating_add(1));
                    return Ok(Some(entry));
                }
                lost @ (State::Lost | State::LostHere(_)) if !goal.attacking => {
                    entry.state = lost;
                    return Ok(Some(entry));
                }
                _ => return Ok(None),
            }
        } else {
            entry.state = State::Open(pn, dn);
        }
        let State::Open(pn, dn) = entry.state else {
            return Ok(None);
        };
        Ok((pn >= limits.pn || dn >= limits.dn).then_some(entry))
    }

    /// A visit that looks at all moves of the position.
    fn settle(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        known: Option<Entry>,
        listed: Option<usize>,
        budget: &mut Budget<'_>,
    ) -> Result<Entry, OutOfBudget> {
        let mut node = self.open(place, goal, known, listed);
        let moves = node.count + node.unlisted;
        let result = match terminal(place, goal, moves, self.path.len() == 1) {
            Some(state) => Ok((state, 0, Others::default())),
            None => self.visit(place, goal, limits, &mut node, budget),
        };
        self.moves.truncate(node.moves);
        self.children.truncate(node.children);
        let (state, best, others) = result?;
        Ok(Entry {
            state,
            best,
            reach: node.reach.min(usize::from(u8::MAX)) as u8,
            settled: node.settled,
            longest: node.longest,
            others,
        })
    }

    /// Lists the moves of a position, and what is known of those that were looked at
    /// in earlier visits.
    fn open(
        &mut self,
        place: &Place,
        goal: Goal,
        known: Option<Entry>,
        listed: Option<usize>,
    ) -> Node {
        let clock = place.position.halfmoves();
        let mut node = Node {
            moves: listed.unwrap_or(self.moves.len()),
            children: self.children.len(),
            count: 0,
            checking: 0,
            unlisted: 0,
            reach: 0,
            settled: 0,
            longest: 0,
        };
        if listed.is_none() {
            self.list(place, goal);
        }
        node.count = self.moves.len() - node.moves;
        if goal.attacking {
            node.checking = node.count;
            node.unlisted = order::guess(&place.position);
        }
        let Some(entry) = known else {
            return node;
        };
        if usize::from(entry.reach) > node.count {
            self.list_quiet(place, &mut node);
        }
        node.reach = usize::from(entry.reach).min(node.count);
        node.settled = entry.settled;
        if !goal.attacking {
            node.longest = entry.longest;
        }
        let next = goal.next();
        let mut keys = std::mem::take(&mut self.keys);
        keys.clear();
        for index in 0..node.reach {
            if index < 64 && node.settled >> index & 1 == 1 {
                continue;
            }
            if let Some(&m) = self.moves.get(node.moves + index) {
                let key = key_after(&place.position, place.key, m);
                self.prefetch(key, clock_after(clock, m), next);
                keys.push((index, key));
            }
        }
        for &(index, key) in &keys {
            let clock = self
                .moves
                .get(node.moves + index)
                .map_or(clock, |&m| clock_after(clock, m));
            let state = self.known(key, clock, next).unwrap_or(FORGOTTEN);
            self.note(&mut node, goal, index, state);
        }
        self.keys = keys;
        node
    }

    /// Appends the position's moves to the list of all moves: the defender's, or the
    /// attacker's checks.
    fn list(&mut self, place: &Place, goal: Goal) {
        if goal.attacking {
            order::checks(&place.position, &mut self.moves);
        } else {
            order::defending(&place.position, &mut self.moves);
        }
    }

    /// Appends the attacker's quiet moves too.
    fn list_quiet(&mut self, place: &Place, node: &mut Node) {
        self.moves.truncate(node.moves + node.count);
        order::quiet(&place.position, &mut self.moves);
        node.count = self.moves.len() - node.moves;
        node.unlisted = 0;
    }

    /// What the children of a position say of it.
    fn sum(&self, node: &Node, goal: Goal) -> Sum {
        let mut sum = Sum::new(goal);
        let children = self.children.get(node.children..).unwrap_or_default();
        for (at, child) in (node.children..).zip(children) {
            sum.see(child.state, at);
            if sum.decided.is_some() {
                break;
            }
        }
        sum
    }

    /// Notes what is known of a move; whether it joins the children.
    fn note(&mut self, node: &mut Node, goal: Goal, index: usize, state: State) -> bool {
        let settled = match state {
            State::Lost => goal.attacking,
            State::Won(_) => !goal.attacking,
            _ => false,
        };
        if settled {
            if let State::Won(length) = state {
                node.longest = node.longest.max(u8::try_from(length).unwrap_or(u8::MAX));
            }
            if index < 64 {
                node.settled |= 1 << index;
            }
        } else {
            self.children.push(Child { index, state });
        }
        !settled
    }

    fn visit(
        &mut self,
        place: &Place,
        goal: Goal,
        limits: Limits,
        node: &mut Node,
        budget: &mut Budget<'_>,
    ) -> Result<(State, Packed, Others), OutOfBudget> {
        let clock = place.position.halfmoves();
        let next = goal.next();
        // The position after the move that was looked at last, if it was played. Its
        // replies stand at the end of the list of all moves.
        let mut fresh: Option<(usize, Place)> = None;
        // The key after the next move that was not looked at, when it is known already.
        let mut ahead: Option<Key> = None;
        let mut sum = self.sum(node, goal);
        loop {
            let end = node.moves + node.count;
            let mut total = sum;
            let state = total.conclude(node, goal);
            let Sum { chosen, others, .. } = total;
            let child = chosen.and_then(|chosen| self.children.get(chosen)).copied();
            let best = child
                .and_then(|child| self.moves.get(node.moves + child.index))
                .map_or(0, |&m| pack(m));
            let State::Open(pn, dn) = state else {
                return Ok((state, best, others));
            };
            if pn >= limits.pn || dn >= limits.dn {
                return Ok((state, best, others));
            }
            let (Some(chosen), Some(child)) = (chosen, child) else {
                let index = node.reach;
                if index == node.count && node.unlisted > 0 {
                    fresh = None;
                    self.list_quiet(place, node);
                    continue;
                }
                let Some(&m) = self.moves.get(node.moves + index) else {
                    return Ok((state, 0, others));
                };
                let key = ahead.unwrap_or_else(|| key_after(&place.position, place.key, m));
                let clock = clock_after(clock, m);
                ahead = if index + 1 < node.count {
                    self.prefetch_after(place, goal, node.moves + index + 1)
                } else {
                    None
                };
                let state = match self.known(key, clock, next) {
                    Some(state) => state,
                    None => {
                        if !budget.spend() {
                            return Err(OutOfBudget);
                        }
                        let after = place.after(m);
                        self.moves.truncate(end);
                        let (state, best) = self.evaluate(&after, next, false, budget)?;
                        self.store(key, clock, next, Entry::leaf(state, best), 0);
                        if !next.attacking {
                            fresh = Some((index, after));
                        }
                        state
                    }
                };
                node.reach += 1;
                if self.note(node, goal, index, state) {
                    sum.see(state, self.children.len() - 1);
                }
                continue;
            };
            let mut listed = None;
            let after = match fresh.take() {
                Some((index, after)) if index == child.index => {
                    listed = Some(end);
                    after
                }
                _ => {
                    self.moves.truncate(end);
                    let Some(&m) = self.moves.get(node.moves + child.index) else {
                        return Ok((state, 0, others));
                    };
                    if !budget.spend() {
                        return Err(OutOfBudget);
                    }
                    place.after(m)
                }
            };
            let limits = limits.of_child(goal, (pn, dn), numbers_of(child.state), others.second);
            let state = self.search(&after, next, limits, listed, budget)?;
            // This visit is likely to end now.
            self.prefetch(place.key, clock, goal);
            self.moves.truncate(end);
            self.children.swap_remove(chosen);
            self.note(node, goal, child.index, state);
            sum = self.sum(node, goal);
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

    /// Begins to bring what the tables say of a position into the processor's cache.
    #[inline]
    fn prefetch(&self, key: Key, clock: u32, goal: Goal) {
        self.tree.prefetch(goal.tree_key(key, clock));
        if goal.is_bounded() {
            self.facts.prefetch(goal.fact_key(key, clock));
        }
    }

    /// The same for the position after a move in the list of all moves, if there is one;
    /// its key.
    #[inline]
    fn prefetch_after(&self, place: &Place, goal: Goal, at: usize) -> Option<Key> {
        let &m = self.moves.get(at)?;
        let key = key_after(&place.position, place.key, m);
        self.prefetch(key, clock_after(place.position.halfmoves(), m), goal.next());
        Some(key)
    }

    /// What the path or the tables say of a position whose clock stands at `clock`.
    fn known(&self, key: Key, clock: u32, goal: Goal) -> Option<State> {
        if goal.is_bounded() {
            if let Some(state) = self.tree.state(goal.tree_key(key, clock)) {
                return Some(state);
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
        let back = if self.endings[ending(key)] > 0 {
            depth.min(clock as usize)
        } else {
            0
        };
        for distance in (4..=back).step_by(2) {
            let at = depth - distance;
            if self.path.get(at).is_some_and(|step| step.key == key) {
                return Some(self.pinned_at(at));
            }
        }
        let state = self.tree.state(key)?;
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

    /// Looks at a position for the first time; `root` as for [`terminal`]. One with the
    /// defender to move leaves his moves at the end of the list of all moves.
    fn evaluate(
        &mut self,
        place: &Place,
        goal: Goal,
        root: bool,
        budget: &mut Budget<'_>,
    ) -> Result<(State, Packed), OutOfBudget> {
        let position = &place.position;
        if !goal.attacking {
            let first = self.moves.len();
            let replies = order::defending(position, &mut self.moves);
            self.prefetch_after(place, goal, first);
            let state = terminal(place, goal, replies, root);
            return Ok((state.unwrap_or(State::Open(replies as u32, 1)), 0));
        }
        // An attacker without a move is noticed when he is to make one.
        if let Some(state) = terminal(place, goal, 1, root) {
            return Ok((state, 0));
        }
        let mut checks = 0;
        if let Some(m) = mate_in_one(position, budget, |_| checks += 1)? {
            return Ok((State::Won(1), pack(m)));
        }
        if goal.left == 1 {
            return Ok((State::Lost, 0));
        }
        // What the numbers will be when its moves are listed.
        let (pn, dn) = if checks > 0 {
            CHECK_UNSEEN
        } else {
            QUIET_UNSEEN
        };
        let moves = checks + order::guess(position);
        Ok((State::Open(pn, dn.saturating_mul(moves as u32)), 0))
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
