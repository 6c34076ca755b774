//! What the end to end checks share: where the fixtures and the game collections of
//! pgn-reader are, and how a report reads in a snapshot.

pub mod accuracy;
pub mod book;
pub mod fuzzing;
pub mod lost;
pub mod mending;
mod random;

pub use random::Random;

use std::{
    fmt::Write as _,
    path::{Path, PathBuf},
};

use cargo_metadata::{CargoOpt, MetadataCommand};
use gainsay::Report;
use gainsay_notation::{Columns, LineIndex};

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

/// Line and column, counted from 1.
fn place(lines: &LineIndex, file: &File, offset: usize) -> String {
    let at = lines.position(&file.bytes, offset, Columns::Scalars);
    format!("{}:{}", at.line + 1, at.column + 1)
}

/// Findings with place, message, evidence and remedies, one block each.
#[must_use]
pub fn findings(file: &File, report: &Report) -> String {
    let lines = LineIndex::new(&file.bytes);
    let mut text = format!("{} games, {} plies\n", report.games, report.plies);
    for finding in &report.findings {
        let from = place(&lines, file, finding.span.start);
        let _ = writeln!(
            text,
            "\n{from} {} {} `{}`\n{}",
            finding.severity.as_str(),
            finding.rule.name,
            String::from_utf8_lossy(file.bytes.get(finding.span.clone()).unwrap_or_default())
                .escape_debug(),
            finding.message
        );
        for line in &finding.evidence {
            let _ = writeln!(text, "  moves: {line}");
        }
        for related in &finding.related {
            let place = place(&lines, file, related.span.start);
            let _ = writeln!(text, "  see {place}: {}", related.message);
        }
        for remedy in &finding.remedies {
            let kind = if remedy.safe { "remedy" } else { "perhaps" };
            let _ = writeln!(text, "  {kind}: {}", remedy.title);
        }
    }
    text
}

/// Claims with their verdicts and evidence, a line each.
#[must_use]
pub fn claims(file: &File, report: &Report) -> String {
    let lines = LineIndex::new(&file.bytes);
    let mut text = String::new();
    for claim in &report.claims {
        let from = place(&lines, file, claim.span.start);
        let words: Vec<&str> = claim.text.split_whitespace().collect();
        let _ = writeln!(
            text,
            "{from} {} {} `{}` {}",
            claim.verdict.as_str(),
            claim.kind,
            words.join(" "),
            claim.evidence.join(" / ")
        );
    }
    text
}
