//! What is wrong with exercises.

use super::phrases::{line, number};
use crate::{
    claims::exercises::{FALSE_KEY, MISSING_DEFENCE, SECOND_SOLUTION, SOLUTION_LENGTH},
    outcome::{ExerciseWhy, Genre, Line},
    rule::Rule,
    show::{list, side},
};

/// Why the task of such a problem is not judged.
pub(super) fn not_proved(genre: Genre) -> String {
    let name = match genre {
        Genre::Helpmate => "helpmate",
        Genre::Selfmate => "selfmate",
        Genre::Reflexmate => "reflex mate",
        Genre::ProofGame => "proof game",
        Genre::Series => "series of moves",
        Genre::Twins => "twins",
        Genre::Other => "other rules or the moves before",
    };
    format!("{name}: not proved here")
}

/// The rule that is broken.
pub(super) const fn rule(why: &ExerciseWhy) -> &'static Rule {
    match why {
        ExerciseWhy::SecondSolution { .. } => &SECOND_SOLUTION,
        ExerciseWhy::FalseKey { .. } => &FALSE_KEY,
        ExerciseWhy::MissingDefence { .. } => &MISSING_DEFENCE,
        ExerciseWhy::EndsEarly { .. } | ExerciseWhy::OtherLength { .. } => &SOLUTION_LENGTH,
    }
}

fn named(lines: &[Line]) -> String {
    let lines: Vec<String> = lines.iter().map(line).collect();
    list(&lines, "and")
}

/// What is told.
pub(super) fn told(why: &ExerciseWhy) -> String {
    match why {
        ExerciseWhy::SecondSolution { moves, key, others } => {
            let told = named(others);
            let verb = if others.len() == 1 { "mates" } else { "mate" };
            let moves = number(*moves);
            match key {
                Some(key) => format!(
                    "The solution is {}, but {told} {verb} in {moves} as well.",
                    line(key)
                ),
                None => format!("This has several solutions: {told} {verb} in {moves}."),
            }
        }
        ExerciseWhy::FalseKey { moves, key, keys } => format!(
            "The printed solution does not mate in {}: {} holds out. The solution is {}.",
            number(*moves),
            line(key),
            named(keys)
        ),
        ExerciseWhy::MissingDefence {
            line: shown,
            answers,
        } => format!(
            "The solution does not answer {}, which {} meets.",
            line(shown),
            named(answers)
        ),
        ExerciseWhy::EndsEarly {
            side: who,
            line: shown,
        } => format!(
            "The solution ends before {} mates: {} is as far as it goes.",
            side(who.0),
            line(shown)
        ),
        ExerciseWhy::OtherLength {
            moves,
            printed,
            line: shown,
        } => format!(
            "The task is a mate in {}, but the solution takes {}: {}.",
            number(*moves),
            number(*printed),
            line(shown)
        ),
    }
}
