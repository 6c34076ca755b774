//! The positions on the way to the one that is being searched.

use super::{
    key::Key,
    tree::{Pin, State},
};

/// Positions are told apart at first glance by so many endings of keys.
const ENDINGS: usize = 1024;

const fn ending(key: Key) -> usize {
    key as usize % ENDINGS
}

/// A position on the path.
struct Step {
    key: Key,
    visit: u32,
}

/// The path of a search.
pub(crate) struct Path {
    steps: Vec<Step>,
    /// How many positions of the path have a key that ends in these bits.
    endings: [u16; ENDINGS],
    /// How many positions have been entered.
    visits: u32,
}

impl Path {
    /// A path without a position.
    pub(crate) const fn new() -> Self {
        Self {
            steps: Vec::new(),
            endings: [0; ENDINGS],
            visits: 0,
        }
    }

    /// How many positions there are.
    pub(crate) const fn depth(&self) -> usize {
        self.steps.len()
    }

    /// Enters a position.
    pub(crate) fn push(&mut self, key: Key) {
        self.visits = self.visits.wrapping_add(1);
        self.steps.push(Step {
            key,
            visit: self.visits,
        });
        self.endings[ending(key)] += 1;
    }

    /// Leaves the last position.
    pub(crate) fn pop(&mut self) {
        if let Some(Step { key, .. }) = self.steps.pop() {
            self.endings[ending(key)] -= 1;
        }
    }

    /// What a disproof rests on because the position with this key, whose clock stands
    /// at `clock`, is on the path already.
    pub(crate) fn repetition(&self, key: Key, clock: u32) -> Option<Pin> {
        if self.endings[ending(key)] == 0 {
            return None;
        }
        // A position recurs after an even number of moves without capture or pawn
        // move, four at least.
        let depth = self.depth();
        let back = depth.min(clock as usize);
        (4..=back)
            .step_by(2)
            .map(|distance| depth - distance)
            .find(|&at| self.steps.get(at).is_some_and(|step| step.key == key))
            .map(|at| self.pin(at, at as u16))
    }

    /// A disproof that rests on the last position.
    pub(crate) fn pinned(&self) -> State {
        let last = self.depth().saturating_sub(1);
        State::LostHere(self.pin(last, last as u16))
    }

    /// What a disproof is that was found at a position which has just been left.
    pub(crate) fn lift(&self, pin: Pin) -> State {
        let depth = self.depth();
        if usize::from(pin.shallow) >= depth || depth == 0 {
            return State::Lost;
        }
        // When the deepest ancestor is this position itself, the next one is not
        // known; the parent is a safe choice, since it goes when any of them goes.
        let deep = usize::from(pin.deep).min(depth - 1);
        State::LostHere(self.pin(deep, pin.shallow))
    }

    /// Whether all that a disproof rests on is on the path still.
    pub(crate) fn holds(&self, pin: Pin) -> bool {
        self.visit(pin.deep.into()) == Some(pin.visit)
    }

    fn pin(&self, deep: usize, shallow: u16) -> Pin {
        Pin {
            visit: self.visit(deep).unwrap_or_default(),
            deep: deep as u16,
            shallow,
        }
    }

    fn visit(&self, deep: usize) -> Option<u32> {
        Some(self.steps.get(deep)?.visit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disproof_holds_as_long_as_what_it_rests_on_is_on_the_path() {
        let mut path = Path::new();
        for key in [10, 11, 12, 13] {
            path.push(key);
        }
        assert_eq!(path.repetition(10, 3), None, "a move since was final");
        assert_eq!(path.repetition(11, 4), None, "an odd number of moves ago");
        let pin = path.repetition(10, 4).unwrap();
        assert_eq!((pin.deep, pin.shallow), (0, 0));
        assert!(path.holds(pin));
        path.pop();
        let State::LostHere(lifted) = path.lift(pin) else {
            panic!("the position is still on the path");
        };
        assert_eq!(lifted, pin);
        path.pop();
        path.pop();
        path.pop();
        assert_eq!(path.lift(pin), State::Lost);
        path.push(10);
        assert!(!path.holds(pin), "another visit of the same position");
        assert_eq!(path.repetition(10, 50), None, "that is this very position");
    }
}
