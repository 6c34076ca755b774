//! Phrases of mate.

use crate::claim::Mood;
use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    // ---- mate ----
    // "Black mated in two" may be said of either side.
    Phrase::new("@mated in N @move?", make::mate_in).nobody(),
    Phrase::new(
        "@force? mate|checkmate in N @move?; @force a? @mates? mate in N @move?; @mates in N @move?; mating in N @move?; \
         mate|checkmate on? N @move later; mate|checkmate within N @move?; @give mate|checkmate in N @move?; \
         mate|checkmate in just|only N @move?; mate|checkmate in another N @move?",
        make::mate_in,
    ),
    Phrase::new(
        "mate|checkmate in at most N @move?; @mates in at most N @move?; mate|checkmate in N @move? at most; \
         mate|checkmate in no more than N @move?; mate|checkmate in N @move? at the? latest; \
         mate|checkmate in N or N @move?",
        make::mate_at_most,
    )
    .affirmed(),
    Phrase::new(
        "@is|@has @mated in N @move?; @is|@has himself|herself|themselves @mated in N @move?",
        make::mate_in,
    )
    .victim(),
    Phrase::new(
        "@is|@has @mated next move; @is|@has @mated on the? next move",
        make::mate_next,
    )
    .victim(),
    Phrase::new("N @move? mate", make::mate_in).mood(Mood::Hedged),
    Phrase::new("mate|checkmate in N @move? for SIDE", make::mate_in).inside(),
    Phrase::new(
        "SIDE has|have|had? walk|walks|walked|walking|run|runs|ran|running|stumbles|stumbled|step|steps|stepped|stepping|fall|falls|fell|fallen|falling|blunders|blundered|blundering straight|right? into a? forced? mate|checkmate in N @move?; \
         SIDE has|have|had? walk|walks|walked|walking|run|runs|ran|running|stumbles|stumbled|step|steps|stepped|stepping|fall|falls|fell|fallen|falling|blunders|blundered|blundering straight|right? into a? forced? N @move mate|checkmate; SIDE @loses to a? mate|checkmate in N @move?; \
         SIDE allows|allowed|permits|permitted a? mate|checkmate in N @move?; SIDE allows|allowed|permits|permitted a? N @move mate|checkmate",
        make::mate_in,
    )
    .sufferer(),
    Phrase::new("SIDE can|may mate|checkmate; SIDE @is able to mate|checkmate", make::mate_forced).inside(),
    Phrase::new(
        "there @is no mate|checkmate; there @is no @forced mate|checkmate; there @is not a? mate|checkmate; SIDE @has no mate|checkmate; SIDE @has no @forced mate|checkmate; \
         SIDE does|do not|n't have a? mate|checkmate; SIDE does|do not|n't have a? @forced mate|checkmate; SIDE doesn't|don't have a? mate|checkmate; SIDE doesn't|don't have a? @forced mate|checkmate; \
         there @is no mate|checkmate in N @move?; SIDE @has no mate|checkmate in N @move?",
        make::no_mate,
    )
    .inside()
    .affirmed(),
    Phrase::nothing(
        "there @is no @forced? mate|checkmate threat|threats|net|danger|attack|after|with|by|for|on|yet|any|anymore|to; there @is no longer a? mate|checkmate; \
         SIDE @has no @forced? mate|checkmate threat|threats|net|after|with|by|on|any|anymore|to",
    ),
    Phrase::new(
        "mate|checkmate in N @with LINE; mate|checkmate in N @move @with LINE; mate|checkmate in N @move? beginning|starting with LINE",
        make::mate_in,
    )
    .shown(),
    Phrase::new(
        "mate|checkmate next move; @mates next move; mate|checkmate on the? next move; @mates on the? next move; \
         mate|checkmate 's|is coming next move; mate|checkmate @follows next move; mate|checkmate @follows on the? next move; \
         mate|checkmate the next move; mate at the next move; mate|checkmate @is next",
        make::mate_next,
    ),
    Phrase::new(
        "@forced mate|checkmate; mate|checkmate @is @forced; mate|checkmate @follows; mate|checkmate soon|shortly|quickly @follows; \
         mate|checkmate @is @follows; @force mate|checkmate; @force to mate|checkmate; mate|checkmate by force; @mates by force; \
         mate|checkmate @is only? a? matter of time; @mates; quick mate|checkmate; mate|checkmate to|will follow; \
         mate|checkmate soon|shortly|quickly; mate|checkmate on? SQUARE @follows; @mates on SQUARE; @force @mated",
        make::mate_forced,
    ),
    Phrase::new("@is @mated; @has been @mated", make::mate_now).victim(),
    // What the mate is called is read besides.
    Phrase::new("@force @matename 's? mate|checkmate; @force back rank mate|checkmate", make::mate_forced),
    Phrase::new("@give @matename 's? mate|checkmate; @give back rank mate|checkmate", make::mate_now),
    Phrase::new("@threat @matename 's? mate|checkmate; @threat back rank mate|checkmate; @threat of @matename 's? mate|checkmate; @threat of back rank mate|checkmate; @threat @is|@was @matename 's? mate|checkmate; @threat @is|@was back rank mate|checkmate", make::mate_threat).mood(Mood::Hedged).shown(),
    Phrase::new("@is|@has @mated by force; @has @mated soon|shortly|quickly?; will be @mated", make::mate_forced).victim(),
    Phrase::new(
        "no @defence to|against mate|checkmate; no @defence to|against the threat of mate|checkmate; \
         no @avoid the? mate|checkmate; no way to @avoid mate|checkmate; no way of @avoid mate|checkmate; \
         cannot|can't @avoid mate|checkmate; mate|checkmate cannot|can't be @avoid; mate|checkmate can no longer be @avoid; \
         unable to @avoid mate|checkmate; nothing can @avoid mate|checkmate; no escape from mate|checkmate; nothing @avoid mate|checkmate",
        make::mate_forced,
    )
    .affirmed()
    .nobody(),
    Phrase::new(
        "@is a? mate|checkmate; @is not|no|never a? mate|checkmate; @is mate|checkmate @with LINE; @give mate|checkmate; @was a? mate|checkmate; mate|checkmate",
        make::mate_now,
    ),
    Phrase::new("but not mate|checkmate; check not mate|checkmate", make::mate_now).denied(),
    // Less firm: the mate may come later.
    Phrase::new("@with a? mate|checkmate; and mate|checkmate", make::mate_now).mood(Mood::Hedged),
    Phrase::new("mate|checkmate with|by|on LINE; @mates|mate|checkmate @with LINE", make::mate_now).shown(),
    Phrase::new("@is @mated by|with LINE", make::mate_now).victim().shown(),
    // "24.Qg4 is mate in a few moves" is no mate yet.
    Phrase::nothing("@is? a? mate|checkmate in; mate|checkmate in sight"),
    // What is stopped was threatened.
    Phrase::new(
        "@avoid the? mate|checkmate; @avoid the? mate|checkmate on SQUARE; guards|guarding|guarded against mate|checkmate; \
         @avoid the? mate|checkmate threat|threats; @avoid the? @matename mate|checkmate; @avoid the? back rank mate|checkmate",
        make::mate_threat,
    )
    .mood(Mood::Prevented),
    // ---- named mates ----
    Phrase::naming("back|eighth|last|bottom|first|seventh rank mate|checkmate; back row mate|checkmate; swallow 's? tail mate|checkmate; @matename 's? mate|checkmate;  \
         philidor 's mate|checkmate; blind swine|pigs mate; kill box mate; max lange 's? mate; kiss of death mate; dove tail mate; lawn mower mate;  \
         scholar|fool|cozio|lange|schoolboy|lucena 's mate|checkmate; double check mate; criss cross mate; rook roller mate; opera house mate;  \
         philidor 's legacy mate; damiano 's bishop mate; pawn mate; two|double bishop|bishops mate; two|double knight|knights mate; two rook|rooks mate;  \
         queen and bishop mate; king and rook mate; legal|legall 's? mate|checkmate; mate|checkmate on the? back rank; @mates|mated on the? back rank"),
];
