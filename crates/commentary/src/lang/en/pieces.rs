//! Phrases of pieces at work.

use crate::lang::make;
use crate::pattern::Phrase;

pub(super) const PHRASES: &[Phrase] = &[
    // "Being hit by the queen", "pinned by the bishop": these act and do not suffer.
    Phrase::nothing("@attacks|@pins|@forks|@skewers|pinned|forked|trapped by PIECE; under the? control of PIECE"),
    Phrase::new("PIECE @is|stands|stood|sits|remains on|at SQUARE; PIECE sitting|standing|posted|placed|stationed|entrenched|perched on|at SQUARE; \
         on SQUARE there? stands|sits PIECE; SQUARE @is|@was occupied by PIECE", make::stands).inside(),
    Phrase::new("SIDE @has PIECE; SIDE @has planted|placed|stationed|posted PIECE", make::has_on_square).picky().inside(),
    Phrase::new("@attacks TARGETS; attack|attacks on TARGETS; attack|attacks against TARGETS; attack|attacks upon TARGETS; pressure on|against TARGETS; bears|bearing down on TARGETS; aims|aiming|aimed at TARGETS; trained on TARGETS; takes aim at TARGETS", make::attacks),
    Phrase::new("TARGETS @is|@was attacked|hit|threatened; TARGETS @is|@was not|no longer|yet? attacked|hit|threatened; TARGETS @is|@was not|no longer|yet? under attack; TARGETS @is|@was under attack|fire; TARGETS @is|@was attacked by PIECE; TARGETS comes|come under attack; TARGETS @is|@was being? attacked by PIECE; TARGETS @is|@was under attack|fire from|by PIECE; TARGETS @is|@was being attacked; TARGETS finds|find itself? attacked|hit by PIECE", make::attacked).inside(),
    Phrase::new("TARGETS @is|@was attacked|hit|threatened by nothing|nobody|noone; nothing|nobody attacks TARGETS", make::attacked).inside().denied(),
    Phrase::new("@defends TARGETS", make::defends),
    Phrase::new("TARGETS @is|@was defended|protected|guarded; TARGETS @is|@was not|no|never longer|yet? defended|protected|guarded; TARGETS @is|@was defended|protected|guarded|covered by PIECE", make::defended).inside(),
    Phrase::new("TARGETS @is|@was undefended|unprotected|unguarded|loose; TARGETS has|have no defender|defenders|protection; TARGETS lacks|lack protection; TARGETS stands|stood undefended|unprotected|unguarded; @leaves TARGETS undefended|unprotected|unguarded; nothing|nobody defends|protects|guards TARGETS; TARGETS has|have no protection", make::loose).inside().affirmed(),
    Phrase::new("TARGETS has|have|enjoys|enjoy protection|support|backing of|from PIECE", make::defended).inside(),
    Phrase::nothing("TARGETS hangs|hang on|by|around|over|about"),
    Phrase::new("TARGETS @is|@was hanging; TARGETS hangs|hang; TARGETS @is|@was en prise; @leaves TARGETS hanging; @leaves TARGETS en prise; hangs|hanging TARGETS; TARGETS can|could be taken|captured for|with free|impunity; \
         TARGETS @is|@was there? for the? taking; TARGETS @is|@was free for the? taking; TARGETS @is|@was up for grabs", make::hanging).inside(),
    Phrase::new("TARGETS can|could be taken|captured for nothing", make::hanging).inside().affirmed(),
    Phrase::new("@controls TARGETS; @controls square|squares TARGETS; watches over TARGETS; @has TARGETS under control; control of|over TARGETS; watches|watching TARGETS; keeps an? eye on TARGETS; takes away TARGETS; takes TARGETS from|away", make::controls),
    Phrase::new("@pins TARGETS", make::pins),
    // "White suffers from the pin on the knight": who pins is not said.
    Phrase::new("pin on|against TARGETS", make::pinned).nobody(),
    Phrase::new("pinned TARGETS", make::pins).past(),
    // "With the knight pinned the bishop is free."
    Phrase::nothing("@having PIECE pinned TARGETS"),
    Phrase::new("@pins PIECE to|against PIECE", make::pinned_to),
    Phrase::new("pinned PIECE to|against PIECE", make::pinned_to).past(),
    Phrase::new("TARGETS @is|@was pinned to|against TARGETS; TARGETS @is|@was no longer pinned to|against TARGETS; TARGETS @is|@was pinned down? on TARGETS", make::pinned_to).inside(),
    Phrase::new("TARGETS @is|@was pinned; TARGETS @is|@was no longer pinned; TARGETS @is|@was not yet? pinned; TARGETS @is|@was pinned by PIECE; TARGETS @is|@was in a? pin; TARGETS @is|@was|stands|stood in an? absolute? pin; TARGETS @is|@was nailed down by PIECE", make::pinned).inside(),
    Phrase::new("@forks TARGETS; fork of|on PIECE; fork of TARGETS; forking TARGETS", make::forks),
    Phrase::new("forked TARGETS", make::forks).past(),
    Phrase::new("TARGETS @is|@was forked by PIECE; TARGETS @is|@was forked", make::forks).inside(),
    Phrase::new("TARGETS @is|@was skewered by PIECE; TARGETS @is|@was skewered", make::skewers).inside(),
    Phrase::new("TARGETS @is|@was controlled by PIECE; SQUARE @is|@was covered|guarded|watched by PIECE", make::controls).inside(),
    Phrase::new("fork on|at SQUARE; knight fork on|at SQUARE", make::fork_on),
    Phrase::new("@skewers TARGETS; skewer of|on TARGETS", make::skewers),
    Phrase::new("@give check; with check; @is|@was check; @is|@was not|no longer? check; checks|checking the? PIECE", make::checks),
    Phrase::new("double check", make::double_check),
    Phrase::new("discovered check", make::discovered_check),
    Phrase::new("discovered|uncovered attack; discovered|uncovered attack on|against TARGETS; @uncovers an? attack on TARGETS", make::discovered_attack),
    Phrase::new("trapped TARGETS", make::trapped).inside().affirmed().past(),
    Phrase::new("TARGETS @is|@was trapped; traps|trapping TARGETS; TARGETS has|have no squares|escape|retreat|exit; TARGETS has|have no way out; TARGETS @has been trapped; TARGETS cannot|can't escape; TARGETS @is|@was dominated; TARGETS @is|@was dominated by PIECE; dominates|dominating PIECE", make::trapped).inside().affirmed(),
    // Behind what, and whether for good, is another matter.
    Phrase::nothing("TARGETS @is|@was trapped behind|between|among|inside"),
    Phrase::new("TARGETS @is|@was overloaded|overworked|overburdened", make::overloaded).inside(),
    Phrase::new("blocks|blocked|blocking|blockades|blockaded|blockading|obstructs|obstructing TARGETS; stands in front of TARGETS; shuts|shutting off|out|in TARGETS; in the way of TARGETS", make::blocks),
    Phrase::new("TARGETS @is|@was? blocked|blockaded|obstructed by PIECE", make::blocked).inside(),
    Phrase::new("x ray|rays|raying TARGETS; xrays|xray|xraying TARGETS; x ray attack|pressure on|against TARGETS; xray attack|pressure on|against TARGETS", make::x_rays),
    Phrase::new("TARGETS cannot|can't|couldn't be taken|captured|touched; TARGETS can|could never be taken|captured|touched; TARGETS @is|@was immune|untouchable|taboo|poisoned|invulnerable; TARGETS must|may|could not be taken|captured", make::immune).inside().affirmed(),
    Phrase::new("TARGETS cannot|can't|couldn't move; TARGETS @is|@was immobile|paralysed|paralyzed; TARGETS cannot|can't leave the? corner|rank|square|spot; TARGETS @has no moves|move; \
         TARGETS @is|@was stuck in the? corner", make::immobile).inside().affirmed(),
];
