//! What an author sets, in a file or in an editor: one type with one reader for the command
//! and the language server.

mod layer;
mod place;
mod read;
mod wrong;

pub use layer::{ClosedFiles, Hints, LEAST_MEMORY, Layer, Manuscripts};
pub use place::{SETTINGS, has_settings, settled_by};
pub use wrong::{Distrusted, Wrong, WrongSetting, unknown_rule};

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
