//! What is wrong with files and settings.

use std::{fmt::Display, io, path::Path};

/// Why a file that is not open has no findings.
pub(crate) fn unreadable(error: &io::Error) -> String {
    format!("This file cannot be read: {error}.")
}

/// A file of more than so many megabytes.
pub(crate) fn too_large(most: u64) -> String {
    format!(
        "This file is larger than {most} MB and was not checked: open it, or run \
         \"gainsay check\"."
    )
}

/// A file that holds no chess text.
pub(crate) fn unchecked(why: impl Display) -> String {
    format!("This file was not checked: {why}.")
}

/// A fault in what the editor tells.
pub(crate) fn in_editor(wrong: impl Display) -> String {
    format!("the editor's settings: {wrong}")
}

/// A settings file that cannot be read.
pub(crate) fn no_settings(path: &Path, error: &io::Error) -> String {
    format!("cannot read the settings {}: {error}", path.display())
}

/// A fault in a settings file; it begins with the line that it stands in.
pub(crate) fn in_settings(path: &Path, wrong: impl Display) -> String {
    format!("{}:{wrong}", path.display())
}

/// A setting that a file of the workspace may not make.
pub(crate) fn distrusted(distrusted: impl Display) -> String {
    format!("{distrusted}; the editor's own settings are taken as they stand")
}

/// What is wrong with the settings, as a message.
pub(crate) fn complaint(wrong: &str) -> String {
    format!("gainsay: {wrong}")
}

/// A workspace of more files than are checked.
pub(crate) fn too_many(checked: usize, left_out: usize) -> String {
    format!(
        "gainsay: {checked} chess files of the workspace are checked, and {left_out} more are \
         not: open a smaller folder."
    )
}

/// A name that was changed, but not in so many files.
pub(crate) fn name_stays(unread: usize) -> String {
    format!(
        "gainsay: the name stays in files that could not be read, or are too large or too many \
         ({unread})."
    )
}

/// Tables that are wanted of a server that reads none.
pub(crate) const NO_TABLES: &str = "This server reads no Syzygy tables.";
/// An engine that is wanted of a server that starts none.
pub(crate) const NO_ENGINE: &str = "This server starts no engine.";
