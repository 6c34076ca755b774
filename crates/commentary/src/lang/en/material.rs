//! Phrases of material.

use crate::Mood;
use crate::lang::{Rule, make};

pub(super) const RULES: &[Rule] = &[
    Rule::new(
        "PIECE up|ahead|more|plus; up PIECE; PIECE to the good",
        make::up,
    ),
    Rule::new("PIECE down|behind|less|minus; down PIECE", make::down),
    Rule::new(
        "PIECE and|plus PIECE up|ahead|more|extra; up PIECE and|plus PIECE",
        make::up_both,
    ),
    Rule::new(
        "PIECE and|plus PIECE down|behind|less; down PIECE and|plus PIECE",
        make::down_both,
    ),
    Rule::new(
        "PIECE up|ahead|down for PIECE; @has PIECE for PIECE; @has PIECE against PIECE; @is PIECE up|down for PIECE",
        make::for_goods,
    ),
    // "A bishop for the rook and a pawn more"
    Rule::nothing("for|against PIECE and|plus PIECE up|ahead|more|extra|down|behind|less"),
    // Who has it for what is not said, or it is only offered.
    Rule::new("PIECE for PIECE", make::for_goods).mood(Mood::Hedged),
    Rule::new(
        "exchange up|ahead|plus; up exchange; extra exchange",
        make::exchange_up,
    ),
    Rule::new(
        "exchange down|behind|less|minus; down exchange",
        make::exchange_down,
    ),
    Rule::new(
        "exchange up|ahead|down? for PIECE; exchange for PIECE",
        make::exchange_for,
    ),
    Rule::new(
        "@has PIECE for exchange; @is PIECE up|ahead for exchange",
        make::for_exchange,
    ),
    Rule::new(
        "material|forces|pieces @is|@was level|equal|even|balanced; level|equal|even material; material equality; materially equal|level|even; material balance; material parity",
        make::material_level,
    ),
    Rule::new(
        "material up|ahead|plus; up material; @has a? material advantage|edge|superiority; material advantage|superiority; ahead on|in material",
        make::material_up,
    ),
    Rule::new(
        "material down|behind|less; down material; material disadvantage; behind on|in material",
        make::material_down,
    ),
    Rule::new(
        "@win PIECE; @win back PIECE; @win N PIECE; and @win PIECE",
        make::wins_goods,
    ),
    Rule::new("@win exchange", make::wins_exchange),
    Rule::new("@win material", make::wins_material),
    Rule::new("@lose PIECE", make::loses_goods),
    Rule::new("@lose exchange", make::loses_exchange),
    Rule::new("@lose material", make::loses_material),
    Rule::new(
        "returns PIECE; @givenup up|back|away PIECE; @givenup PIECE up|back|away; @sacs PIECE",
        make::gives_goods,
    ),
    Rule::new(
        "@givenup up|back exchange; @sacs exchange",
        make::gives_exchange,
    ),
    Rule::new("@takenup up PIECE; @takenup off PIECE", make::wins_goods),
    Rule::nothing(
        "@upverb up PIECE; @upverb PIECE up; @upverb up exchange; rather|other than giving up PIECE; instead of giving up PIECE",
    ),
];
