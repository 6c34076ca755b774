//! Other games that prose points at, and what it tells of them.

use gainsay_notation::Span;

/// Another game, as it is pointed at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct OtherGame {
    /// Which game.
    pub which: Which,
    /// Where its number stands.
    pub number: Span,
    /// The last words of the names of its players, where they stand beside it ("game 3
    /// (Lind–Moreau)"). Who is named first has White by custom.
    pub players: Option<[Span; 2]>,
    /// On which side of here it is said to stand.
    pub way: Option<SaidWay>,
    /// Whether the passage speaks of a match, a tournament or the like, whose games have
    /// numbers too.
    pub contest: bool,
}

/// Which of the games is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Which {
    /// "game 3"
    Number(u32),
    /// "the previous game"
    Previous,
    /// "the next game"
    Next,
}

/// A side of the place where the words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// "game 3 above"
    Above,
    /// "game 3 below"
    Below,
}

/// A side of the place where the words stand, as it is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct SaidWay {
    /// The side.
    pub way: Way,
    /// Where its word stands.
    pub span: Span,
    /// The word for the other side in the same language.
    pub other: &'static str,
}

/// How a claim is told of another game.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Attribution {
    /// Next to the pointer, so that nothing else can be meant: "in game 3 White castled
    /// long".
    Plainly,
    /// In the same sentence.
    Loosely,
}

/// How this or another game ended, as it is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct GameEnd {
    /// What happened; the claim's subject did it.
    pub how: Ended,
    /// The number of the last move, where it is told.
    pub moves: Option<u32>,
}

/// Ways for a game to end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ended {
    /// "White won"
    Won,
    /// "White lost", "White resigned"
    Lost,
    /// "ended in a draw"
    Drawn,
    /// "White mated"
    Mated,
    /// "lasted 32 moves"
    Lasted,
}
