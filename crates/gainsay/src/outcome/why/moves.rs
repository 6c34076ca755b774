//! Why a move is not the only one, or a judgement is false.

use serde::{Deserialize, Serialize};

use super::super::data::{At, Line, Man, Side};

/// Why a move is not the only one, or a judgement is false.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MoveWhy {
    /// There are more legal moves than one.
    NotOnlyLegal {
        /// The side to move.
        side: Side,
        /// How many it has.
        count: u32,
        /// Some of them.
        moves: Vec<Line>,
    },
    /// There are more or fewer legal moves than are said.
    LegalMoves {
        /// The side to move.
        side: Side,
        /// How many it has.
        count: u32,
        /// Some of them.
        moves: Vec<Line>,
    },
    /// Another move is as good.
    AsGood {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move stops the mate as well.
    StopsMateToo {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move wins as well.
    WinsToo {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
    },
    /// Another move mates as well.
    MatesToo {
        /// The move.
        cited: Line,
        /// The mate by the other.
        other: Line,
    },
    /// The piece can go to other squares.
    GoesElsewhere {
        /// Some of them.
        squares: Vec<At>,
    },
    /// A king can go to these squares, and to no others.
    KingGoes {
        /// Where it stands.
        king: At,
        /// Where it can go.
        squares: Vec<At>,
    },
    /// A king cannot go to the square.
    KingCannotGo {
        /// Where it stands.
        king: At,
        /// Where it cannot go.
        to: At,
        /// Where it can go.
        squares: Vec<At>,
    },
    /// The line refutes nothing.
    RefutesNothing {
        /// Best play from its first move on.
        line: Line,
        /// The side that is winning behind it.
        side: Side,
    },
    /// The position is about level.
    AboutLevel {
        /// Best play.
        line: Line,
    },
    /// The side has too little to win.
    CannotWin {
        /// The side.
        side: Side,
        /// All that it has.
        only: Vec<Man>,
    },
    /// The other side, or this one, is much better.
    MuchBetter {
        /// The side that is.
        side: Side,
        /// Best play.
        line: Line,
    },
    /// Tables know how the ending ends.
    EndingIs {
        /// The side that wins; `None` for a draw.
        winner: Option<Side>,
        /// Best play.
        line: Line,
    },
    /// A move that is praised allows mate.
    AllowsMate {
        /// The move.
        cited: Line,
        /// The mate.
        line: Line,
        /// A move that does not allow it.
        safe: Line,
    },
    /// A move that is blamed mates.
    BlamedMates {
        /// The move.
        cited: Line,
    },
    /// A move that is blamed is the only legal one.
    BlamedIsOnlyMove {
        /// The move.
        cited: Line,
    },
    /// A move that is blamed forces mate.
    BlamedForcesMate {
        /// The move.
        cited: Line,
        /// The mate.
        line: Line,
    },
    /// Another move is clearly better.
    Weaker {
        /// The move.
        cited: Line,
        /// The other.
        other: Line,
        /// What comes of that.
        line: Line,
    },
    /// The move is not the best: another mates.
    NotBest {
        /// The move.
        cited: Line,
        /// In how many moves there is a mate.
        mate: u32,
    },
    /// The move mates, so that there is nothing better.
    NothingBetter {
        /// The move.
        cited: Line,
        /// In how many moves it mates.
        mate: u32,
    },
}
