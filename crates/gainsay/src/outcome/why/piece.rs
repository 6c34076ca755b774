//! Why a piece does not stand or do what is said.

use serde::{Deserialize, Serialize};

use super::super::data::{At, Kind, Line, Man, OnFile, Side};

/// Why a piece does not stand or do what is said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum PieceWhy {
    /// No move does what is threatened.
    NoMoveDoes {
        /// The side that should make it.
        side: Side,
    },
    /// No such piece stands there.
    NoSuchPiece {
        /// The side, where it is said.
        side: Option<Side>,
        /// The kind, where it is said.
        kind: Option<Kind>,
        /// The square, or else the file.
        at: Option<At>,
        /// The file.
        file: Option<OnFile>,
        /// What stands on the square.
        there: Option<Man>,
    },
    /// The piece stands elsewhere.
    StandsAt {
        /// Where it is said to stand.
        at: At,
        /// Those that it can be, if they are few.
        men: Vec<Man>,
    },
    /// The piece is not pinned, or not so.
    NotPinned(NotPinned),
    /// The piece attacks other pieces, or none.
    AttacksOnly {
        /// The piece.
        man: Man,
        /// What it attacks.
        hit: Vec<Man>,
        /// The empty square that it does not attack, where that is meant.
        not: Option<At>,
    },
    /// No such piece attacks all of these, or any.
    NothingAttacks {
        /// Whether all of several were meant.
        all: bool,
    },
    /// A square or piece is attacked by others, or by none.
    AttackedBy {
        /// The square.
        at: At,
        /// What stands on it.
        man: Option<Man>,
        /// Whose men were looked for.
        side: Option<Side>,
        /// What attacks it.
        by: Vec<Man>,
    },
    /// A square or piece is defended by others, or by none.
    DefendedBy {
        /// The square.
        at: At,
        /// What stands on it.
        man: Option<Man>,
        /// What defends it.
        by: Vec<Man>,
    },
    /// A square or piece is attacked or defended by so many.
    BornOn {
        /// The square.
        at: At,
        /// What stands on it.
        man: Option<Man>,
        /// What attacks it, where that was counted.
        attackers: Option<Vec<Man>>,
        /// What defends it, where that was counted.
        defenders: Option<Vec<Man>>,
    },
    /// A square has the other colour.
    OfShade {
        /// The square.
        at: At,
        /// What stands on it, where that is meant.
        man: Option<Man>,
        /// Whether it is light.
        light: bool,
    },
    /// No such piece defends that.
    NothingDefends,
    /// The check is given by others, or nobody is in check.
    CheckedBy {
        /// The side to move.
        side: Side,
        /// What gives check.
        by: Vec<Man>,
    },
    /// A move gives no such check.
    NoSuchCheck {
        /// The move.
        cited: Line,
        /// The check that it should give.
        check: CheckKind,
        /// The side that should be in check.
        side: Side,
        /// What gives check.
        by: Vec<Man>,
    },
    /// The piece has safe moves.
    HasSafeMoves {
        /// The piece.
        man: Man,
        /// One of the moves.
        line: Line,
    },
    /// The piece has little to guard.
    GuardsOnly {
        /// The piece.
        man: Man,
        /// What it has to guard.
        squares: Vec<At>,
    },
    /// Taking the piece loses material.
    TakingLoses {
        /// The piece.
        man: Man,
        /// The capture and its answer.
        line: Line,
    },
}

/// The check that a move is said to give.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum CheckKind {
    /// A check.
    Plain,
    /// By two pieces.
    Double,
    /// By a piece whose line was opened.
    Discovered,
}

/// Why a piece is not pinned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "pin", rename_all = "kebab-case")]
pub enum NotPinned {
    /// There is no such piece.
    NoPiece,
    /// It is pinned otherwise.
    Otherwise {
        /// The piece.
        man: Man,
        /// What it is pinned to.
        behind: Man,
        /// By what.
        by: Man,
    },
    /// It is a king.
    King {
        /// A move of it.
        free: Option<Line>,
    },
    /// No rook, bishop or queen attacks it.
    NotAttacked {
        /// The piece.
        man: Man,
        /// A move of it.
        free: Option<Line>,
    },
    /// Nothing of worth stands behind it.
    NothingBehind {
        /// The piece.
        man: Man,
        /// What attacks it.
        by: Man,
        /// A move of it.
        free: Option<Line>,
    },
}
