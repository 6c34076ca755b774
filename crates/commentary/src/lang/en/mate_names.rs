//! What mates are called.

use crate::mate_name::MateName;

/// The names, without "mate", with the others for the same after `;`. A hyphen is a space, and
/// an 's can be left out.
pub(super) const MATE_NAMES: &[(MateName, &str)] = &[
    (
        MateName::BackRank,
        "back rank; backrank; back row; first rank; eighth rank; last rank; bottom rank",
    ),
    (
        MateName::Smothered,
        "smothered; smother; smothering; philidor's; philidor's legacy; lucena's",
    ),
    (
        MateName::Suffocation,
        "suffocation; suffocated; suffocating",
    ),
    (MateName::Arabian, "arabian; arab"),
    (MateName::Anastasia, "anastasia's"),
    (MateName::Boden, "boden's; criss cross; crisscross"),
    (
        MateName::DoubleBishop,
        "double bishop; two bishop; two bishops",
    ),
    (
        MateName::Epaulette,
        "epaulette; epaulet; epaulettes; epaulets",
    ),
    (MateName::Hook, "hook"),
    (MateName::Dovetail, "dovetail; dove tail; cozio's"),
    (
        MateName::SwallowTail,
        "swallow's tail; swallowtail; gueridon",
    ),
    (
        MateName::Ladder,
        "ladder; lawnmower; lawn mower; staircase; rolling; rook roller; two rook; two rooks",
    ),
    (
        MateName::BlindSwine,
        "blind swine; blind pigs; two rooks on the seventh; seventh rank",
    ),
    (MateName::Corridor, "corridor; hallway"),
    (MateName::Damiano, "damiano's"),
    (
        MateName::DamianoBishop,
        "damiano's bishop; queen and bishop",
    ),
    (MateName::Legal, "légal's; legall's"),
    (MateName::Opera, "opera; opera house"),
    (MateName::Greco, "greco's"),
    (MateName::Lolli, "lolli's"),
    (MateName::Blackburne, "blackburne's"),
    (MateName::Reti, "réti's"),
    (MateName::Triangle, "triangle; triangular"),
    (MateName::KillBox, "kill box; killbox; box"),
    (
        MateName::Support,
        "support; supported; kiss of death; helper; helpmate queen",
    ),
    (MateName::Corner, "corner"),
    (MateName::MaxLange, "max lange's; lange's"),
    (MateName::Pillsbury, "pillsbury's"),
    (MateName::Morphy, "morphy's"),
    (MateName::Anderssen, "anderssen's; h file"),
    (MateName::Mayet, "mayet's"),
    (MateName::Vukovic, "vukovic's; vuković's"),
    (MateName::Balestra, "balestra; crossbow"),
    (MateName::Pawn, "pawn; david and goliath"),
    (MateName::TwoKnights, "two knights; double knight; knights"),
    (
        MateName::Scholars,
        "scholar's; scholars; four move; schoolboy's",
    ),
    (MateName::Fools, "fool's; fools; two move"),
    (MateName::DoubleCheck, "double check"),
    (
        MateName::Opposition,
        "opposition; king and rook; rook and king",
    ),
    (MateName::Castling, "castling; castles; castle"),
];
