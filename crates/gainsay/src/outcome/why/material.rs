//! Why material is not won, lost or there.

use serde::{Deserialize, Serialize};

use super::super::data::{Kind, Line, Man, Side};
use super::structure::Wing;

/// Why material is not won, lost or there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MaterialWhy {
    /// The balance of material is another one.
    Balance {
        /// The side that it is told for.
        side: Side,
        /// How many queens, rooks, minor pieces and pawns it has more.
        more: [i32; 4],
        /// Whether it is told of the end of a line.
        at_the_end: bool,
    },
    /// The side has more or fewer men of a kind.
    HasCount {
        /// The side.
        side: Side,
        /// The kind.
        kind: Kind,
        /// How many it has.
        count: u32,
    },
    /// The sides have other numbers of pawns.
    PawnCounts {
        /// White's and Black's.
        pawns: [u32; 2],
        /// On which wing they were counted, if on one.
        wing: Option<Wing>,
    },
    /// What is won is taken back, with more.
    TakenBack {
        /// The move that takes.
        cited: Line,
        /// The answer.
        reply: Line,
        /// The side that loses by it.
        side: Side,
    },
    /// The side has no minor piece to win the exchange with.
    NothingToWinWith {
        /// The side.
        side: Side,
    },
    /// The side has no such piece.
    HasNone {
        /// The side.
        side: Side,
        /// The kind of piece.
        kind: Kind,
    },
    /// The side has lost no such piece.
    HasLostNone {
        /// The side.
        side: Side,
        /// The kind of piece.
        kind: Kind,
        /// All of that kind.
        men: Vec<Man>,
    },
    /// Nothing has been won.
    WonNothing {
        /// The side that should have won it.
        side: Side,
        /// Best play.
        line: Line,
    },
    /// The side has no rook to give.
    NoRookToGive {
        /// The side.
        side: Side,
    },
    /// No rook of the side can be taken.
    NoRookTaken {
        /// The side.
        side: Side,
    },
}
