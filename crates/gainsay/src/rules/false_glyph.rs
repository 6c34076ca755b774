use crate::{Severity, rule::rule};

rule! {
    /// A glyph or a word praises a move that loses at once, or blames one that mates.
    ///
    /// Praise and blame are opinions, so they are doubted only where nobody could argue: `?`, `??` or "a
    /// blunder" on a move that mates, forces mate in two, or is the only legal one; `!`, `!!` or "the
    /// best move" on a move that allows a mate in two which another move avoids.
    ///
    /// ```pgn before
    /// 1. f3 e5 2. g4! Qh4# 0-1
    /// ```
    ///
    /// ```pgn after
    /// 1. f3 e5 2. g4? Qh4# 0-1
    /// ```
    RULE = "false-glyph", Severity::Warning
}
