//! What can be wrong with a written proof.

use thiserror::Error;

/// Why a proof was rejected. Lines are counted from 1.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum VerifyError {
    /// A line is missing or not what it must be.
    #[error("line {line}: {expected} expected; the file is damaged or not a proof of mate")]
    Form {
        /// The line.
        line: usize,
        /// What it should hold.
        expected: &'static str,
    },
    /// The text does not match its check digits.
    #[error("the check digits do not match the text; the file was changed or damaged")]
    Digits,
    /// The position cannot be set up.
    #[error("line 2: the position cannot be set up: {reason}")]
    Position {
        /// What is wrong with it.
        reason: String,
    },
    /// A move is illegal.
    #[error("line {line}: {uci} is not a legal move there")]
    Illegal {
        /// The line.
        line: usize,
        /// The move in UCI notation.
        uci: String,
    },
    /// The number of answers differs from the number of legal replies.
    #[error("line {line}: {legal} legal replies, {answered} answers")]
    Replies {
        /// The line.
        line: usize,
        /// Legal replies.
        legal: usize,
        /// Answers given.
        answered: usize,
    },
    /// The defender has neither a legal reply nor is he in check.
    #[error("line {line}: that is stalemate, not mate")]
    Stalemate {
        /// The line.
        line: usize,
    },
    /// An answer that should mate does not.
    #[error("line {line}: {uci} does not mate after {reply}")]
    NoMate {
        /// The line.
        line: usize,
        /// The reply.
        reply: String,
        /// The answer.
        uci: String,
    },
    /// An answer names a line that does not exist or does not come later.
    #[error("line {line}: answer {number} is not the number of a later line")]
    Reference {
        /// The line.
        line: usize,
        /// The number.
        number: String,
    },
    /// Two ways lead to one line with different positions.
    #[error("line {line}: reached with two different positions")]
    Conflict {
        /// The line.
        line: usize,
    },
    /// No way leads to a line.
    #[error("line {line}: nothing leads to it")]
    Unreached {
        /// The line.
        line: usize,
    },
    /// The fifty-move rule ends a line before it mates.
    #[error("line {line}: drawn by the fifty-move rule before the mate")]
    FiftyMoves {
        /// The line.
        line: usize,
    },
    /// The proof needs more or fewer moves than it says.
    #[error("line 3: {said} moves claimed, {needed} needed")]
    Length {
        /// What the text says.
        said: u32,
        /// What the longest line needs.
        needed: u32,
    },
}
