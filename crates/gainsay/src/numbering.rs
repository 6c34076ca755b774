//! The numbers of exercises and of their solutions against each other.

use std::{collections::BTreeSet, ops::Range};

use crate::{label::Label, matching::Key};

/// A number that stands in the text: the place of its piece, and its bytes there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Written {
    pub(crate) number: u32,
    /// What stands before it: see [`Label::series`].
    pub(crate) series: u16,
    pub(crate) piece: usize,
    pub(crate) span: Range<usize>,
}

impl Written {
    /// A label that begins at this offset of a piece.
    pub(crate) const fn of(label: Label, piece: usize, start: usize) -> Self {
        Self {
            number: label.number,
            series: label.series,
            piece,
            span: start..start + label.length,
        }
    }
}

impl Written {
    /// What it is compared by.
    pub(crate) const fn key(&self) -> Key {
        Key {
            series: self.series,
            number: self.number,
            piece: self.piece,
        }
    }
}

/// What is wrong with a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Note {
    /// The exercises have it already.
    Repeated,
    /// It stands behind this greater one.
    Behind(u32),
    /// No solution has it.
    NoSolution,
    /// No exercise has it.
    NoExercise,
}

/// So many solutions must have an exercise before one without is told.
const LEAST: usize = 3;

/// What is wrong with numbers, each by its place among the exercises or behind them the solutions.
pub(crate) fn notes(exercises: &[Written], solutions: &[Written]) -> Vec<(Written, Note)> {
    let mut notes = Vec::new();
    let mut runs = 0;
    let mut first = 0;
    let mut series = 0;
    let mut seen: BTreeSet<u32> = BTreeSet::new();
    let mut all: BTreeSet<u32> = BTreeSet::new();
    for written in exercises {
        let number = written.number;
        // Every chapter may begin anew.
        let anew = number < first || number == first && seen.len() > 1;
        if seen.is_empty() || anew || series != written.series {
            (runs, first, series) = (runs + 1, number, written.series);
            seen.clear();
        }
        let greatest = seen.last().copied().unwrap_or_default();
        if !seen.insert(number) {
            notes.push((written.clone(), Note::Repeated));
        } else if number < greatest {
            notes.push((written.clone(), Note::Behind(greatest)));
        }
        all.insert(number);
    }
    let solved: BTreeSet<u32> = solutions.iter().map(|written| written.number).collect();
    let known = solved.intersection(&all).count();
    // Where numbers begin anew, or most belong to something else, nobody knows what is meant.
    if runs != 1 || solved.len() != solutions.len() || known < LEAST || 2 * known < solved.len() {
        return notes;
    }
    let mut told = BTreeSet::new();
    let unsolved = exercises
        .iter()
        .filter(|written| !solved.contains(&written.number));
    for written in unsolved {
        if told.insert(written.number) {
            notes.push((written.clone(), Note::NoSolution));
        }
    }
    let foreign = solutions
        .iter()
        .filter(|written| !all.contains(&written.number));
    notes.extend(foreign.map(|written| (written.clone(), Note::NoExercise)));
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(exercises: &[u32], solutions: &[u32]) -> Vec<(u32, Note)> {
        let written = |number: &u32| Written {
            number: *number,
            series: 0,
            piece: 0,
            span: 0..1,
        };
        let [exercises, solutions] =
            [exercises, solutions].map(|numbers| numbers.iter().map(written).collect::<Vec<_>>());
        let notes = notes(&exercises, &solutions).into_iter();
        notes
            .map(|(written, note)| (written.number, note))
            .collect()
    }

    #[test]
    fn numbers_are_compared() {
        use Note::{Behind, NoExercise, NoSolution, Repeated};
        for (exercises, solutions, found) in [
            (&[1, 2, 3, 4][..], &[1, 2, 3, 4][..], &[][..]),
            (
                &[1, 2, 2, 4, 5],
                &[1, 2, 3, 4, 6],
                &[
                    (2, Repeated),
                    (5, NoSolution),
                    (3, NoExercise),
                    (6, NoExercise),
                ],
            ),
            (&[1, 3, 2, 4], &[], &[(2, Behind(3))]),
            // Chapters with numbers of their own.
            (&[1, 2, 3, 1, 2, 3], &[1, 2], &[]),
            // Too little is known.
            (&[1, 2, 3], &[1, 9], &[]),
            (&[7, 8, 9], &[7, 8, 9, 10], &[(10, NoExercise)]),
        ] {
            assert_eq!(
                told(exercises, solutions),
                found,
                "{exercises:?} {solutions:?}"
            );
        }
    }
}
