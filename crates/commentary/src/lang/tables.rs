//! The tables that `build.rs` makes of the files in `lang/`.

use shakmaty::Role;

use super::data::{Counted, Data, Endings, SetWords};
use super::make;
use crate::claim::{Mood, Polarity, Tense};
use crate::mate_name::MateName;
use crate::pattern::{ElementText, PatternText, Phrase, Tie, Who};
use crate::sense::Adjectives;
use crate::slot::Slot;
use crate::wording::Nuance;

include!(concat!(env!("OUT_DIR"), "/lang.rs"));
