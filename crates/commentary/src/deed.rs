//! What a move did, told in words.

use shakmaty::{Role, Square};

use crate::noun::Noun;

/// What a move is said to have done: "Black has just taken the queen", "White recaptures with
/// the knight".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Deed {
    /// What was done.
    pub act: Act,
    /// The piece that did it, where the phrase names it besides its subject.
    pub actor: Option<Noun>,
    /// What was taken, where said.
    pub victim: Option<Noun>,
    /// The square on which it was done, where said beside the pieces.
    pub on: Option<Square>,
    /// Of which move it is told.
    pub when: When,
}

/// What a move does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Act {
    /// It captures.
    Takes,
    /// It captures where a capture was made by the move before.
    Retakes,
    /// It goes to a square.
    Goes,
    /// It is the double step of a pawn.
    Doubles,
}

/// Of which move something is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum When {
    /// "takes": the move that the text stands behind, or one that it proposes.
    Now,
    /// "has just taken", "the last move took": the last move.
    Just,
    /// "took", "has taken": any move so far.
    Ever,
}

/// Who can take: back where the move that is told of took ("nobody can recapture", "only the king
/// can take back"), where it went ("the king cannot take it"), or something that is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Retake {
    /// The pieces that are said to be able, or not able.
    pub by: [Option<Noun>; 2],
    /// Whether they are.
    pub able: Able,
    /// What they take, where it is said.
    pub victim: Option<Noun>,
    /// The square, where it is said.
    pub on: Option<Square>,
    /// Whether they take back.
    pub again: bool,
}

/// Whether pieces can take back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Able {
    /// They can.
    Can,
    /// They can, and nothing else can.
    Alone,
    /// None of them can; without pieces, nothing can.
    None,
}

/// An exchange that the move makes or offers: "trades queens", "offers to swap the knight for the
/// bishop".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Trade {
    /// What the mover gives.
    pub own: Role,
    /// What the mover gets.
    pub other: Role,
    /// Where they are said to stand.
    pub on: [Option<Square>; 2],
    /// Whether it is only offered.
    pub offered: bool,
}

/// What was exchanged so far: "no pawn has been exchanged", "one pair of knights has been traded".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Exchanged {
    /// Which men.
    pub men: Men,
    /// How many pairs; `None` where some are meant, and zero where none are.
    pub pairs: Option<u8>,
    /// Whether what only one side has lost counts: "nothing has been captured".
    pub one_sided: bool,
}

/// Men of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Men {
    /// All of them.
    All,
    /// All but the pawns.
    Pieces,
    /// Those of one role.
    Role(Role),
}

/// What happens for the first time in the game with the move that is told of: "the first capture
/// of the game".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum First {
    /// A capture.
    Capture,
    /// A check.
    Check,
    /// An exchange that the second capture on a square ends.
    Exchange,
}
