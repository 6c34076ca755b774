use crate::{Severity, rule::rule};

rule! {
    /// The text points at a move that the game does not have.
    ///
    /// "See the note to move 40" in a game of thirty moves sends the reader nowhere, and so
    /// does "White's 4th move, 4.Ba4," where White played another. Where the text names
    /// another game or a diagram, the move may be found there, and nothing is said.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {See the note to move 12.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {See the note to move 1.} 3. Bb5 *
    /// ```
    RULE = "lost-reference", Severity::Warning
}
