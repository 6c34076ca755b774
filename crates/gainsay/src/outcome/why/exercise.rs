//! What is wrong with an exercise.

use serde::{Deserialize, Serialize};

use super::super::data::{Line, Side};

/// What is wrong with an exercise, or with its printed solution.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum ExerciseWhy {
    /// Other first moves solve it too.
    SecondSolution {
        /// In so many moves.
        moves: u32,
        /// The first move that is printed, if one is.
        key: Option<Line>,
        /// The others that solve it.
        others: Vec<Line>,
    },
    /// The first move that is printed does not solve it.
    FalseKey {
        /// In so many moves.
        moves: u32,
        /// It, with the defence that holds out, if there is a reply.
        key: Line,
        /// The first moves that do solve it.
        keys: Vec<Line>,
    },
    /// A defence is not answered that no printed move meets.
    MissingDefence {
        /// The moves up to it.
        line: Line,
        /// The moves that mate then.
        answers: Vec<Line>,
    },
    /// The printed solution ends before the mate.
    EndsEarly {
        /// Who mates.
        side: Side,
        /// The line as it is printed.
        line: Line,
    },
    /// The printed solution takes another number of moves.
    OtherLength {
        /// The number that the task says.
        moves: u32,
        /// The number of the printed line.
        printed: u32,
        /// The printed line.
        line: Line,
    },
}
