//! How distances to mate are stored, and what can be wrong with them.

/// Neither side can force mate.
pub(super) const DRAWN: u8 = 0;
/// The number is no position.
pub(super) const ILLEGAL: u8 = 255;

/// How a distance to mate in plies is stored.
pub(super) const fn value(plies: u8) -> u8 {
    plies + 1
}

/// The distance to mate in plies; `None` when the position is drawn or illegal. Even
/// distances are lost for the side to move, odd ones won.
pub(super) const fn plies(value: u8) -> Option<u8> {
    match value {
        DRAWN | ILLEGAL => None,
        other => Some(other - 1),
    }
}

/// What goes wrong with tables.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// The text names no ending of up to four men.
    #[error("\"{0}\" is not an ending of up to four men; write it as in KQKR")]
    Signature(String),
    /// The work was stopped by its flag.
    #[error("building the table was stopped before its end; build it again when needed")]
    Stopped,
    /// A table that captures or promotions lead to is not there.
    #[error("the table {0} is needed first; build it before this one")]
    Missing(String),
    /// The bytes are not a table, or are damaged.
    #[error("the bytes of the table are damaged ({0}); delete the file and it will be built again")]
    Damaged(&'static str),
}
