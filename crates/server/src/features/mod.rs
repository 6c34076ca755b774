//! What an editor can ask for, one file each, in bytes and plain types.
//!
//! A feature looks at a [`Snapshot`](crate::document::Snapshot) and never at the
//! state. Ranges that features give are offsets in the whole document.

pub(crate) mod actions;
mod allowances;
pub(crate) mod board;
pub(crate) mod completion;
mod evidence;
pub(crate) mod format;
pub(crate) mod hints;
pub(crate) mod hover;
mod legal;
pub(crate) mod links;
pub(crate) mod outline;
pub(crate) mod place;
pub(crate) mod pointers;
pub(crate) mod tokens;
pub(crate) mod walk;
