//! Phrases of material.

use crate::claim::Mood;
use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new("SIDE @has only|just? PIECE left; SIDE @has only|just? PIECE left on the? board; SIDE @is|@was left with only|just? PIECE; SIDE @has PIECE remaining", make::left).picky().inside(),
    Phrase::new("both sides|players @has PIECE left; each side|player has|had PIECE left; each side|player has|had PIECE remaining", make::both_left).picky(),
    Phrase::new(
        "PIECE up|ahead|more|plus; up PIECE; PIECE to the good; ahead by PIECE",
        make::up,
    ),
    Phrase::new(
        "PIECE down|behind|less|minus|short|fewer; down PIECE; PIECE to the bad; behind by PIECE",
        make::down,
    ),
    Phrase::new(
        "PIECE and|plus PIECE up|ahead|more|extra; up PIECE and|plus PIECE",
        make::up_both,
    ),
    Phrase::new(
        "PIECE and|plus PIECE down|behind|less; down PIECE and|plus PIECE",
        make::down_both,
    ),
    Phrase::new(
        "PIECE up|ahead for PIECE; @has PIECE for PIECE; @has PIECE against PIECE; @is PIECE up for PIECE",
        make::for_goods,
    ),
    Phrase::new(
        "PIECE down|behind for PIECE; @is PIECE down|behind for PIECE",
        make::goods_given,
    ),
    // "A pawn short of a centre", "a piece short in the attack"
    Phrase::nothing("PIECE short|fewer of|in|to|for|on|from"),
    // "A bishop for the rook and a pawn more"
    Phrase::nothing("for|against PIECE and|plus PIECE up|ahead|more|extra|down|behind|less"),
    // Who has it for what is not said, or it is only offered.
    Phrase::new("PIECE for PIECE", make::for_goods).mood(Mood::Hedged),
    Phrase::new(
        "exchange up|ahead|plus; up exchange; extra exchange",
        make::exchange_up,
    ),
    Phrase::new(
        "exchange down|behind|less|minus; down exchange",
        make::exchange_down,
    ),
    Phrase::new(
        "exchange up|ahead? for PIECE; exchange for PIECE",
        make::exchange_for,
    ),
    Phrase::new("exchange down|behind for PIECE", make::for_exchange),
    Phrase::new(
        "@has PIECE for exchange; @is PIECE up|ahead for exchange",
        make::for_exchange,
    ),
    Phrase::new(
        "material|forces|pieces @is|@was level|equal|even|balanced; level|equal|even material; material equality; materially equal|level|even; material balance @is|@was level|equal|even; materially game|position @is|@was level|equal|even|balanced; material parity; both sides|players @has the? same material; @has the? same material",
        make::material_level,
    ),
    Phrase::new(
        "material up|ahead|plus; up material; extra material; up a? lot|lots of? material; @has a? material advantage|edge|superiority; material advantage|superiority; ahead on|in material",
        make::material_up,
    ),
    Phrase::new(
        "material down|behind|less; down material; down a? lot|lots of? material; material disadvantage; behind on|in material",
        make::material_down,
    ),
    Phrase::new(
        "@win PIECE; @win back PIECE; @win N PIECE; and @win PIECE",
        make::wins_goods,
    ),
    Phrase::new(
        "free PIECE; @win free PIECE",
        make::wins_goods,
    )
    .mood(Mood::Hedged),
    Phrase::new(
        "PIECE falls|fall; PIECE will|must fall; PIECE @has to fall; PIECE @is going|about to fall; PIECE has|have fallen; PIECE fell; PIECE drops|drop off?; \
         PIECE will|must drop off?; PIECE @is|@was doomed; PIECE will be lost; PIECE can|could not|never be saved|held|defended; \
         PIECE cannot|can't|couldn't be saved|held|defended; PIECE can|could no longer be saved|held|defended; \
         either PIECE or PIECE falls|drops; either PIECE or PIECE will|must fall|drop; PIECE or PIECE falls|drops; PIECE or PIECE will|must fall|drop",
        make::falls,
    )
    .inside()
    .affirmed()
    .mood(Mood::Hedged),
    Phrase::nothing(
        "PIECE falls|fall|drops|drop back|into|in|for|under|behind|short|over|asleep|out|down|upon|on|silent|quiet; PIECE will|must fall|drop back|into|in|for|under|behind; \
         PIECE @is|@was lost in|on|for|without|to|if|unless; PIECE can|could never be saved|held|defended by",
    ),
    Phrase::new(
        "offers|offer|offered|offering PIECE; offers|offer|offered|offering up PIECE",
        make::gives_goods,
    )
    .mood(Mood::Hedged),
    Phrase::new(
        "offers|offer|offered|offering exchange; offers|offer|offered|offering exchange sacrifice|sac",
        make::gives_exchange,
    )
    .mood(Mood::Hedged),
    Phrase::nothing("offers|offer|offered|offering exchange of|on|in|into; offers|offer|offered|offering PIECE trade|swap|exchange|protection|support|cover"),
    Phrase::new("@win exchange", make::wins_exchange),
    Phrase::new("@win material", make::wins_material),
    Phrase::new("@lose PIECE", make::loses_goods),
    Phrase::new(
        "PIECE @is|@was lost; PIECE @is|@was lost by SIDE; PIECE has|have|had been lost",
        make::piece_lost,
    )
    .inside(),
    Phrase::new(
        "PIECE @is|@was won; PIECE has|have|had been won",
        make::piece_won,
    )
    .inside(),
    Phrase::new(
        "exchange @is|@was lost; exchange has been lost",
        make::loses_exchange,
    ),
    Phrase::new("@lose exchange", make::loses_exchange),
    Phrase::new("@lose material", make::loses_material),
    Phrase::new(
        "returns PIECE; @givenup up|back|away PIECE; @givenup PIECE up|back|away; @sacs PIECE",
        make::gives_goods,
    ),
    Phrase::new(
        "@givenup up|back exchange; @sacs exchange",
        make::gives_exchange,
    ),
    Phrase::new("@takenup up PIECE; @takenup off PIECE", make::wins_goods),
    Phrase::nothing(
        "@upverb up PIECE; @upverb PIECE up; @upverb up exchange; rather|other than giving up PIECE; instead of giving up PIECE",
    ),
];
