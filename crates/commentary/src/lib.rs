//! Reads annotators' prose into typed claims. Nothing here knows a position.
//!
//! ```text
//! bytes ─▶ tokens ─▶ chunks ─▶ Prose { moves, lines, claims }
//!          words,     lines,    what is claimed, of whom, how real it is meant,
//!          moves      pieces    and which cited line it leans on
//! ```
//!
//! Everything that belongs to one language, its words and its phrase patterns, is data:
//! a file in `lang/`, of which `build.rs` makes tables. Reading is linear in the text, does not recurse on it and
//! never panics.

mod chunk;
mod chunks;
mod claim;
#[allow(dead_code, unused_imports)] // `build.rs` asks for more of it.
#[cfg(test)]
#[path = "../data/mod.rs"]
mod data;
mod deed;
mod entry;
mod frame;
mod key;
mod kind;
mod label;
mod lang;
mod lexicon;
mod mate_name;
mod names;
mod noun;
mod number;
mod other_game;
mod pattern;
mod presence;
mod read;
mod sense;
mod set;
mod slot;
mod structure;
mod token;
mod tongue;
mod wording;
mod write;

pub use claim::{
    At, CitedLine, CitedMove, Claim, Extent, Joint, LineRole, Mood, Polarity, Prose, Subject,
    Tense, UnreadSentence,
};
pub use deed::{Able, Act, Deed, Exchanged, First, Men, Retake, Trade, When};
pub use kind::{
    Bearing, ClaimKind, Coming, Count, Draw, Flight, Goods, Mate, Material, NamedMate, OnlyMove,
    Passing, Pawns, Quality, Reference, Refutation, Relation, Shade, Standing, Stipulation, Target,
    Threat,
};
pub use label::{game_number, may_point_at_game, titled_game};
pub use mate_name::MateName;
pub use names::Names;
pub use noun::{Noun, Owner, Traits};
pub use number::{CountedNoun, NumberForm, WrittenNumber};
pub use other_game::{Attribution, Ended, GameEnd, OtherGame, SaidWay, Way, Which};
pub use read::{Context, Reader, read};
pub use structure::{Feature, Structure};
pub use tongue::Tongue;
pub use wording::{Nuance, Wording};
