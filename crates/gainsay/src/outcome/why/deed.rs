//! Why a move did not do what is told of it.

use serde::{Deserialize, Serialize};

use super::super::data::{Line, Man};

/// Why a move did not do what is told of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    /// No move of the game so far did it.
    Never {
        /// The captures that the side has made, or both sides.
        captures: Vec<Line>,
    },
}
