//! The named pictures of mate.

/// A named picture of mate.
///
/// The names are the trade's; most are collected in Renaud and Kahn, *The Art of the
/// Checkmate*, 1953, and Vuković, *The Art of Attack in Chess*, 1965 (both from memory);
/// where neither has one it is common practice, no source. Definitions are permissive:
/// they hold the features without which nobody would use the name, so that a claim
/// fails only when the picture is clearly another. A position may match several.
///
/// In every definition *covers* means: attacks a square next to the king that no man of
/// the king's side holds, the king thought away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MatingPattern {
    /// Rook or queen checks along the edge rank on which the king stands.
    BackRank,
    /// A lone knight checks and the king's own men hold every square around it, one at
    /// most excepted.
    Smothered,
    /// A knight checks, own men hold two squares or more, and a bishop or queen covers
    /// a square on a diagonal.
    Suffocation,
    /// King in the corner, checked by a rook; a knight defends the rook or covers.
    Arabian,
    /// King on the edge, checked along that edge by rook or queen; a knight covers, and
    /// an own man holds the square next to the king off the edge.
    Anastasia,
    /// A bishop checks, another bishop covers on a diagonal of the other direction, and
    /// an own man holds a square.
    Boden,
    /// Bishops check and cover: one checks, another covers.
    DoubleBishop,
    /// Rook or queen checks, and men stand on both sides of the king in a row; usually both
    /// are its own.
    Epaulette,
    /// A rook next to the king checks, a knight defends it, a pawn defends the knight or
    /// covers, and an own man holds a square.
    Hook,
    /// A queen diagonally next to the king checks; of the two squares she does not reach
    /// at least one is held by an own man.
    Dovetail,
    /// A queen straight next to the king checks; the two squares diagonally behind it,
    /// which she does not reach, are held by own men, one at least.
    SwallowTail,
    /// King on the edge, checked along it by rook or queen; another rook or queen on the
    /// next line covers.
    Ladder,
    /// Rook or queen checks; it and another rook or queen stand on the seventh rank, or
    /// stood there but for the last step to the eighth.
    BlindSwine,
    /// Rook or queen checks along a file or rank from afar; own men or the enemy leave
    /// the king only that line, an own man holding a square.
    Corridor,
    /// A queen next to the king checks, a pawn defends her.
    Damiano,
    /// A queen next to the king checks, a bishop defends her.
    DamianoBishop,
    /// King near its own home square is mated by minor pieces: a knight or bishop checks,
    /// knights and bishops alone cover, both kinds take part.
    Legal,
    /// Rook or queen straight next to the king checks, a bishop defends it.
    Opera,
    /// King in the corner or next to it, checked along the edge by rook or queen; a
    /// bishop covers, an own man holds a square.
    Greco,
    /// A queen straight in front of the king checks, a pawn on the sixth rank defends her.
    Lolli,
    /// A bishop checks, another bishop covers, a knight defends or covers.
    Blackburne,
    /// A bishop diagonally next to the king checks, a rook or queen defends it, own men
    /// hold two squares or more.
    Reti,
    /// A queen next to the king checks, a rook on the same line defends her.
    Triangle,
    /// A rook next to the king checks, a queen defends it and covers.
    KillBox,
    /// A queen next to the king checks, any man defends her.
    Support,
    /// King on the edge, usually in the corner, checked by a knight; a rook or queen
    /// covers.
    Corner,
    /// A queen next to the king on the edge checks, a bishop defends her.
    MaxLange,
    /// A rook checks, a bishop covers.
    Pillsbury,
    /// A bishop checks, a rook or queen covers, an own man holds a square.
    Morphy,
    /// Rook or queen next to the king checks along its back rank, a pawn, bishop or king
    /// defends it.
    Anderssen,
    /// A rook next to the king on the edge checks, a bishop defends it.
    Mayet,
    /// A rook next to the king on the edge checks, something defends it, a knight covers
    /// two squares in front of the king.
    Vukovic,
    /// A bishop checks, a queen covers, and no rook takes part.
    Balestra,
    /// A pawn checks and mates.
    Pawn,
    /// A knight checks, another knight covers.
    TwoKnights,
    /// A queen on f7 (f2) next to the king on its home square mates, a bishop defends her.
    Scholars,
    /// The queen mates on the short diagonal h5-e8 (h4-e1), not next to the king.
    Fools,
    /// Two pieces check at once.
    DoubleCheck,
    /// Rook or queen checks along the edge, the mating king stands opposite and covers.
    Opposition,
    /// Castling gives mate. The board does not show the move, so this holds when a rook on
    /// the d-file or f-file checks beside its own castled king.
    Castling,
}

impl MatingPattern {
    /// Every pattern.
    pub const ALL: [Self; 40] = [
        Self::BackRank,
        Self::Smothered,
        Self::Suffocation,
        Self::Arabian,
        Self::Anastasia,
        Self::Boden,
        Self::DoubleBishop,
        Self::Epaulette,
        Self::Hook,
        Self::Dovetail,
        Self::SwallowTail,
        Self::Ladder,
        Self::BlindSwine,
        Self::Corridor,
        Self::Damiano,
        Self::DamianoBishop,
        Self::Legal,
        Self::Opera,
        Self::Greco,
        Self::Lolli,
        Self::Blackburne,
        Self::Reti,
        Self::Triangle,
        Self::KillBox,
        Self::Support,
        Self::Corner,
        Self::MaxLange,
        Self::Pillsbury,
        Self::Morphy,
        Self::Anderssen,
        Self::Mayet,
        Self::Vukovic,
        Self::Balestra,
        Self::Pawn,
        Self::TwoKnights,
        Self::Scholars,
        Self::Fools,
        Self::DoubleCheck,
        Self::Opposition,
        Self::Castling,
    ];
}
