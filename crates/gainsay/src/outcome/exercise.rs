//! What is known of an exercise beside whether its task can be done.

use serde::{Deserialize, Serialize};

use super::data::Line;
use crate::tasks::Genre;

/// An exercise: a position that is set up, with a task.
///
/// ```
/// use gainsay::{Settings, check};
/// let text = b"[SetUp \"1\"]\n[FEN \"6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\"]\n\n{White to move and mate in one.} 1. Ra8# *";
/// let report = check(text, &Settings::default());
/// let exercise = report.claims[0].exercise.as_deref().unwrap();
/// assert_eq!((exercise.moves, exercise.keys.len(), exercise.complete), (Some(1), 1, true));
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub struct Exercise {
    /// Its number in the text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// What it asks for that is not proved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub genre: Option<Genre>,
    /// In how many moves it is to be mate, if that is the task.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves: Option<u32>,
    /// The first moves that solve it, as far as they were found.
    pub keys: Vec<Line>,
    /// Whether all first moves were settled.
    pub complete: bool,
    /// The main line of the printed solution.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub printed: Option<Line>,
    /// How many moves of the solver's side in the main line neither capture nor give check.
    pub quiet: u32,
    /// For mates in two: the first moves that fail to one reply only, with that reply.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tries: Vec<Line>,
    /// Places of the printed solution where another move mates as soon, each with that move.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub duals: Vec<Line>,
}
