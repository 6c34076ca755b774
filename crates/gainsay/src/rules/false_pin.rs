use crate::{Severity, rule::rule};

rule! {
    /// A pin that the text speaks of is not on the board.
    ///
    /// Pins to the king and to any other piece count, and pins by any piece that the text may
    /// mean. The rule speaks only where no such pin stands within eight plies of the comment,
    /// in a line it cites, or after any move from its position.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {Black's queen is pinned.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 d6 3. Bb5+ Nc6 {Black's knight is pinned.} 4. O-O *
    /// ```
    RULE = "false-pin", Severity::Warning
}
