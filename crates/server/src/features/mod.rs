//! What an editor can ask for, one file each, in bytes and plain types.
//!
//! A feature looks at a [`Snapshot`](crate::document::Snapshot) and never at the
//! state. Ranges that features give are offsets in the whole document.

pub(crate) mod board;
pub(crate) mod hover;
pub(crate) mod meanings;
pub(crate) mod place;
