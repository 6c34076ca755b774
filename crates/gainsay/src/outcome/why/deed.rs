//! Why a move did not do what is told of it.

use serde::{Deserialize, Serialize};

use super::super::data::{Kind, Line, Man, Side};

/// Why a move did not do what is told of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum DeedWhy {
    /// The move did something else.
    Did {
        /// The move.
        by: Line,
        /// The piece that moved, where it stood.
        man: Man,
        /// What it took.
        took: Option<Man>,
    },
    /// These captures are there.
    Takes {
        /// All legal ones.
        captures: Vec<Line>,
    },
    /// The move exchanges nothing of that kind.
    NoExchange {
        /// The move.
        by: Line,
        /// What is said to be given.
        own: Kind,
        /// What is said to be taken.
        other: Kind,
    },
    /// These captures were made so far.
    Captures {
        /// All of them.
        captures: Vec<Line>,
    },
    /// Another move did it before.
    Earlier {
        /// The first one.
        by: Line,
    },
    /// The game ended otherwise.
    Ended {
        /// Who won, if not nobody.
        winner: Option<Side>,
        /// Its last move.
        last: Line,
    },
    /// The game ended with this move.
    Lasted {
        /// The number of the move.
        number: u32,
        /// The move.
        last: Line,
    },
    /// No move of the game so far did it.
    Never {
        /// The captures that the side has made, or both sides.
        captures: Vec<Line>,
    },
}
