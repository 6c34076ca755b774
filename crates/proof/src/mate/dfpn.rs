//! Depth-first proof-number search for mates of any length.
//!
//! Sources: Nagai, "Df-pn algorithm for searching AND/OR trees and its
//! applications" (2002); Kishimoto, Winands, Müller and Saito, "Game-tree search
//! using proof numbers: the first twenty years", ICGA Journal 35 (2012); Pawlewicz
//! and Lew, "Improving depth-first PN-search: 1+ε trick" (2006).

use shakmaty::{Chess, Move, MoveList, Position};

use super::{
    checks::{Checks, OutOfBudget, mate_in_one},
    exact::{FIFTY_MOVES, Place},
    key::{Key, key_after, with_number},
    table::{FactTable, Packed, pack},
    tree::{Entry, INFINITE, Pin, State, Tree},
};
use crate::Budget;

/// Half-moves that a path may have.
const DEEPEST: usize = 300;

/// A sibling is left only when the second best is better by one part in so many:
/// otherwise the search jumps between equals and spends its time coming back.
const WIDEN: u32 = 4;

// Proof and disproof numbers of moves that have not been played yet, by experiment.
const CHECK_UNSEEN: (u32, u32) = (4, 1);
const QUIET_UNSEEN: (u32, u32) = (8, 1);
const REPLY_UNSEEN: (u32, u32) = (1, 1);
/// A position with the attacker to move that has no mate in one.
const ATTACK_SEEN: State = State::Open(1, 1);

#[derive(Clone, Copy)]
struct Child {
    m: Move,
    state: State,
}

impl Child {
    const fn pn(&self) -> u32 {
        match self.state {
            State::Open(pn, _) => pn,
            State::Won(_) => 0,
            _ => INFINITE,
        }
    }
    const fn dn(&self) -> u32 {
        match self.state {
            State::Open(_, dn) => dn,
            State::Won(_) => INFINITE,
            _ => 0,
        }
    }
}

/// No bound on the number of moves.
pub(crate) const ANY: u32 = u32::MAX;

/// What is asked of a position: does the attacker, who is to move or not, mate
/// within `left` more moves of his own?
#[derive(Clone, Copy)]
pub(crate) struct Goal {
    pub(crate) attacking: bool,
    pub(crate) left: u32,
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

    /// The question after a move.
    const fn next(self) -> Self {
        Self {
            attacking: !self.attacking,
            left: if self.attacking && self.left != ANY {
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

    const fn fact_key(self, key: Key, clock: u32) -> Key {
        let plies = 2 * self.left + if self.attacking { 0 } else { 1 };
        if clock.saturating_add(plies) <= FIFTY_MOVES {
            key
        } else {
            with_number(key, clock)
        }
    }

    const fn tree_key(self, key: Key, clock: u32) -> Key {
        if self.left == ANY {
            key
        } else {
            with_number(self.fact_key(key, clock), self.left + 1000)
        }
    }
}

const fn clock_after(clock: u32, m: Move) -> u32 {
    if m.is_zeroing() {
        0
    } else {
        clock.saturating_add(1)
    }
}

/// A position on the path.
struct Step {
    key: Key,
    visit: u32,
}

pub(crate) struct Prove<'t> {
    tree: &'t mut Tree,
    facts: &'t mut FactTable,
    path: Vec<Step>,
    visits: u32,
}

impl<'t> Prove<'t> {
    pub(crate) fn new(tree: &'t mut Tree, facts: &'t mut FactTable) -> Self {
        Self {
            tree,
            facts,
            path: Vec::new(),
            visits: 0,
        }
    }

    /// Searches until the position is settled.
    pub(crate) fn run(
        &mut self,
        place: &Place,
        goal: Goal,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        self.path.clear();
        if let Some(state @ (State::Won(_) | State::Lost)) =
            self.known(place.key, place.position.halfmoves(), goal)
        {
            return Ok(state);
        }
        let (state, best) = self.evaluate(place, goal, budget)?;
        if !matches!(state, State::Open(..)) {
            self.store(
                place.key,
                place.position.halfmoves(),
                goal,
                state,
                best,
                0,
                0,
            );
            return Ok(state);
        }
        self.search(place, goal, INFINITE, INFINITE, budget)
    }

    fn search(
        &mut self,
        place: &Place,
        goal: Goal,
        pn_limit: u32,
        dn_limit: u32,
        budget: &mut Budget<'_>,
    ) -> Result<State, OutOfBudget> {
        let attacking = goal.attacking;
        let child_goal = goal.next();
        let depth = self.path.len();
        if depth >= DEEPEST {
            return Ok(State::LostHere(Pin {
                visit: self.path.last().map_or(0, |step| step.visit),
                deep: (depth - 1) as u16,
                shallow: (depth - 1) as u16,
            }));
        }
        let start = budget.spent();
        self.visits += 1;
        let visit = self.visits;
        self.path.push(Step {
            key: place.key,
            visit,
        });
        let moves = place.position.legal_moves();
        let (ordered, checking) = if attacking {
            order_attack(&place.position, &moves)
        } else {
            order_defence(&place.position, &moves)
        };
        let clock = place.position.halfmoves();
        let mut reach = self
            .tree
            .get(goal.tree_key(place.key, clock))
            .map_or(0, |entry| usize::from(entry.reach))
            .min(ordered.len());
        let mut children: Vec<Child> = Vec::with_capacity(reach + 8);
        for &m in ordered.iter().take(reach) {
            let key = key_after(&place.position, place.key, m);
            let state = self
                .known(key, clock_after(clock, m), child_goal)
                .unwrap_or(State::Open(1, 1));
            children.push(Child { m, state });
        }
        let mut fresh: Option<(usize, Place)> = None;
        let (state, best) = loop {
            let rest = ordered.len() - reach;
            let next = (rest > 0).then(|| self.unseen(attacking, reach < checking));
            let (state, chosen, second) = if attacking {
                self.attack_numbers(&children, rest, next)
            } else {
                self.defence_numbers(&children, rest, next)
            };
            let State::Open(pn, dn) = state else {
                break (state, children.get(chosen).map_or(0, |child| pack(child.m)));
            };
            if pn >= pn_limit || dn >= dn_limit {
                break (state, 0);
            }
            if chosen >= children.len() {
                let Some(&m) = ordered.get(reach) else {
                    break (state, 0);
                };
                let key = key_after(&place.position, place.key, m);
                let clock = clock_after(clock, m);
                let state = match self.known(key, clock, child_goal) {
                    Some(state) => state,
                    None => {
                        if !budget.spend() {
                            self.path.pop();
                            return Err(OutOfBudget);
                        }
                        let after = place.after(m);
                        let (state, best) = match self.evaluate(&after, child_goal, budget) {
                            Ok(found) => found,
                            Err(error) => {
                                self.path.pop();
                                return Err(error);
                            }
                        };
                        self.store(key, clock, child_goal, state, best, 0, 0);
                        fresh = Some((children.len(), after));
                        state
                    }
                };
                children.push(Child { m, state });
                reach += 1;
                continue;
            }
            let child = children[chosen];
            let after = match fresh.take() {
                Some((index, after)) if index == chosen => after,
                _ => {
                    if !budget.spend() {
                        self.path.pop();
                        return Err(OutOfBudget);
                    }
                    place.after(child.m)
                }
            };
            let (pn_child, dn_child) = if attacking {
                (
                    pn_limit.min(self.widen(second)),
                    dn_limit
                        .saturating_sub(dn.saturating_sub(child.dn()))
                        .min(INFINITE),
                )
            } else {
                (
                    pn_limit
                        .saturating_sub(pn.saturating_sub(child.pn()))
                        .min(INFINITE),
                    dn_limit.min(self.widen(second)),
                )
            };
            let result = self.search(&after, child_goal, pn_child, dn_child, budget);
            match result {
                Ok(state) => children[chosen].state = state,
                Err(error) => {
                    self.path.pop();
                    return Err(error);
                }
            }
        };
        self.path.pop();
        let state = match state {
            State::LostHere(pin) => self.lift(pin, depth as u16),
            other => other,
        };
        let effort = budget.spent() - start;
        self.store(place.key, clock, goal, state, best, reach, effort);
        Ok(state)
    }

    fn widen(&self, second: u32) -> u32 {
        second
            .saturating_add(second / WIDEN)
            .saturating_add(1)
            .min(INFINITE)
    }

    /// What a disproof found at `depth` rests on above that depth.
    fn lift(&self, pin: Pin, depth: u16) -> State {
        if pin.shallow >= depth || depth == 0 {
            return State::Lost;
        }
        let deep = pin.deep.min(depth - 1);
        State::LostHere(Pin {
            visit: self
                .path
                .get(usize::from(deep))
                .map_or(0, |step| step.visit),
            deep,
            shallow: pin.shallow,
        })
    }

    /// What the path or the tables say of a position.
    fn known(&self, key: Key, clock: u32, goal: Goal) -> Option<State> {
        if goal.left != ANY {
            let fact = self.facts.get(goal.fact_key(key, clock));
            if fact.proves(goal.measure()) {
                let length = fact.length().saturating_sub(u32::from(!goal.attacking));
                return Some(State::Won(length as u16));
            }
            if fact.refutes(goal.measure()) {
                return Some(State::Lost);
            }
            return Some(self.tree.get(goal.tree_key(key, clock))?.state);
        }
        if let Some(depth) = self.path.iter().rposition(|step| step.key == key) {
            return Some(State::LostHere(Pin {
                visit: self.path[depth].visit,
                deep: depth as u16,
                shallow: depth as u16,
            }));
        }
        let entry = self.tree.get(key)?;
        match entry.state {
            State::LostHere(pin)
                if self
                    .path
                    .get(usize::from(pin.deep))
                    .is_none_or(|step| step.visit != pin.visit) =>
            {
                Some(State::Open(1, 1))
            }
            state => Some(state),
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn store(
        &mut self,
        key: Key,
        clock: u32,
        goal: Goal,
        state: State,
        best: Packed,
        reach: usize,
        effort: u64,
    ) {
        if goal.left != ANY {
            match state {
                State::Won(length) => {
                    let measure = u32::from(length) + u32::from(!goal.attacking);
                    self.facts.prove(goal.fact_key(key, clock), measure, best);
                    return;
                }
                State::Lost => {
                    self.facts.refute(goal.fact_key(key, clock), goal.measure());
                    return;
                }
                _ => {}
            }
        }
        self.tree.put(
            goal.tree_key(key, clock),
            Entry {
                state,
                best,
                reach: reach.min(255) as u8,
            },
            effort,
        );
    }

    /// Proof and disproof number of a move that has not been looked at.
    fn unseen(&self, attacking: bool, checking: bool) -> (u32, u32) {
        if attacking {
            if checking { CHECK_UNSEEN } else { QUIET_UNSEEN }
        } else {
            REPLY_UNSEEN
        }
    }

    fn evaluate(
        &self,
        place: &Place,
        goal: Goal,
        budget: &mut Budget<'_>,
    ) -> Result<(State, Packed), OutOfBudget> {
        let position = &place.position;
        let bounded = goal.left != ANY;
        if goal.attacking {
            if position.has_insufficient_material(position.turn())
                || (bounded && (goal.left == 0 || (place.is_clock_out() && !self.path.is_empty())))
            {
                return Ok((State::Lost, 0));
            }
            if let Some(m) = mate_in_one(position, budget)? {
                return Ok((State::Won(1), pack(m)));
            }
            if goal.left == 1 || position.legal_moves().is_empty() {
                return Ok((State::Lost, 0));
            }
            return Ok((ATTACK_SEEN, 0));
        }
        let replies = position.legal_moves().len() as u32;
        if replies == 0 {
            let state = if position.is_check() {
                State::Won(0)
            } else {
                State::Lost
            };
            return Ok((state, 0));
        }
        if bounded && (goal.left == 0 || place.is_clock_out()) {
            return Ok((State::Lost, 0));
        }
        Ok((State::Open(replies, 1), 0))
    }

    /// Numbers where the attacker chooses: the chosen child, and the second best
    /// proof number.
    fn attack_numbers(
        &self,
        children: &[Child],
        rest: usize,
        next: Option<(u32, u32)>,
    ) -> (State, usize, u32) {
        let mut best = INFINITE;
        let mut best_dn = 0;
        let mut chosen = children.len();
        let mut second = INFINITE;
        let mut dn_max = 0;
        let mut live = 0;
        let mut pin: Option<Pin> = None;
        for (index, child) in children.iter().enumerate() {
            match child.state {
                State::Won(length) => return (State::Won(length + 1), index, 0),
                State::Lost => {}
                State::LostHere(other) => pin = Some(merge(pin, other)),
                State::Open(pn, dn) => {
                    live += 1;
                    dn_max = dn_max.max(dn);
                    if pn < best || (pn == best && dn < best_dn) {
                        second = best;
                        best = pn;
                        best_dn = dn;
                        chosen = index;
                    } else if pn < second {
                        second = pn;
                    }
                }
            }
        }
        if let Some((pn, dn)) = next {
            live += rest as u32;
            dn_max = dn_max.max(dn);
            if pn < best {
                second = best;
                best = pn;
                chosen = children.len();
            } else if pn < second {
                second = pn;
            }
        }
        if live == 0 {
            return (pin.map_or(State::Lost, State::LostHere), chosen, 0);
        }
        (
            State::Open(
                best.min(INFINITE - 1),
                (dn_max + live - 1).min(INFINITE - 1),
            ),
            chosen,
            second,
        )
    }

    fn defence_numbers(
        &self,
        children: &[Child],
        rest: usize,
        next: Option<(u32, u32)>,
    ) -> (State, usize, u32) {
        let mut best = INFINITE;
        let mut best_pn = 0;
        let mut chosen = children.len();
        let mut second = INFINITE;
        let mut sum = 0u32;
        let mut live = 0;
        let mut longest = 0;
        for (index, child) in children.iter().enumerate() {
            match child.state {
                State::Lost => return (State::Lost, index, 0),
                State::LostHere(pin) => return (State::LostHere(pin), index, 0),
                State::Won(length) => longest = longest.max(length),
                State::Open(pn, dn) => {
                    live += 1;
                    sum = sum.saturating_add(pn);
                    if dn < best || (dn == best && pn < best_pn) {
                        second = best;
                        best = dn;
                        best_pn = pn;
                        chosen = index;
                    } else if dn < second {
                        second = dn;
                    }
                }
            }
        }
        if let Some((pn, dn)) = next {
            live += rest as u32;
            sum = sum.saturating_add(pn.saturating_mul(rest as u32));
            if dn < best {
                second = best;
                best = dn;
                chosen = children.len();
            } else if dn < second {
                second = dn;
            }
        }
        if live == 0 {
            return (State::Won(longest), children.len(), 0);
        }
        let pn = sum;
        (
            State::Open(pn.min(INFINITE - 1), best.min(INFINITE - 1)),
            chosen,
            second,
        )
    }
}

fn merge(pin: Option<Pin>, other: Pin) -> Pin {
    match pin {
        None => other,
        Some(pin) => {
            let deeper = if pin.deep >= other.deep { pin } else { other };
            Pin {
                visit: deeper.visit,
                deep: deeper.deep,
                shallow: pin.shallow.min(other.shallow),
            }
        }
    }
}

/// The attacker's moves, checks first, and how many of them are checks.
fn order_attack(position: &Chess, moves: &MoveList) -> (Vec<Move>, usize) {
    let Some(checks) = Checks::new(position) else {
        return (Vec::new(), 0);
    };
    let mut ordered: Vec<Move> = Vec::with_capacity(moves.len());
    ordered.extend(moves.iter().filter(|&&m| checks.may_check(m)));
    let checking = ordered.len();
    ordered.extend(
        moves
            .iter()
            .filter(|&&m| !checks.may_check(m) && (m.is_capture() || m.is_promotion())),
    );
    ordered.extend(
        moves
            .iter()
            .filter(|&&m| !(checks.may_check(m) || m.is_capture() || m.is_promotion())),
    );
    (ordered, checking)
}

fn order_defence(_position: &Chess, moves: &MoveList) -> (Vec<Move>, usize) {
    let mut ordered: Vec<Move> = moves.iter().copied().collect();
    ordered.sort_by_key(|m| !m.is_capture());
    (ordered, 0)
}
