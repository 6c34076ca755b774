//! The places in patterns that are filled from the text.

/// A place in a pattern that is filled from the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slot {
    Number,
    Ordinal,
    Line,
    Piece,
    Targets,
    Square,
    File,
    Side,
}

impl Slot {
    pub(crate) const COUNT: usize = 8;

    /// The slot that patterns call by this name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        Some(match name {
            "N" => Self::Number,
            "ORD" => Self::Ordinal,
            "LINE" => Self::Line,
            "PIECE" => Self::Piece,
            "TARGETS" => Self::Targets,
            "SQUARE" => Self::Square,
            "FILE" => Self::File,
            "SIDE" => Self::Side,
            _ => return None,
        })
    }

    /// About how often something is there that fills it, as [`KnownWord::frequency`].
    pub(crate) const fn frequency(self) -> u32 {
        match self {
            Self::File => 5,
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
