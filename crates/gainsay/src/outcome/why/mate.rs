//! Why a mate, or a threat of mate, is not there.

use serde::{Deserialize, Serialize};

use super::super::data::{At, Kind, Line, Man, Pattern, Side};

/// Why a mate, or a threat of mate, is not there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum MateWhy {
    /// `side` does not mate in so many moves.
    MateAbsent {
        /// The side that should mate.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// Whether the other side is to move.
        other_moves: bool,
        /// What holds out; empty where nothing shows it.
        defence: Line,
        /// The mate that takes a little longer, if there is one.
        longer: Option<Longer>,
    },
    /// It mates in fewer moves than is said.
    MateSooner {
        /// The side that mates.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// The mate.
        line: Line,
    },
    /// It does mate though that is denied.
    MateThere {
        /// The side that mates, where it is named.
        side: Option<Side>,
        /// The mate.
        line: Line,
    },
    /// The other side is mated.
    OtherSideMated {
        /// The side that is.
        side: Side,
    },
    /// It is mate though that is denied.
    IsMated {
        /// The side that is mated.
        side: Side,
    },
    /// This is no mate.
    NotMated(Mated),
    /// A mate can never be forced.
    NoForcedMate {
        /// The side that cannot force it.
        side: Side,
        /// All that it has, where that is too little.
        only: Vec<Man>,
        /// What holds out, where it has enough.
        defence: Option<Line>,
    },
    /// A mate is called by a name that is not its own.
    MisnamedMate {
        /// The name.
        name: String,
        /// What the mate lacks.
        lacks: Lack,
        /// The pattern that it shows.
        shows: Option<Pattern>,
        /// The moves to it, where it is still to come.
        line: Option<Line>,
    },
    /// A cited move has the sign of a mate that it is not.
    FalseMateSign {
        /// The move.
        cited: Line,
        /// What is true of the position behind it.
        #[serde(flatten)]
        mated: Mated,
    },
    /// `side` does not threaten mate.
    NoMateThreat {
        /// The side that should.
        side: Side,
        /// In how many moves, where it is said.
        moves: Option<u32>,
        /// So many were tried.
        within: u32,
        /// What holds out; empty where nothing shows it.
        defence: Line,
    },
    /// There is no mate in so many moves.
    NoMateIn {
        /// The side to move.
        side: Side,
        /// In how many moves.
        moves: u32,
        /// Whether it is the side to move that should be mated.
        is_mated: bool,
    },
    /// The mate comes sooner.
    MateInFewer {
        /// The side to move.
        side: Side,
        /// In how many moves.
        least: u32,
        /// In how many it is said to come.
        moves: u32,
        /// Whether it is the side to move that is mated.
        is_mated: bool,
    },
}

/// A mate that takes longer than is said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Longer {
    /// In how many moves.
    pub moves: u32,
    /// Whether that was proved to be the least.
    pub exact: bool,
    /// The mate.
    pub line: Line,
}

/// What is true of a position that is no mate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mated {
    /// The side to move.
    pub side: Side,
    /// Whether it is in check.
    pub check: bool,
    /// A legal move of it; empty where there is none.
    pub reply: Line,
}

/// What a mate lacks that its name cannot do without.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Lack {
    /// The side has no such piece.
    Piece(Side, Kind),
    /// None of these gives the check.
    CheckBy(Vec<Kind>),
    /// The king is not on the edge of the board.
    Edge,
    /// Two of these.
    Two(Kind),
    /// A queen that mates on this square.
    QueenOn(At),
    /// A check along a diagonal.
    Diagonal,
    /// A check from elsewhere than from this square.
    CheckElsewhere(At),
    /// A second piece that gives check.
    SecondCheck,
    /// Rook or queen.
    HeavyPiece,
}
