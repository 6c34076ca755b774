//! What mates are called.

/// The name of a mate, as the trade has it; the pictures that they stand for are told by who
/// knows boards. Which words are which name stands in the data of each language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MateName {
    /// "back-rank mate"
    BackRank,
    /// "smothered mate"
    Smothered,
    /// "suffocation mate"
    Suffocation,
    /// "Arabian mate"
    Arabian,
    /// "Anastasia's mate"
    Anastasia,
    /// "Boden's mate"
    Boden,
    /// "double-bishop mate"
    DoubleBishop,
    /// "epaulette mate"
    Epaulette,
    /// "hook mate"
    Hook,
    /// "dovetail mate"
    Dovetail,
    /// "swallow-tail mate"
    SwallowTail,
    /// "ladder mate"
    Ladder,
    /// "blind-swine mate"
    BlindSwine,
    /// "corridor mate"
    Corridor,
    /// "Damiano's mate"
    Damiano,
    /// "Damiano's bishop mate"
    DamianoBishop,
    /// "Légal's mate"
    Legal,
    /// "opera mate"
    Opera,
    /// "Greco's mate"
    Greco,
    /// "Lolli's mate"
    Lolli,
    /// "Blackburne's mate"
    Blackburne,
    /// "Réti's mate"
    Reti,
    /// "triangle mate"
    Triangle,
    /// "kill-box mate"
    KillBox,
    /// "support mate"
    Support,
    /// "corner mate"
    Corner,
    /// "Max Lange's mate"
    MaxLange,
    /// "Pillsbury's mate"
    Pillsbury,
    /// "Morphy's mate"
    Morphy,
    /// "Anderssen's mate"
    Anderssen,
    /// "Mayet's mate"
    Mayet,
    /// "Vuković's mate"
    Vukovic,
    /// "Balestra mate"
    Balestra,
    /// "pawn mate"
    Pawn,
    /// "two-knights mate"
    TwoKnights,
    /// "scholar's mate"
    Scholars,
    /// "fool's mate"
    Fools,
    /// "double-check mate"
    DoubleCheck,
    /// "opposition mate"
    Opposition,
    /// "castling mate"
    Castling,
}
