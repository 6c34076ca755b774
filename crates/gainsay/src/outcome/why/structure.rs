//! Why the structure is another, or a side has not castled.

use serde::{Deserialize, Serialize};

use super::super::data::{At, Line, Man, OnFile, Side};

/// Why the structure is another, or a side has not castled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum StructureWhy {
    /// A feature of the structure is not as it is said to be.
    NotSoHere {
        /// What is there instead.
        here: Vec<Structure>,
    },
    /// The side castled on another move.
    CastledOn {
        /// The side.
        side: Side,
        /// The number of the move.
        number: u32,
        /// The move.
        by: Line,
    },
    /// The side cannot castle any more.
    CannotCastle {
        /// The side.
        side: Side,
        /// The move by which it has castled; `None` where king or rooks have moved.
        by: Option<Line>,
    },
    /// The side can castle on the other wing only.
    CannotCastleThere {
        /// The side.
        side: Side,
    },
    /// The side castled on a wing, and the other side on one that is not said.
    CastledBoth {
        /// The side.
        side: Side,
        /// Its move.
        by: Line,
        /// The move of the other side.
        other: Line,
    },
    /// The side can still castle.
    CanCastle {
        /// The side.
        side: Side,
        /// How.
        by: Line,
    },
    /// The side has not lost the right to castle.
    KeepsRight {
        /// The side.
        side: Side,
        /// Where its king stands.
        king: At,
    },
    /// The side has not castled.
    HasNotCastled {
        /// The side.
        side: Side,
        /// Where its king stands.
        king: At,
    },
    /// The side has castled on the other wing.
    CastledOtherWing {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
    /// The side has castled.
    HasCastled {
        /// The side.
        side: Side,
        /// The move.
        by: Line,
    },
}

/// What is there instead of a feature of the structure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "feature", rename_all = "kebab-case")]
pub enum Structure {
    /// Pawns stand on the file, or none.
    PawnsOnFile {
        /// The file.
        file: OnFile,
        /// The pawns.
        pawns: Vec<Man>,
    },
    /// These files are open.
    OpenFiles {
        /// The files.
        files: Vec<OnFile>,
    },
    /// The pawn faces others, or none.
    PawnFaces {
        /// The pawn.
        pawn: Man,
        /// What keeps it from being passed.
        against: Vec<Man>,
    },
    /// The side has pawns of a kind here, or none.
    Pawns {
        /// The kind.
        kind: PawnKind,
        /// The side.
        side: Side,
        /// Where they stand.
        at: Vec<At>,
    },
    /// The pawn is defended by these.
    PawnDefended {
        /// The pawn.
        pawn: Man,
        /// By what.
        by: Vec<Man>,
    },
    /// The side has so many pawn islands.
    Islands {
        /// The side.
        side: Side,
        /// How many.
        count: u32,
    },
    /// So many pawns on the files of a wing.
    OnWing {
        /// The wing.
        wing: Wing,
        /// White's and Black's.
        pawns: [u32; 2],
    },
    /// These pieces stand here.
    Stand {
        /// The pieces.
        men: Vec<Man>,
    },
    /// There are no bishops.
    NoBishops,
    /// There are only pawns left.
    OnlyPawns,
    /// No pawn can be taken en passant.
    NoEnPassant,
    /// A square can be attacked by pawns.
    PawnsChase {
        /// The square.
        at: At,
        /// The pawns.
        pawns: Vec<Man>,
    },
    /// A square lies in the side's own half.
    OwnHalf {
        /// The square.
        at: At,
        /// The side.
        side: Side,
    },
    /// There is no such square.
    NoSuchSquare,
    /// It is not so here, nor near.
    NotNear,
}

/// A kind of pawn, or a rook where rooks are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum PawnKind {
    /// Passed.
    Passed,
    /// Isolated.
    Isolated,
    /// Doubled.
    Doubled,
    /// Backward.
    Backward,
    /// Protected by a pawn.
    Protected,
    /// A rook.
    Rook,
}

/// A part of the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Wing {
    /// Files a to d.
    Queenside,
    /// Files e to h.
    Kingside,
    /// Files c to f.
    Centre,
}
