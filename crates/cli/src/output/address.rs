//! Where a file is, as SARIF says it: an address within the folder of the run, or a whole one.

use std::{
    env, fs,
    path::{Component, Path, PathBuf},
};

use serde_json::{Value, json};
use url::Url;

/// The name of the folder that relative addresses begin at. Its own address is left out of the
/// log, so that a run says the same on every machine.
pub(super) const ROOT: &str = "%SRCROOT%";

/// The location of a file as an object of SARIF ("artifactLocation").
pub(super) fn location(path: &Path) -> Value {
    if path.as_os_str() == "-" {
        return json!({ "uri": "-", "description": { "text": "standard input" } });
    }
    match within(path) {
        Within::Here(path) => json!({ "uri": relative(&path), "uriBaseId": ROOT }),
        Within::Elsewhere(path) => match Url::from_file_path(&path) {
            Ok(url) => json!({ "uri": String::from(url) }),
            Err(()) => json!({ "uri": relative(&path) }),
        },
    }
}

enum Within {
    /// A path from the folder of the run.
    Here(PathBuf),
    /// An absolute path.
    Elsewhere(PathBuf),
}

fn within(path: &Path) -> Within {
    let climbs = (path.components()).any(|part| part == Component::ParentDir);
    if path.is_relative() && !climbs {
        return Within::Here(path.to_owned());
    }
    let here = env::current_dir().unwrap_or_default();
    if let (false, Ok(rest)) = (climbs, path.strip_prefix(&here)) {
        return Within::Here(rest.to_owned());
    }
    // What is behind ".." of a link only the file system knows; the last name stays.
    let full = here.join(path);
    let folder = full.parent().map(fs::canonicalize);
    let (Some(Ok(folder)), Some(name)) = (folder, full.file_name()) else {
        return Within::Elsewhere(full);
    };
    let full = folder.join(name);
    let here = fs::canonicalize(&here).unwrap_or(here);
    match full.strip_prefix(&here) {
        Ok(rest) => Within::Here(rest.to_owned()),
        Err(_) => Within::Elsewhere(full),
    }
}

/// A path as a relative URI reference: forward slashes, and everything escaped that
/// may not stand in one (RFC 3986). The bytes are those of the name, whatever they mean, so
/// that the file can be found again.
fn relative(path: &Path) -> String {
    let bytes = path.as_os_str().as_encoded_bytes();
    let mut uri = String::with_capacity(bytes.len());
    for &byte in bytes {
        let byte = if std::path::is_separator(char::from(byte)) {
            b'/'
        } else {
            byte
        };
        if byte.is_ascii_alphanumeric() || b"/-._~!$&'()*+,;=@".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}
