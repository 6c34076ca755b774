//! Phrases of moves that are forced and lines that fail.

use crate::claim::Mood;
use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    // ---- only moves ----
    Phrase::new("only one? legal move|reply|answer|response; one|single legal move|reply|answer; only N? move @is legal; no other legal move; no other move @is legal|possible", make::only_legal).affirmed(),
    Phrase::new("only move|reply|answer|response|continuation|choice; only sensible|good|reasonable|playable move; no choice; no other move|choice|option; only sensible|good|reasonable|playable|real alternative|choice|option|reply|answer|try", make::only_sensible).affirmed(),
    Phrase::new(
        "only square|squares for|of PIECE; only free|safe|available|remaining|legal|good|possible square|squares for|of PIECE; PIECE 's only square|squares; \
         PIECE @has only one|a? single? free|safe|legal|good|available? square",
        make::only_square,
    )
    .inside(),
    Phrase::new(
        "only square for|of PIECE @is SQUARE; only free|safe|available|remaining|legal|good|possible square for|of PIECE @is SQUARE; \
         PIECE 's only square @is SQUARE; SQUARE @is only square for|of PIECE",
        make::square_is,
    )
    .inside(),
    Phrase::new("PIECE must|shall go|move|retreat|step|run to SQUARE; PIECE has|have to? go|move|retreat|step|run to SQUARE; PIECE @is forced to SQUARE", make::must_go).inside(),
    Phrase::new("PIECE @has one square only; PIECE @has but|just one square", make::only_square).inside(),
    Phrase::new("only square|squares; only free|safe|available|remaining|legal|good|possible square|squares; only flight|escape square?", make::only_square),
    Phrase::new("@is forced; practically|virtually forced; forced move|reply; forced", make::only_forced),
    Phrase::new("LINE @is|@was forced|necessary|compulsory after|by LINE; LINE @is|@was only move|reply|answer|response|defence|defense after|to LINE", make::only_forced).first(),
    Phrase::new("@has to take|recapture|capture back? @with PIECE; must|should take|recapture|capture back? @with PIECE; had to take|recapture|capture back? @with PIECE", make::take_with).inside().affirmed(),
    Phrase::new("PIECE @has to be taken|accepted|captured; PIECE must be taken|accepted|captured; PIECE had to be taken|accepted|captured", make::must_be_taken).inside().affirmed(),
    Phrase::new("@has to be taken|captured|recaptured; must be taken|captured|recaptured; had to be taken|captured|recaptured", make::must_be_taken).affirmed(),
    Phrase::new("had to be played", make::only_forced).mood(Mood::Hedged),
    Phrase::nothing("forced line|sequence|variation|play|to|win|draw|matters|exchange|exchanges|liquidation|manoeuvre|off|back|into|by|him|her|through; @has forced"),
    Phrase::new("only @defence; only way to @avoid|@save; only chance to @avoid|@save; only move|reply to @avoid|@save; only way of @avoid; only LINE @save; only LINE", make::only_defence),
    Phrase::new("only LINE @avoid mate|checkmate|this|it; only LINE @avoid the? mate|checkmate|threat; only @defence @is|@was LINE; only way to @avoid|@save|stop|meet? mate|this|that|it? @is|@was LINE; only chance|hope @is|@was LINE; LINE @is|@was only @defence", make::only_defence).shown(),
    Phrase::new("only @defence to|against LINE @is|@was LINE; only move|reply|answer|response to|after|against LINE @is|@was LINE", make::only_defence).shown(),
    Phrase::new("only winning move|way|try|continuation; only move|way to win; only way of winning", make::only_win),
    Phrase::new("only legal|possible move|reply|answer|response @is|@was LINE; only LINE @is|@was legal|possible; LINE @is|@was only legal move|reply|answer|response", make::only_legal).shown(),
    Phrase::new("only move|reply|answer|response|continuation @is|@was LINE", make::only_sensible).affirmed().shown(),
    Phrase::new("only LINE wins; only winning move|way|try @is|@was LINE; LINE alone wins; only LINE @is|@was winning; LINE @is|@was only winning move|way; LINE @is|@was only move|way to win; LINE @is|@was only move that|which wins", make::only_win).shown(),
    Phrase::new("only LINE @mates; LINE alone @mates; only LINE @is|@was mate; LINE @is|@was only mate; LINE @is|@was only move|way to mate; LINE @is|@was only move that|which @mates", make::only_mate).shown(),
    Phrase::new("only|exactly|precisely|merely? N legal move|moves|reply|replies|answers|responses", make::legal_moves),
    Phrase::nothing("one legal move at a? time; more|fewer|less than N legal move|moves; at least|most N legal move|moves; over|under|nearly|around|some N legal moves; N or N legal moves"),
    Phrase::new("no legal? moves|move; not a? single? legal? move; cannot move", make::no_move).affirmed(),
    // ---- refutations ----
    Phrase::new(
        "LINE @fails to|because|after|owing|due|on LINE; LINE @loses to LINE; LINE @is|@was refuted|punished by|with LINE; \
         LINE @fails because of LINE; LINE runs|ran into LINE; LINE because of LINE; LINE on account of LINE; LINE due|owing to LINE; LINE in view of LINE; \
         LINE loses|lost because of LINE; LINE allows|permits LINE; LINE does|did not|n't work because|due|owing of|to? LINE; \
         LINE @is|@was? @bad because|due|owing of|to? LINE; LINE @is|@was? @bad in view of LINE; LINE @is|@was? @bad on account of LINE; LINE walks|walked into LINE;  \
         LINE no good because|due of|to? LINE",
        make::refuted,
    )
    .affirmed(),
    Phrase::new(
        "@fails to|because|after LINE; @loses to LINE; @is|@was refuted|punished by|with LINE; @fails because of LINE; \
         runs|ran|running into LINE; because of LINE; on account of LINE; due|owing to LINE; in view of LINE; loses|lost because of LINE; \
         does|did not work because|due|owing of|to? LINE; doesn't|didn't work because|due|owing of|to? LINE; walks|walked|walking into LINE",
        make::refuted,
    )
    .affirmed(),
    Phrase::new(
        "LINE @is|@was @answered by|with LINE; LINE can|could|would|will be @answered by|with LINE; to LINE SIDE replies|answers LINE; @is|@was @answered by|with LINE; \
         can|could|would|will be @answered by|with LINE; LINE meets LINE; LINE SIDE answers|replies @with LINE",
        make::answered,
    )
    .affirmed(),
    Phrase::new("LINE loses; LINE @loses at? once|quickly|immediately; LINE doesn't|didn't work; LINE @is|@was refuted; LINE fails; LINE @is|@was losing; this|that|which|move loses at? once|quickly|immediately?; this|that|line|variation|idea doesn't|didn't work; this|that|line|variation|idea|it does|did not work; \
         @is|@was refuted by?; @loses to both|all|either|any|anything", make::loses).affirmed(),
];
