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
//! have. A position's moves, with what is known of each, stay in its block, and only
//! positions whose moves were listed are in the table.
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
    checks::OutOfBudget,
    dag::clock_after,
    exact::KeyedPosition,
    forest::{At, Child, Forest, Head, INFINITE, NOWHERE},
    goal::Goal,
    key::{Key, key_after},
    leaf::{evaluate, terminal},
    numbers::{Limits, Sum, merge, numbers_of},
    order,
    path::Path,
    table::{FactTable, Packed, pack, rebuild},
    tree::{Entry, Pin, State, Tree, effort_of},
};
use crate::budget::Budget;

/// Half-moves that a path may have; what lies deeper counts as on the path.
const DEEPEST: usize = 300;

/// A position that was looked at and of which the table has lost what it was.
const FORGOTTEN: State = State::Open(1, 1);

/// The effort of a position that is being searched: its block is not to be dropped.
const SEARCHING: u8 = 64;

/// A position that is being searched.
struct Node {
    /// The key under which it is kept.
    key: Key,
    /// Its block.
    at: At,
    /// The head of its block, as the block has it.
    head: Head,
    /// What the moves that are disproved on this path rest on.
    pin: Option<Pin>,
}

/// A child that is being looked up.
#[derive(Clone, Copy)]
struct Seen {
    index: u8,
    child: Child,
    key: Key,
    clock: u32,
}

/// How a visit ends: what the position is, and the move that proves it.
type Ending = (State, Packed);

pub(crate) struct Prove<'t> {
    tree: &'t mut Tree,
    forest: &'t mut Forest,
    facts: &'t mut FactTable,
    path: Path,
    /// The moves that are being listed.
    moves: Vec<Move>,
    /// The children that are being looked up.
    seen: Vec<Seen>,
}

impl<'t> Prove<'t> {
    pub(crate) const fn new(
        tree: &'t mut Tree,
        forest: &'t mut Forest,
        facts: &'t mut FactTable,
    ) -> Self {
        Self {
            tree,
            forest,
            facts,
            path: Path::new(),
            moves: Vec::new(),
            seen: Vec::new(),
        }
    }

    /// Searches until the question is settled: the answer is never open.
    pub(crate) fn run(
        &mut self,
        place: &KeyedPosition,
        goal: Goal,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        let clock = place.position.halfmoves();
        if let Some(state @ (State::Won(_) | State::Lost)) = self.known(place.key, clock, goal) {
            return Ok(state);
        }
        let (state, best) = evaluate(place, goal, true, budget)?;
        if !matches!(state, State::Open(..)) {
            self.note(place.key, clock, goal, state, best);
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
    /// The recursion ends at [`DEEPEST`].
    fn search(
        &mut self,
        place: &KeyedPosition,
        goal: Goal,
        limits: Limits,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        if self.path.depth() >= DEEPEST {
            return Ok(self.path.pinned());
        }
        let spent = budget.spent();
        self.path.push(place.key);
        let mut node = self.open(place, goal);
        let effort = node.head.effort;
        self.set_effort(&mut node, SEARCHING);
        let result = self.visit(place, goal, limits, &mut node, budget);
        self.path.pop();
        let effort = effort.max(effort_of(budget.spent() - spent));
        self.set_effort(&mut node, effort);
        let (mut state, best) = result?;
        if let State::LostHere(pin) = state {
            state = self.path.lift(pin);
        }
        self.note(place.key, place.position.halfmoves(), goal, state, best);
        let block = node.at;
        self.tree
            .put(node.key, Entry { state, best, block }, effort);
        Ok(state)
    }

    /// The block of a position, a new one if there is none.
    fn open(&mut self, place: &KeyedPosition, goal: Goal) -> Node {
        let key = goal.key(place);
        let known = self.tree.get(key);
        if let Some(Entry { block: at, .. }) = known
            && let Some(head) = self.forest.head(at, key)
        {
            return Node {
                key,
                at,
                head,
                pin: None,
            };
        }
        let position = &place.position;
        self.moves.clear();
        let mut head = Head::default();
        if goal.attacking {
            order::checks(position, &mut self.moves);
            head.checking = small(self.moves.len());
            head.unlisted = small(order::guess(position));
        } else {
            order::defending(position, &mut self.moves);
        }
        let mut node = Node {
            key,
            at: NOWHERE,
            head,
            pin: None,
        };
        self.plant(&mut node);
        // A block that is moved is found again through the table.
        let entry = Entry {
            state: known.map_or(FORGOTTEN, |known| known.state),
            best: 0,
            block: node.at,
        };
        self.tree.put(key, entry, 0);
        node
    }

    /// Gives a position a new block, in which the moves that are being listed follow
    /// those that are listed already.
    fn plant(&mut self, node: &mut Node) {
        let (old, listed) = (node.at, node.head.count);
        let count = usize::from(listed) + self.moves.len();
        node.head.count = small(count);
        let tree = &mut *self.tree;
        node.at = self
            .forest
            .add(node.key, node.head, |key, at| tree.moved(key, at));
        for index in 0..listed {
            let child = self.forest.child(old, index);
            self.forest.set_child(node.at, index, child);
        }
        for (index, &m) in (listed..).zip(&self.moves) {
            self.forest
                .set_child(node.at, index, Child::new(pack(m), (0, 0)));
        }
    }

    /// Lists the attacker's quiet moves too.
    fn list_quiet(&mut self, place: &KeyedPosition, node: &mut Node) {
        self.moves.clear();
        order::quiet(&place.position, &mut self.moves);
        node.head.unlisted = 0;
        self.plant(node);
        self.tree.moved(node.key, node.at);
    }

    /// Finds the block of a position again after others were searched; whether it is
    /// still the same.
    fn find(&mut self, place: &KeyedPosition, goal: Goal, node: &mut Node) -> bool {
        if self.forest.head(node.at, node.key).is_some() {
            return true;
        }
        let (pin, reach) = (node.pin, node.head.reach);
        *node = self.open(place, goal);
        node.pin = pin;
        self.set_effort(node, SEARCHING);
        node.head.reach == reach
    }

    fn set_effort(&mut self, node: &mut Node, effort: u8) {
        node.head.effort = effort;
        if self.forest.head(node.at, node.key).is_some() {
            self.forest.set_head(node.at, node.head);
        }
    }

    /// What the children of a position say of it.
    fn sum(&self, node: &Node, goal: Goal) -> Sum {
        let mut sum = Sum::new(goal);
        let children = self.forest.children(node.at, node.head.live);
        for (index, child) in (0..).zip(children) {
            sum.see((child.pn(), child.dn()), index);
        }
        sum
    }

    /// Notes what is known of a child; how the visit ends if that decides it.
    fn learn(&mut self, node: &mut Node, goal: Goal, index: u8, state: State) -> Option<Ending> {
        let m = self.forest.child(node.at, index).m();
        let settled = match state {
            State::Won(length) if goal.attacking => {
                return Some((State::Won(length.saturating_add(1)), m));
            }
            State::Lost | State::LostHere(_) if !goal.attacking => return Some((state, 0)),
            State::Won(length) => {
                let length = u8::try_from(length).unwrap_or(u8::MAX);
                node.head.longest = node.head.longest.max(length);
                true
            }
            State::Lost => true,
            State::LostHere(pin) => {
                node.pin = Some(merge(node.pin, pin));
                false
            }
            State::Open(..) => false,
        };
        if settled {
            node.head.live -= 1;
            let last = self.forest.child(node.at, node.head.live);
            self.forest.set_child(node.at, index, last);
            self.forest.set_head(node.at, node.head);
        } else {
            let child = Child::new(m, numbers_of(state));
            self.forest.set_child(node.at, index, child);
        }
        None
    }

    /// Looks up what other paths have found of the children meanwhile: of the
    /// defender's all, since each counts, and of the attacker's those that were
    /// disproved on a path.
    fn look_again(&mut self, place: &KeyedPosition, goal: Goal, node: &mut Node) -> Option<Ending> {
        let next = goal.next();
        let clock = place.position.halfmoves();
        let mut seen = std::mem::take(&mut self.seen);
        seen.clear();
        let children = self.forest.children(node.at, node.head.live);
        for (index, child) in (0..).zip(children) {
            if goal.attacking && child.dn() != 0 {
                continue;
            }
            let Some(m) = rebuild(child.m(), &place.position) else {
                continue;
            };
            let key = key_after(&place.position, place.key, m);
            let clock = clock_after(clock, m);
            self.prefetch(key, clock, next);
            seen.push(Seen {
                index,
                child,
                key,
                clock,
            });
        }
        // From the last to the first, since a child that is settled gives its place to
        // the last one.
        let mut ending = None;
        for &Seen {
            index,
            child,
            key,
            clock,
        } in seen.iter().rev()
        {
            let state = match self.known(key, clock, next) {
                Some(State::Open(pn, dn)) if (pn, dn) == (child.pn(), child.dn()) => continue,
                Some(state) => state,
                None if child.dn() == 0 => FORGOTTEN,
                None => continue,
            };
            ending = self.learn(node, goal, index, state);
            if ending.is_some() {
                break;
            }
        }
        self.seen = seen;
        ending
    }

    fn visit(
        &mut self,
        place: &KeyedPosition,
        goal: Goal,
        limits: Limits,
        node: &mut Node,
        budget: &mut Budget<'_>,
    ) -> Result<Ending, OutOfBudget> {
        let position = &place.position;
        let clock = position.halfmoves();
        let next = goal.next();
        let moves = usize::from(node.head.count) + usize::from(node.head.unlisted);
        if let Some(state) = terminal(place, goal, moves, self.path.depth() == 1) {
            return Ok((state, 0));
        }
        if let Some(ending) = self.look_again(place, goal, node) {
            return Ok(ending);
        }
        // The next move that was not looked at, when it is known already, and the key
        // after it.
        let mut ahead: Option<(Move, Key)> = None;
        let mut sum = self.sum(node, goal);
        loop {
            let mut total = sum;
            let state = total.conclude(&node.head, node.pin, goal);
            let State::Open(pn, dn) = state else {
                return Ok((state, 0));
            };
            if pn >= limits.pn || dn >= limits.dn {
                return Ok((state, 0));
            }
            let Some(index) = total.chosen else {
                let index = node.head.reach;
                if index == node.head.count && node.head.unlisted > 0 {
                    self.list_quiet(place, node);
                    continue;
                }
                let Some((m, key)) = ahead.or_else(|| self.look_ahead(place, goal, node, index))
                else {
                    return Ok((state, 0));
                };
                let clock = clock_after(clock, m);
                ahead = self.look_ahead(place, goal, node, index + 1);
                let state = match self.known(key, clock, next) {
                    Some(state) => state,
                    None => {
                        if !budget.spend() {
                            return Err(OutOfBudget);
                        }
                        let mut after = place.clone();
                        after.play(m, key);
                        let (state, best) = evaluate(&after, next, false, budget)?;
                        self.note(key, clock, next, state, best);
                        state
                    }
                };
                let index = node.head.live;
                let child = Child::new(pack(m), (0, 0));
                self.forest.set_child(node.at, index, child);
                node.head.reach += 1;
                node.head.live += 1;
                self.forest.set_head(node.at, node.head);
                if let Some(ending) = self.learn(node, goal, index, state) {
                    return Ok(ending);
                }
                if node.head.live > index {
                    sum.see(numbers_of(state), index);
                }
                continue;
            };
            let child = self.forest.child(node.at, index);
            let Some(m) = self.m(place, node, index) else {
                return Ok((state, 0));
            };
            let key = key_after(position, place.key, m);
            let numbers = (child.pn(), child.dn());
            let state = match self.known(key, clock_after(clock, m), next) {
                // It was searched from elsewhere meanwhile.
                Some(state) if numbers_of(state) != numbers => state,
                _ => {
                    if !budget.spend() {
                        return Err(OutOfBudget);
                    }
                    let limits = limits.of_child(goal, (pn, dn), numbers, total.second);
                    let mut after = place.clone();
                    after.play(m, key);
                    let state = self.search(&after, next, limits, budget)?;
                    if !self.find(place, goal, node) {
                        // What was found is in the table.
                        sum = self.sum(node, goal);
                        ahead = None;
                        continue;
                    }
                    state
                }
            };
            if let Some(ending) = self.learn(node, goal, index, state) {
                return Ok(ending);
            }
            sum = self.sum(node, goal);
        }
    }

    /// A move of a block.
    fn m(&self, place: &KeyedPosition, node: &Node, index: u8) -> Option<Move> {
        rebuild(self.forest.child(node.at, index).m(), &place.position)
    }

    /// Begins to bring what the tables say of a position into the processor's cache.
    #[inline]
    fn prefetch(&self, key: Key, clock: u32, goal: Goal) {
        self.tree.prefetch(goal.tree_key(key, clock));
        if goal.is_bounded() {
            self.facts.prefetch(goal.fact_key(key, clock));
        }
    }

    /// The same for the position after a move of a block, if there is such a move; the
    /// move and the key.
    #[inline]
    fn look_ahead(
        &self,
        place: &KeyedPosition,
        goal: Goal,
        node: &Node,
        index: u8,
    ) -> Option<(Move, Key)> {
        if index >= node.head.count {
            return None;
        }
        let m = self.m(place, node, index)?;
        let key = key_after(&place.position, place.key, m);
        let clock = clock_after(place.position.halfmoves(), m);
        self.prefetch(key, clock, goal.next());
        Some((m, key))
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
        if let Some(pin) = self.path.repetition(key, clock) {
            return Some(State::LostHere(pin));
        }
        match self.tree.state(key)? {
            State::LostHere(pin) if !self.path.holds(pin) => Some(FORGOTTEN),
            state => Some(state),
        }
    }

    /// Notes what is settled about mates within so many moves.
    fn note(&mut self, key: Key, clock: u32, goal: Goal, state: State, best: Packed) {
        if !goal.is_bounded() {
            return;
        }
        let fact_key = goal.fact_key(key, clock);
        match state {
            State::Won(length) => {
                let measure = u32::from(length) + u32::from(!goal.attacking);
                self.facts.prove(fact_key, measure, best);
            }
            State::Lost => self.facts.refute(fact_key, goal.measure()),
            _ => {}
        }
    }
}

/// A number of moves in a byte. No position has more than 218.
fn small(number: usize) -> u8 {
    u8::try_from(number).unwrap_or(u8::MAX)
}
