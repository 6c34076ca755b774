//! The small endings, known exactly.
//!
//! Every position of three or four men has its distance to mate in a [`Table`], one
//! for each set of men ([`Signature`]). Tables are computed here by retrograde
//! analysis (Bellman 1965; Thompson, "Retrograde analysis of certain endgames", ICCA
//! Journal 1986); nothing is downloaded. En passant is part of the tables, castling
//! rights are not, and the fifty-move rule is told apart by [`Ending::beats_fifty`].

mod build;
mod distance;
mod layout;
mod prove;
mod retrograde;
mod sets;
mod signature;
mod syzygy;
mod table;
mod tables;

pub use distance::TableError;
pub use signature::Signature;
pub use syzygy::{SyzygyError, SyzygyTables, SyzygyVerdict};
pub use table::Table;
pub use tables::{Ending, Store, Tables, Wdl};

#[cfg(test)]
mod tests;
