//! Why this is no draw.

use serde::{Deserialize, Serialize};

use super::super::data::{Line, Man, Side};

/// Why this is no draw.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum DrawWhy {
    /// This is no stalemate: there is a legal move.
    NoStalemate {
        /// The move.
        legal: Line,
    },
    /// This is no stalemate but mate.
    StalemateIsMate {
        /// The move that mates.
        line: Line,
    },
    /// The other side is stalemated.
    OtherSideStalemated {
        /// The side that is.
        side: Side,
    },
    /// There are pieces left that can mate.
    StillThere {
        /// The pieces.
        men: Vec<Man>,
    },
    /// Not enough moves without capture or pawn move.
    FewQuietMoves {
        /// Moves of each side.
        moves: u32,
    },
    /// No position has come up three times.
    Occurs {
        /// How often this one has.
        times: u32,
    },
    /// There is more than a perpetual check.
    MoreThanPerpetual {
        /// The side that mates.
        side: Side,
        /// The mate.
        line: Line,
    },
    /// The checks run out.
    ChecksRunOut {
        /// The move that ends them.
        line: Line,
    },
}
