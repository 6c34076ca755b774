//! The places in patterns that are filled from the text.

/// Slots in one pattern, at most; `build.rs` takes no pattern with more.
pub(crate) const MOST_SLOTS: usize = 5;

/// A place in a pattern that is filled from the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slot {
    Number,
    Ordinal,
    /// How often: "twice", "three times".
    Times,
    Line,
    Piece,
    Targets,
    Square,
    File,
    Side,
}

impl Slot {
    pub(crate) const COUNT: usize = 9;

    /// About how often something is there that fills it, where a rare word counts 1.
    pub(crate) const fn frequency(self) -> u32 {
        match self {
            Self::File | Self::Times => 5,
            Self::Number | Self::Ordinal => 10,
            Self::Square => 20,
            Self::Line => 40,
            Self::Piece | Self::Targets | Self::Side => 80,
        }
    }

    pub(crate) const fn bit(self) -> u128 {
        1 << self as u32
    }
}
