//! What an author sets, in a file or in an editor: one type with one reader for the command
//! and the language server.

mod editor;
mod held;
mod layer;
mod names;
#[cfg(feature = "schema")]
mod page;
mod place;
mod read;
#[cfg(feature = "schema")]
mod schema;
mod wrong;

pub use editor::{ClosedFiles, Hints, Manuscripts, Verdicts};
pub use held::{Held, held};
pub use layer::{LEAST_MEMORY, Layer};
#[cfg(feature = "schema")]
pub use page::schema;
pub use place::{SETTINGS, has_settings, settled_by};
pub use read::selection_for;
pub use wrong::{Distrusted, Wrong, WrongSetting, unknown_rule};

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
