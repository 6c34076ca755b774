//! What stands beside the words that are offered, and those of the trade.

/// Beside the number of a move.
pub(crate) const NUMBER: &str = "the number of this move";
/// Beside a name that the file has already.
pub(crate) const KNOWN: &str = "in this file";
/// Beside a square.
pub(crate) const SQUARE: &str = "square";

/// Words of the trade (common practice, no source).
pub(crate) const TRADE: &[&str] = &[
    "bishop",
    "check",
    "double attack",
    "kingside",
    "knight",
    "mate in",
    "only move",
    "passed pawn",
    "pinned",
    "queenside",
    "stalemate",
    "threatens",
    "threatens mate in",
    "zugzwang",
];
