//! The languages that are read. Everything that belongs to one language stands in its
//! file or folder: its words, by sets, and its phrase patterns.

mod data;
mod de;
mod en;
mod es;
mod make;

pub(crate) use self::data::{Counted, Data};
pub(crate) use self::make::{goods, pawn_feature};
use crate::tongue::Tongue;

impl Tongue {
    /// Its words and patterns.
    pub(crate) const fn data(self) -> &'static Data {
        match self {
            Self::English => &en::DATA,
            Self::German => &de::DATA,
            Self::Spanish => &es::DATA,
        }
    }
}
