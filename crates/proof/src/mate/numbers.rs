//! How proof and disproof numbers are put together, and how far they may grow.

use super::{
    forest::{Head, INFINITE},
    goal::Goal,
    tree::{Pin, State},
};

// Proof and disproof numbers of moves that have not been looked at, by experiment.
pub(crate) const UNSEEN_CHECK: (u32, u32) = (4, 1);
pub(crate) const UNSEEN_QUIET: (u32, u32) = (8, 1);
const UNSEEN_REPLY: (u32, u32) = (1, 1);

/// A sibling is left only when the second best is better by one part in so many:
/// otherwise the search jumps between equals and spends its time coming back.
const WIDEN: u32 = 4;

/// The limits of a visit: it ends when a number reaches its limit.
#[derive(Clone, Copy)]
pub(crate) struct Limits {
    pub(crate) pn: u32,
    pub(crate) dn: u32,
}

impl Limits {
    /// The limits of the best child, when the position has the numbers `own`, the
    /// child has the numbers `child`, and the second best number is `second`: the
    /// child may grow until another is better, or until the position reaches its own
    /// limit.
    pub(crate) fn of_child(
        self,
        goal: Goal,
        own: (u32, u32),
        child: (u32, u32),
        second: u32,
    ) -> Self {
        let (pn, dn) = own;
        let (child_pn, child_dn) = child;
        if goal.attacking {
            Self {
                pn: self.pn.min(widen(second)),
                dn: self.dn.saturating_sub(dn.saturating_sub(child_dn)),
            }
        } else {
            Self {
                pn: self.pn.saturating_sub(pn.saturating_sub(child_pn)),
                dn: self.dn.min(widen(second)),
            }
        }
    }
}

/// What the children of a position say of it: the side to move needs one move, the
/// other side an answer to every one.
#[derive(Clone, Copy)]
pub(crate) struct Sum {
    attacking: bool,
    /// The numbers of the best child: above, the one that the side to move makes small.
    best: u64,
    /// The best child, by its place among the children; none for an unseen move.
    pub(crate) chosen: Option<u8>,
    /// The second best number.
    pub(crate) second: u32,
    /// Of the moves without the best one, the sum of the proof numbers or the greatest
    /// disproof number.
    rest: u32,
    /// Moves that are neither settled nor disproved on this path.
    live: u32,
}

/// Nothing is worse, and it adds nothing to the others.
const WORST: u64 = (INFINITE as u64) << 32;

impl Sum {
    pub(crate) const fn new(goal: Goal) -> Self {
        Self {
            attacking: goal.attacking,
            best: WORST,
            chosen: None,
            second: INFINITE,
            rest: 0,
            live: 0,
        }
    }

    /// Adds the child with these numbers. One that is disproved on this path, whose
    /// disproof number is 0, says nothing.
    #[inline]
    pub(crate) fn see(&mut self, (pn, dn): (u32, u32), index: u8) {
        self.add((pn, dn), Some(index));
        self.live += u32::from(dn > 0);
    }

    /// Nothing here is for the processor to foresee, since it could not.
    #[inline]
    fn add(&mut self, (pn, dn): (u32, u32), index: Option<u8>) {
        let (own, other) = if self.attacking { (pn, dn) } else { (dn, pn) };
        let numbers = u64::from(own) << 32 | u64::from(other);
        self.chosen = if numbers < self.best {
            index
        } else {
            self.chosen
        };
        let worse = numbers.max(self.best);
        self.best = numbers.min(self.best);
        self.second = self.second.min((worse >> 32) as u32);
        let (rest, worse) = (self.rest, worse as u32);
        self.rest = if self.attacking {
            rest.max(worse)
        } else {
            rest.saturating_add(worse)
        };
    }

    /// Adds so many moves that have not been looked at.
    fn add_unseen(&mut self, (pn, dn): (u32, u32), times: u32) {
        self.add((pn, dn), None);
        if times > 1 {
            let (own, rest) = if self.attacking {
                (pn, self.rest.max(dn))
            } else {
                let more = pn.saturating_mul(times - 1);
                (dn, self.rest.saturating_add(more))
            };
            self.second = self.second.min(own);
            self.rest = rest;
        }
        self.live += times;
    }

    /// The position's state when the moves that have not been looked at are added.
    /// `pin` is what the children rest on that are disproved on this path.
    pub(crate) fn conclude(&mut self, head: &Head, pin: Option<Pin>, goal: Goal) -> State {
        let rest = u32::from(head.count) + u32::from(head.unlisted) - u32::from(head.reach);
        if rest > 0 {
            let unseen = if !goal.attacking {
                UNSEEN_REPLY
            } else if head.reach < head.checking {
                UNSEEN_CHECK
            } else {
                UNSEEN_QUIET
            };
            self.add_unseen(unseen, rest);
        }
        if self.live == 0 {
            return match pin {
                _ if !goal.attacking => State::Won(u16::from(head.longest)),
                Some(pin) => State::LostHere(pin),
                None => State::Lost,
            };
        }
        let own = ((self.best >> 32) as u32).min(INFINITE - 1);
        let other = self.best as u32;
        // The attacker's disproof numbers count as their greatest and one for each other
        // move, since transpositions would make a sum absurd.
        let all = if goal.attacking {
            self.rest.max(other).saturating_add(self.live - 1)
        } else {
            self.rest.saturating_add(other)
        };
        let all = all.min(INFINITE - 1);
        if goal.attacking {
            State::Open(own, all)
        } else {
            State::Open(all, own)
        }
    }
}

fn widen(second: u32) -> u32 {
    second
        .saturating_add(second / WIDEN)
        .saturating_add(1)
        .min(INFINITE)
}

pub(crate) const fn numbers_of(state: State) -> (u32, u32) {
    match state {
        State::Open(pn, dn) => (pn, dn),
        State::Won(_) => (0, INFINITE),
        State::Lost | State::LostHere(_) => (INFINITE, 0),
    }
}

/// What two disproofs rest on together.
pub(crate) fn merge(pin: Option<Pin>, other: Pin) -> Pin {
    let Some(pin) = pin else {
        return other;
    };
    let deeper = if pin.deep >= other.deep { pin } else { other };
    Pin {
        shallow: pin.shallow.min(other.shallow),
        ..deeper
    }
}
