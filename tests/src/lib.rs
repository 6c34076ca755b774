//! What the end to end checks share: where the fixtures and the game collections of
//! pgn-reader are.

use std::path::{Path, PathBuf};

use cargo_metadata::{CargoOpt, MetadataCommand};

/// A file of games: its path and its bytes.
#[derive(Clone, Debug)]
pub struct File {
    /// Where it is.
    pub path: PathBuf,
    /// What it holds.
    pub bytes: Vec<u8>,
}

impl File {
    /// Its name without the folder.
    #[must_use]
    pub fn name(&self) -> String {
        self.path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    }

    /// Its name without folder and extension.
    #[must_use]
    pub fn stem(&self) -> String {
        self.path
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    }
}

/// The folder `fixtures/` of the project.
#[must_use]
pub fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .map_or_else(|| PathBuf::from("fixtures"), |root| root.join("fixtures"))
}

/// The game collections that the package pgn-reader ships beside its benchmarks
/// (`benches/*.pgn`), in the order of their names.
///
/// # Panics
///
/// When Cargo cannot say where pgn-reader is, or the collections are not there: the
/// checks that need them must fail then, not pass on nothing.
#[must_use]
pub fn collections() -> Vec<File> {
    let metadata = MetadataCommand::new()
        .manifest_path(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml"))
        .features(CargoOpt::SomeFeatures(Vec::new()))
        .exec()
        .expect("cargo metadata works in a workspace that has just been built");
    let package = metadata
        .packages
        .iter()
        .find(|package| package.name.as_str() == "pgn-reader")
        .expect("pgn-reader is a dependency");
    let folder = package
        .manifest_path
        .parent()
        .expect("a manifest is in a folder")
        .join("benches");
    let files = games_in(folder.as_std_path());
    assert!(files.len() >= 6, "six collections in {folder}");
    files
}

/// The files `*.pgn` of a folder, in the order of their names.
///
/// # Panics
///
/// When the folder or one of the files cannot be read.
#[must_use]
pub fn games_in(folder: &Path) -> Vec<File> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.expect("a folder that can be listed").path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "pgn"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| File {
            bytes: std::fs::read(&path)
                .unwrap_or_else(|error| panic!("{}: {error}", path.display())),
            path,
        })
        .collect()
}
