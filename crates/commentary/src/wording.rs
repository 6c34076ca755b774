//! What the very words of a claim add to its kind.

/// What a word adds to a claim that holds it. Which words do stands in the data of each
/// language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Nuance {
    /// "a", "an": any such piece may be meant.
    Any,
    /// "no", "neither".
    No,
    /// "only", "merely", "nothing".
    Merely,
    /// "legal", "free", "available": meant to the letter.
    Literal,
    /// "strategically", "practically": not meant to the letter.
    Loosely,
    /// "was", "had".
    Told,
    /// "opens", "gets": true in the end.
    Becomes,
    /// "back", of what was won or lost before.
    Back,
    /// "with".
    With,
    /// "in", of a king in check.
    Within,
    /// "castling", what is done or could be.
    Castling,
    /// "can", "may".
    Able,
    /// "mate", "mates".
    Mate,
    /// "checkmate", which is there.
    Checkmate,
    /// "mated": the side that is spoken of lost.
    Mated,
    /// "lost", "forfeited".
    Lost,
    /// "trapped", "squares".
    Trapped,
    /// "dominated".
    Dominated,
    /// "hangs".
    Hangs,
    /// "loose", which is said of badly defended pieces too.
    Loose,
    /// "is", "being".
    Being,
    /// "that", "this": one that was spoken of.
    Pointing,
    /// "конь", "der": of one that acts, and on which nothing is done.
    Subject,
    /// "коня", "den": of one that does nothing.
    Object,
    /// `+-`, `!?`: a sign in place of words.
    Sign,
}

/// What all words of a claim add to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Wording {
    any: u32,
    first: u32,
}

impl Nuance {
    /// Its bit in a word's sense.
    pub(crate) const fn bit(self) -> u32 {
        1 << self as u32
    }
}

impl Wording {
    /// Of what is said by a sign.
    pub const SIGN: Self = Self::word(Nuance::Sign.bit());

    /// Whether any word adds this.
    #[must_use]
    pub const fn has(self, nuance: Nuance) -> bool {
        self.any & nuance.bit() != 0
    }

    /// Whether the first word does.
    #[must_use]
    pub const fn begins(self, nuance: Nuance) -> bool {
        self.first & nuance.bit() != 0
    }

    /// The wording of one word, by its bits.
    pub(crate) const fn word(bits: u32) -> Self {
        Self {
            any: bits,
            first: bits,
        }
    }

    /// With more words behind.
    pub(crate) const fn and(self, behind: Self) -> Self {
        Self {
            any: self.any | behind.any,
            first: self.first,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_word_counts_by_itself() {
        let lost = Wording::word(Nuance::Lost.bit());
        let back = Wording::word(Nuance::Back.bit());
        let both = lost.and(back);
        assert!(both.has(Nuance::Lost) && both.has(Nuance::Back));
        assert!(both.begins(Nuance::Lost) && !both.begins(Nuance::Back));
        assert!(!both.has(Nuance::With));
    }
}
