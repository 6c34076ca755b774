use crate::{Severity, rule::rule};

rule! {
    /// A line cited in a comment cannot be played.
    ///
    /// Cited lines are played from the comment's position, from the one before its move, from
    /// any ply of a line cited before it, from the game, and after a pass. The rule speaks
    /// only where the line's number says that it starts at the comment or in a line cited
    /// before it, and no start lets it be played.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 {Threatens the pawn. Not 2...Nf6 3.Bxe5.} Nc6 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 {Threatens the pawn. Not 2...Nf6 3.Nxe5.} Nc6 *
    /// ```
    RULE = "unplayable-line", Severity::Error
}
