//! What a move did, told in words.

use shakmaty::Square;

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
