//! How proof and disproof numbers are put together, and how far they may grow.

use super::{
    goal::Goal,
    tree::{INFINITE, Others, Pin, State},
};

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

impl Others {
    /// The numbers of the position, given those of its best move. The attacker's
    /// disproof numbers count as their greatest and one for each other move, since
    /// transpositions would make a sum absurd.
    pub(crate) fn with(self, goal: Goal, pn: u32, dn: u32) -> (u32, u32) {
        let most = INFINITE - 1;
        let own = if goal.attacking { pn } else { dn }.min(self.second);
        let (pn, dn) = if goal.attacking {
            (own, self.rest.max(dn).saturating_add(u32::from(self.count)))
        } else {
            (self.rest.saturating_add(pn), own)
        };
        (pn.min(most), dn.min(most))
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
