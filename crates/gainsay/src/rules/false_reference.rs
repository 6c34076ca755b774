use crate::{Severity, rule::rule};

rule! {
    /// What the text tells of another game is not true there.
    ///
    /// "In game 3 White castled long" is looked up in game 3: moves, castling, results, how
    /// and when the game ended, and whether a position occurred there. Games are known by
    /// the numbers that the author gives them, in a tag, a comment before the first move or a
    /// heading, or by the rounds of a match. Where the numbers leave a doubt, nothing is said.
    ///
    /// ```pgn before
    /// [Event "Game 1"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0
    ///
    /// [Event "Game 2"]
    ///
    /// 1. e4 e5 2. Qh5 {In game 1 White mated on move 5.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// [Event "Game 1"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0
    ///
    /// [Event "Game 2"]
    ///
    /// 1. e4 e5 2. Qh5 {In game 1 White mated on move 4.} Nc6 *
    /// ```
    RULE = "false-reference", Severity::Error
}
