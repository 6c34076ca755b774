//! What an author sets, in a file or in an editor: one type with one reader for the command
//! and the language server.

mod held;
mod layer;
mod names;
mod place;
mod read;
#[cfg(feature = "schema")]
mod schema;
mod wrong;

pub use held::{Held, held};
pub use layer::{ClosedFiles, Hints, LEAST_MEMORY, Layer, Manuscripts};
pub use place::{SETTINGS, has_settings, settled_by};
pub use read::selection_for;
#[cfg(feature = "schema")]
pub use schema::schema;
pub use wrong::{Distrusted, Wrong, WrongSetting, unknown_rule};

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
