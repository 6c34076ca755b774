use crate::{Severity, rule::rule};

rule! {
    /// A piece is said to stand where no such piece ever stands in the game.
    ///
    /// "The bishop on d6", "the e5-pawn", "Black's f6-knight". The positions around the
    /// comment, of the lines it cites, and of the whole game are looked at.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on d6 is well placed.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {The knight on c6 is well placed.} 3. Bb5 *
    /// ```
    RULE = "false-piece", Severity::Error
}
