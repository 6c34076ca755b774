//! The languages that are read. What belongs to one language stands in its file in `lang/`: its
//! words, by sets, and its phrase patterns. `build.rs` makes tables of them.

mod data;
mod make;
mod tables;

pub(crate) use self::data::{Counted, Data, Endings};
pub(crate) use self::make::{goods, pawn_feature};
use crate::pattern::Phrase;
use crate::tongue::Tongue;

/// The claims that phrases make, in the order in which the patterns of all languages count them.
pub(crate) static PHRASES: &[Phrase] = tables::PHRASES;

impl Tongue {
    /// Its words and patterns.
    pub(crate) fn data(self) -> &'static Data {
        match self {
            Self::English => &tables::ENGLISH,
            Self::German => &tables::GERMAN,
            Self::Spanish => &tables::SPANISH,
            Self::French => &tables::FRENCH,
            Self::Russian => &tables::RUSSIAN,
        }
    }
}
