//! Phrases of threats.

use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    Phrase::new(
        "@threat mate|checkmate; @threat of mate|checkmate; @threat to mate|checkmate; @threat @is|@was mate|checkmate; \
         mate|checkmate @is|@was @threat; @threat a? @mates? mate|checkmate; mate threat|threats; mating threat; \
         @threat mate|checkmate @with LINE",
        make::mate_threat,
    )
    .shown(),
    Phrase::new(
        "@threat mate|checkmate on? SQUARE; @threat of mate|checkmate on SQUARE; @threat to mate|checkmate on SQUARE; mate threat on SQUARE; \
         mate|checkmate on SQUARE @is|@was @threat; @threat @is|@was mate|checkmate on SQUARE",
        make::mate_threat_on,
    )
    .shown(),
    Phrase::new("@threat mate|checkmate next move; @threat mate|checkmate at once; @threat immediate mate|checkmate; @threat of immediate mate|checkmate", make::mate_threat_next),
    Phrase::new(
        "@threat mate|checkmate in N @move?; @threat of mate|checkmate in N @move?; @threat to mate|checkmate in N @move?; \
         @threat a mate|checkmate in N @move?; @threat mate|checkmate in N @move? @with LINE",
        make::mate_threat,
    )
    .shown(),
    Phrase::new(
        "@threat LINE; @threat @is|@was LINE; @threat of LINE; @threat to? play|push|continue|go|advance LINE; @threat @is|@was to? play|push|continue|go|advance @with? LINE; LINE @is|@was @threat; \
         LINE @is|@was a? threat; with the? threat of LINE; @threat @with LINE",
        make::threat_line,
    )
    .shown(),
    Phrase::new("no @defence to|against LINE; no @defence to|against the? threat of LINE; nothing to be? done against LINE; \
         LINE cannot|can't be @avoid; LINE cannot|can't be met; LINE can no longer be @avoid; no way to|of @avoid LINE; nothing @avoid LINE; nothing can @avoid LINE; LINE @is unstoppable|unavoidable|inevitable", make::threat_line)
        .affirmed()
        .nobody()
        .shown(),
    Phrase::new("@threat TARGETS; @threat to @take TARGETS; @threat @is|@was to @take TARGETS; @threat the? capture of TARGETS; @threat to TARGETS", make::threat_targets),
    Phrase::new("@threat to @win PIECE; @threat the? win of PIECE; @threat @is|@was to @win PIECE; @threat the? loss of PIECE", make::threat_gain),
    Phrase::new("@threat to @forks TARGETS; @threat a? fork of|on|at TARGETS; @threat of a? fork of|on|at TARGETS; @threat @is|@was to @forks TARGETS; \
         @threat to? @give? a? knight fork of|on|at TARGETS; @threat @is|@was a? knight? fork of|on|at TARGETS; @threat of a? knight fork of|on|at TARGETS; \
         @threat to @forks PIECE and|plus PIECE on|at SQUARE; @threat a? fork on|at SQUARE", make::threat_fork).shown(),
    Phrase::new("@threat to @pins TARGETS; @threat a? pin of|on|against TARGETS; @threat @is|@was to @pins TARGETS", make::threat_pin).shown(),
    Phrase::new("@threat to @skewers TARGETS; @threat a? skewer of TARGETS; @threat @is|@was to @skewers TARGETS", make::threat_skewer).shown(),
    Phrase::new("@threat to trap TARGETS; @threat @is|@was to trap TARGETS", make::threat_trap).shown(),
    Phrase::new("@threat to @attacks TARGETS; @threat @is|@was to @attacks TARGETS", make::threat_attack).shown(),
    Phrase::new("@threat to @win exchange", make::threat_exchange),
    Phrase::new("@threat to @win material", make::threat_material),
    Phrase::new("no|nothing|without @threat; @threat nothing; no real|serious|more|immediate @threat", make::threat_any).denied(),
];
