//! Finds the game collections that pgn-reader ships beside its own benchmarks.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The version that the workspace pins.
const PACKAGE: &str = "pgn-reader-0.29.0";

/// Every `*.pgn` in the benches folder of the pgn-reader package, as name and bytes.
pub(crate) fn collections() -> Vec<(String, Vec<u8>)> {
    let folder = in_registry()
        .or_else(from_metadata)
        .expect("pgn-reader is a dependency, so its source is on this machine");
    let mut files = pgn_files(&folder);
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let name = path.file_name().unwrap_or_default();
            let name = name.to_string_lossy().into_owned();
            (name, std::fs::read(&path).expect("a readable file"))
        })
        .collect()
}

fn pgn_files(folder: &Path) -> Vec<PathBuf> {
    std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "pgn"))
        .collect()
}

/// The folder in Cargo's unpacked registry sources.
fn in_registry() -> Option<PathBuf> {
    let home = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(std::env::var_os("HOME")?).join(".cargo")))?;
    std::fs::read_dir(home.join("registry/src"))
        .ok()?
        .filter_map(|entry| Some(entry.ok()?.path().join(PACKAGE).join("benches")))
        .find(|folder| !pgn_files(folder).is_empty())
}

/// The folder as Cargo tells it, for vendored or patched sources. Cargo may have
/// to download the packages of other platforms before it answers.
fn from_metadata() -> Option<PathBuf> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .ok()?;
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).ok()?;
    let manifest = metadata["packages"]
        .as_array()?
        .iter()
        .find(|package| package["name"] == "pgn-reader")?["manifest_path"]
        .as_str()?;
    Some(PathBuf::from(manifest).with_file_name("benches"))
}
