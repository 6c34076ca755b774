//! Which findings are told where there are too many.

use gainsay::Severity;

/// Chooses the gravest findings, so many at most; of those of one severity the first.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gravest {
    /// How many of each severity may still be taken, in the order of [`Severity::ALL`].
    left: [usize; Severity::ALL.len()],
}

impl Gravest {
    /// Chooses `most` of findings with these severities.
    pub(crate) fn of(severities: impl Iterator<Item = Severity>, most: usize) -> Self {
        let mut left = [0; Severity::ALL.len()];
        for severity in severities {
            if let Some(count) = degree(severity).and_then(|at| left.get_mut(at)) {
                *count += 1;
            }
        }
        let mut room = most;
        for count in &mut left {
            *count = (*count).min(room);
            room -= *count;
        }
        Self { left }
    }

    /// Whether the next finding, in the order of the text, is one of them.
    pub(crate) fn take(&mut self, severity: Severity) -> bool {
        match degree(severity).and_then(|at| self.left.get_mut(at)) {
            Some(left) if *left > 0 => {
                *left -= 1;
                true
            }
            _ => false,
        }
    }
}

/// The place of a severity in [`Severity::ALL`], which begins with the gravest.
fn degree(severity: Severity) -> Option<usize> {
    Severity::ALL.iter().position(|&known| known == severity)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn takes_the_gravest_and_of_those_the_first() {
        use Severity::{Error, Hint, Warning};
        let all = [Hint, Error, Warning, Hint, Warning, Error];
        let mut gravest = Gravest::of(all.into_iter(), 3);
        assert_eq!(
            all.map(|severity| gravest.take(severity)),
            [false, true, true, false, false, true]
        );
    }
}
