//! What the patterns are called.

use super::MatingPattern;

/// Every pattern with its name and its other names, in lower case and without "mate".
pub(super) const NAMES: &[(MatingPattern, &str, &[&str])] = &[
    (
        MatingPattern::BackRank,
        "back-rank",
        &[
            "back rank",
            "backrank",
            "back-row",
            "first-rank",
            "eighth-rank",
            "last-rank",
            "bottom-rank",
        ],
    ),
    (
        MatingPattern::Smothered,
        "smothered",
        &[
            "smother",
            "smothering",
            "philidor's",
            "philidor's legacy",
            "lucena's",
        ],
    ),
    (
        MatingPattern::Suffocation,
        "suffocation",
        &["suffocated", "suffocating"],
    ),
    (MatingPattern::Arabian, "Arabian", &["arab"]),
    (MatingPattern::Anastasia, "Anastasia's", &["anastasia"]),
    (
        MatingPattern::Boden,
        "Boden's",
        &["boden", "criss-cross", "crisscross"],
    ),
    (
        MatingPattern::DoubleBishop,
        "double-bishop",
        &["two-bishop", "two-bishops", "double bishop", "two bishops"],
    ),
    (
        MatingPattern::Epaulette,
        "epaulette",
        &["epaulet", "epaulettes", "epaulets"],
    ),
    (MatingPattern::Hook, "hook", &[]),
    (
        MatingPattern::Dovetail,
        "dovetail",
        &["dove-tail", "cozio's", "cozio"],
    ),
    (
        MatingPattern::SwallowTail,
        "swallow-tail",
        &[
            "swallow's tail",
            "swallowtail",
            "swallow tail",
            "gueridon",
            "guéridon",
        ],
    ),
    (
        MatingPattern::Ladder,
        "ladder",
        &[
            "lawnmower",
            "lawn-mower",
            "staircase",
            "rolling",
            "rook-roller",
            "two-rook",
            "two-rooks",
        ],
    ),
    (
        MatingPattern::BlindSwine,
        "blind-swine",
        &[
            "blind swine",
            "blind pigs",
            "two rooks on the seventh",
            "seventh-rank",
        ],
    ),
    (MatingPattern::Corridor, "corridor", &["hallway"]),
    (MatingPattern::Damiano, "Damiano's", &["damiano"]),
    (
        MatingPattern::DamianoBishop,
        "Damiano's bishop",
        &["damiano's bishop's", "queen-and-bishop", "queen and bishop"],
    ),
    (
        MatingPattern::Legal,
        "Légal's",
        &["legal's", "legal", "légal", "legall's", "legall"],
    ),
    (MatingPattern::Opera, "opera", &["opera-house"]),
    (MatingPattern::Greco, "Greco's", &["greco"]),
    (MatingPattern::Lolli, "Lolli's", &["lolli"]),
    (MatingPattern::Blackburne, "Blackburne's", &["blackburne"]),
    (MatingPattern::Reti, "Réti's", &["reti's", "reti", "réti"]),
    (MatingPattern::Triangle, "triangle", &["triangular"]),
    (
        MatingPattern::KillBox,
        "kill-box",
        &["kill box", "killbox", "box"],
    ),
    (
        MatingPattern::Support,
        "support",
        &[
            "supported",
            "kiss-of-death",
            "kiss of death",
            "helper",
            "helpmate queen",
        ],
    ),
    (MatingPattern::Corner, "corner", &[]),
    (
        MatingPattern::MaxLange,
        "Max Lange's",
        &["max lange", "lange's"],
    ),
    (MatingPattern::Pillsbury, "Pillsbury's", &["pillsbury"]),
    (MatingPattern::Morphy, "Morphy's", &["morphy"]),
    (
        MatingPattern::Anderssen,
        "Anderssen's",
        &["anderssen", "h-file"],
    ),
    (MatingPattern::Mayet, "Mayet's", &["mayet"]),
    (
        MatingPattern::Vukovic,
        "Vuković's",
        &["vukovic's", "vukovic", "vuković"],
    ),
    (
        MatingPattern::Balestra,
        "Balestra",
        &["balestra's", "crossbow"],
    ),
    (MatingPattern::Pawn, "pawn", &["david and goliath"]),
    (
        MatingPattern::TwoKnights,
        "two-knights",
        &["two knights", "double-knight", "knights"],
    ),
    (
        MatingPattern::Scholars,
        "scholar's",
        &["scholars", "scholars'", "four-move", "schoolboy's"],
    ),
    (
        MatingPattern::Fools,
        "fool's",
        &["fools", "fools'", "two-move"],
    ),
    (
        MatingPattern::DoubleCheck,
        "double-check",
        &["double check"],
    ),
    (
        MatingPattern::Opposition,
        "opposition",
        &["king-and-rook", "rook-and-king"],
    ),
    (MatingPattern::Castling, "castling", &["castles", "castle"]),
];
