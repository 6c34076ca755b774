//! Features of the pawn skeleton and of the placement of the pieces.

use shakmaty::{CastlingSide, File, Role, Square};

use crate::noun::{Noun, Owner, Traits};

/// A feature with all that is said of it: where, whose, and how often it is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Structure {
    /// The feature.
    pub feature: Feature,
    /// The file it is about.
    pub file: Option<File>,
    /// The square it is about.
    pub square: Option<Square>,
    /// The wing it is on.
    pub wing: Option<CastlingSide>,
    /// Whose feature it is, where said.
    pub owner: Owner,
    /// Whether the phrase itself says whose it is ("White's outpost", "Black has"), so that
    /// no other side can be meant.
    pub owned: bool,
    /// Whether both sides are said to have it.
    pub both: bool,
    /// How many there are, where said ("two passed pawns").
    pub count: Option<u8>,
    /// Whether there are no more of them ("the only open file").
    pub only: bool,
}

impl Structure {
    /// The feature, wherever and whosever it is.
    #[must_use]
    pub const fn new(feature: Feature) -> Self {
        Self {
            feature,
            file: None,
            square: None,
            wing: None,
            owner: Owner::Anyone,
            owned: false,
            both: false,
            count: None,
            only: false,
        }
    }

    /// The same of a piece or pawn as it is named.
    #[must_use]
    pub const fn of(self, noun: &Noun) -> Self {
        Self {
            file: noun.file,
            square: noun.square,
            owner: noun.owner,
            owned: matches!(noun.owner, Owner::Side(_)),
            count: noun.count,
            ..self
        }
    }
}

/// Features of structure and placement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Feature {
    /// A file without pawns.
    OpenFile,
    /// A file without pawns of one side.
    HalfOpenFile,
    /// A file with pawns of both sides.
    ClosedFile,
    /// A pawn that no enemy pawn can stop.
    PassedPawn,
    /// Two passed pawns on neighbouring files.
    ConnectedPassedPawns,
    /// A pawn without neighbours.
    IsolatedPawn,
    /// Two pawns on a file.
    DoubledPawns,
    /// Three pawns on a file.
    TripledPawns,
    /// A pawn that stayed behind.
    BackwardPawn,
    /// More pawns on the queen's side.
    QueensideMajority,
    /// More pawns on the king's side.
    KingsideMajority,
    /// More pawns in the centre.
    CentralMajority,
    /// Pawns without others beside them on either hand.
    PawnIslands,
    /// A rook on the seventh rank, seen from its side.
    RookOnSeventh,
    /// Two rooks on the seventh rank.
    RooksOnSeventh,
    /// A knight where no pawn can chase it.
    Outpost,
    /// One bishop each, on squares of different colour.
    OppositeBishops,
    /// One bishop each, on squares of the same colour.
    SameBishops,
    /// Two bishops.
    BishopPair,
    /// The side may still castle, on the wing where one is said, or on two of them.
    CastlingRights,
    /// The side can castle, now or later, on the wing where one is said, or on two of them.
    CastlingNext,
    /// The side has castled, on this wing where one is said.
    Castled(Option<CastlingSide>),
    /// Both sides have castled, on the wing where one is said.
    BothCastled,
    /// Both sides have castled, on the same wing.
    CastledAlike,
    /// Both sides have castled, on opposite wings.
    CastledApart,
    /// The king stands in the corner.
    KingInCorner,
    /// A pawn of which several adjectives are true at once ("an isolated doubled pawn").
    Pawn(Traits),
    /// En passant is possible.
    EnPassant,
    /// A pawn may be promoted by the next move.
    PromotionNext,
    /// The queens are off the board.
    QueensOff,
    /// A pawn ending, rook ending and so on: besides kings and pawns there are only
    /// pieces of this kind.
    Ending(Option<Role>),
    /// A pawn cannot be kept from promotion.
    Promotes,
}
