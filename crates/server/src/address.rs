//! Addresses of files.

use std::path::{Path, PathBuf};

use url::Url;

/// The file at an address; `None` for a buffer without a file.
pub(crate) fn path_of(address: &str) -> Option<PathBuf> {
    Url::parse(address).ok()?.to_file_path().ok()
}

/// The address of a file, which must be given from the root.
pub(crate) fn address_of(path: &Path) -> Option<Url> {
    Url::from_file_path(path).ok()
}
