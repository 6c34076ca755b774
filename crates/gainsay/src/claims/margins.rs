//! From when on a judgement is plain, and what it may cost.

/// A judgement costs at most so many nodes: more seldom changes it.
pub(super) const JUDGEMENT: u64 = 120_000;

/// A search that confirms a failure is so many times larger than the one that found it.
pub(super) const LARGER: u64 = 3;

/// What the searches cost together that call a position level.
pub(super) const LEVEL_NODES: u64 = JUDGEMENT / 4 + JUDGEMENT + 3 * JUDGEMENT;

/// From here on a side is winning, in centipawns; the margin comes on top.
pub(super) const WON: i32 = 200;

/// A first search of fewer nodes sees too little.
pub(super) const FIRST: u64 = 10_000;

/// By how much a short search must pass a bound to decide alone, in centipawns.
pub(super) const CLEARLY: i32 = 70;

/// A move that is called better or best must be ahead by so much, in centipawns.
pub(super) const LEAD: i32 = 33;

/// A move that is called better or best is clearly worse if it is behind by so much.
pub(super) const FAR: i32 = 250;

/// A move that costs so much more than the best is a blunder.
pub(super) const BLUNDER: i32 = 150;
