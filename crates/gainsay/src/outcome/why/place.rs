//! Why a pointer, or what is told of another game, is wrong.

use serde::{Deserialize, Serialize};

use super::super::data::{Line, Side};

/// Why a pointer, or what is told of another game, is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum PlaceWhy {
    /// There is no such move in this game.
    NoSuchMove {
        /// Its number.
        number: u32,
        /// The number of the last move.
        last: u32,
    },
    /// On that move another was played.
    PlayedThere {
        /// The side.
        side: Side,
        /// The move that was played.
        by: Line,
    },
    /// A pointer at another game is wrong.
    WrongGame(WrongPointer),
    /// What is told of another game is not so.
    InOtherGame {
        /// The title of that game.
        title: String,
        /// What is true of it.
        #[serde(rename = "there")]
        what: OtherGame,
    },
    /// The other side is to move.
    OtherToMove {
        /// The side to move.
        turn: Side,
        /// The side that should be.
        side: Side,
    },
}

/// What is wrong with a pointer at another game.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "pointer", rename_all = "kebab-case")]
pub enum WrongPointer {
    /// The players played another game.
    Players {
        /// Their names.
        players: [String; 2],
        /// The number of their game.
        number: u32,
        /// The title of the game with the number that is written.
        other: String,
    },
    /// The game stands on the other side.
    Way {
        /// Its number.
        number: u32,
        /// Whether it stands below.
        below: bool,
    },
    /// The numbers do not go so far.
    Beyond {
        /// The number.
        number: u32,
        /// Where they end.
        end: u32,
        /// Whether they go down there.
        down: bool,
    },
    /// The number is left out.
    Missing {
        /// The number.
        number: u32,
        /// The one before.
        below: u32,
        /// The one behind.
        above: u32,
    },
}

/// What is true of another game.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "told", rename_all = "kebab-case")]
pub enum OtherGame {
    /// It has no such move.
    NoSuchMove {
        /// The number of the last one.
        last: u32,
    },
    /// Another move was played there.
    Played {
        /// By whom.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side castled so, though that is denied.
    DidCastle {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side castled by another move.
    CastledBy {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side did not castle.
    DidNotCastle {
        /// The side.
        side: Side,
    },
    /// The position did not occur.
    NoSuchPosition,
    /// This side won, or nobody.
    Winner {
        /// The side; `None` where it was drawn.
        side: Option<Side>,
        /// The last move.
        last: Line,
    },
    /// The last move was another one.
    LastMove {
        /// Its number.
        number: u32,
        /// The move.
        last: Line,
    },
    /// Another move mated.
    MatedBy {
        /// The side that mated.
        side: Side,
        /// The move.
        last: Line,
    },
    /// Nobody mated.
    NobodyMated {
        /// The last move.
        last: Line,
    },
}

impl OtherGame {
    /// The move that shows it.
    #[must_use]
    pub const fn shown(&self) -> Option<&Line> {
        match self {
            Self::NoSuchMove { .. } | Self::DidNotCastle { .. } | Self::NoSuchPosition => None,
            Self::Played { by, .. } | Self::DidCastle { by, .. } | Self::CastledBy { by, .. } => {
                Some(by)
            }
            Self::Winner { last, .. }
            | Self::LastMove { last, .. }
            | Self::MatedBy { last, .. }
            | Self::NobodyMated { last } => Some(last),
        }
    }
}
