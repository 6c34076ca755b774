//! Values of positions.

use std::cmp::Ordering;
use std::fmt;

/// How good a position is for the side to move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Value {
    /// An estimate in hundredths of a pawn.
    Centipawns(i32),
    /// The side to move mates in so many of its own moves (at least 1).
    Mates(u32),
    /// The side to move is mated in so many of its own moves; 0 when it is mate now.
    Mated(u32),
}

/// Scores at or beyond this distance from mate are mates in so many plies.
pub(super) const MATE: i32 = 30_000;
/// No search goes deeper than this many plies.
pub(super) const DEEPEST: usize = 96;
/// Scores beyond this bound mean mate.
pub(super) const MATE_BOUND: i32 = MATE - 512;

impl Value {
    /// From the search's scores: centipawns, or [`MATE`] less the plies to mate.
    pub(super) const fn from_score(score: i32) -> Self {
        if score >= MATE_BOUND {
            Self::Mates(((MATE - score + 1) / 2).unsigned_abs())
        } else if score <= -MATE_BOUND {
            Self::Mated(((MATE + score) / 2).unsigned_abs())
        } else {
            Self::Centipawns(score)
        }
    }

    /// One number that orders values, in centipawns; mates lie beyond 29,000.
    #[must_use]
    pub fn centipawns(self) -> i32 {
        let mate = |moves: u32| MATE - 2 * i32::try_from(moves.min(255)).unwrap_or(255);
        match self {
            Self::Centipawns(value) => value.clamp(-MATE_BOUND, MATE_BOUND),
            Self::Mates(moves) => mate(moves) + 1,
            Self::Mated(moves) => -mate(moves),
        }
    }

    /// The same value as the other side sees it.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Centipawns(value) => Self::Centipawns(-value),
            Self::Mates(moves) => Self::Mated(moves),
            Self::Mated(moves) => Self::Mates(moves),
        }
    }

    /// Whether it is a mate for either side.
    #[must_use]
    pub const fn is_mate(self) -> bool {
        !matches!(self, Self::Centipawns(_))
    }
}

impl PartialOrd for Value {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Value {
    fn cmp(&self, other: &Self) -> Ordering {
        self.centipawns().cmp(&other.centipawns())
    }
}

impl fmt::Display for Value {
    /// Pawns with a sign and two decimals, or `#3` and `#-3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Centipawns(value) => {
                let sign = if value < 0 { '-' } else { '+' };
                let size = value.unsigned_abs();
                write!(f, "{sign}{}.{:02}", size / 100, size % 100)
            }
            Self::Mates(moves) => write!(f, "#{moves}"),
            Self::Mated(moves) => write!(f, "#-{moves}"),
        }
    }
}
