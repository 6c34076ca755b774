//! Files of the workspace that are not open: what was found in them.
//!
//! They are checked in the pool while no open document needs it. Only what was found is
//! kept, with its places as lines and columns: neither texts nor games.

mod check;
mod summary;

pub(crate) use check::{FileJob, Outcome, Progress, check, read};
pub(crate) use summary::{Listed, MOST_OF_ALL, Summary};
