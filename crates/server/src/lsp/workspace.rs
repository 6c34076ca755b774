//! Games of the workspace: of open documents, and of files that are not open.

use std::path::{Path, PathBuf};

use gainsay_notation::{Columns, Game, LineIndex, read_game, sections};
use tower_lsp::lsp_types::{Location, Position, Range, TextEdit, Url};

use super::convert;
use crate::{
    document::Snapshot,
    features::{
        links::Name,
        outline::{each_game, symbol},
    },
};

/// So many symbols are given.
const MOST: usize = 200;
/// So many files are read.
const MOST_FILES: usize = 500;
/// No larger file is read.
const LARGEST: u64 = 16 << 20;

/// Games whose players or event contain all words of `query`, in any case.
pub(super) fn symbols(
    open: &[(Url, Snapshot)],
    folders: &[PathBuf],
    query: &str,
    columns: Columns,
) -> Vec<(String, Location)> {
    let words: Vec<String> = query.split_whitespace().map(str::to_lowercase).collect();
    let mut found = Vec::new();
    let mut take = |bytes: &[u8], game: &Game, number: usize, place: &dyn Fn(usize) -> Location| {
        let symbol = symbol(bytes, game, 0, number, false);
        let name = if symbol.detail.is_empty() {
            symbol.name
        } else {
            format!("{} ({})", symbol.name, symbol.detail)
        };
        let lower = name.to_lowercase();
        if found.len() < MOST && words.iter().all(|word| lower.contains(word)) {
            found.push((name, place(symbol.head.start)));
        }
    };
    for (uri, snapshot) in open {
        let mut number = 0;
        for section in snapshot.sections.iter() {
            each_game(snapshot, section, |bytes, game| {
                number += 1;
                take(bytes, game, number, &|offset| {
                    let at = convert::position(&snapshot.text, section.start + offset, columns);
                    Location::new(uri.clone(), Range::new(at, at))
                });
            });
        }
    }
    for file in closed(open, folders) {
        let mut number = 0;
        file.each_game(|text, base, game| {
            number += 1;
            take(text, game, number, &|offset| {
                let at = file.position(base + offset, columns);
                Location::new(file.uri.clone(), Range::new(at, at))
            });
        });
    }
    found
}

/// The edits that rename a name in the files that are not open.
pub(super) fn rename_in_closed(
    open: &[(Url, Snapshot)],
    folders: &[PathBuf],
    name: &Name,
    new: &str,
    columns: Columns,
) -> Vec<(Url, Option<i32>, Vec<TextEdit>)> {
    closed(open, folders)
        .map(|file| {
            let mut edits = Vec::new();
            file.each_game(|text, base, game| {
                for span in name.places(text, game) {
                    let start = file.position(base + span.start as usize, columns);
                    let end = file.position(base + span.end as usize, columns);
                    edits.push(TextEdit::new(Range::new(start, end), new.to_owned()));
                }
            });
            (file.uri, None, edits)
        })
        .filter(|(_, _, edits)| !edits.is_empty())
        .collect()
}

/// A game file that is not open.
struct File {
    uri: Url,
    bytes: Vec<u8>,
    lines: LineIndex,
}

/// The game files of folders that are not open, read one after the other.
fn closed(open: &[(Url, Snapshot)], folders: &[PathBuf]) -> impl Iterator<Item = File> {
    files(folders).into_iter().filter_map(move |path| {
        let uri = Url::from_file_path(&path).ok()?;
        if open.iter().any(|(known, _)| *known == uri) {
            return None;
        }
        let bytes = std::fs::read(&path).ok()?;
        let lines = LineIndex::new(&bytes);
        Some(File { uri, bytes, lines })
    })
}

impl File {
    /// Reads the games with the text of their section and where it begins.
    fn each_game(&self, mut each: impl FnMut(&[u8], usize, &Game)) {
        let mut game = Game::default();
        for section in sections(&self.bytes) {
            let base = section.range.start;
            let text = self.bytes.get(section.range).unwrap_or_default();
            let mut from = 0;
            while let Some(next) = read_game(text, from, &mut game) {
                from = next.max(from + 1);
                each(text, base, &game);
            }
        }
    }

    fn position(&self, offset: usize, columns: Columns) -> Position {
        let place = self.lines.position(&self.bytes, offset, columns);
        Position::new(place.line, place.column)
    }
}

/// The game files of folders, in the order of their names, hidden folders left out.
fn files(folders: &[PathBuf]) -> Vec<PathBuf> {
    const MOST_FOLDERS: usize = 2_000;
    let mut found = Vec::new();
    let mut waiting: Vec<PathBuf> = folders.iter().rev().cloned().collect();
    let mut seen = 0;
    while let Some(folder) = waiting.pop() {
        seen += 1;
        if seen > MOST_FOLDERS || found.len() >= MOST_FILES {
            break;
        }
        let Ok(entries) = std::fs::read_dir(&folder) else {
            continue;
        };
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths.into_iter().rev() {
            let hidden = path
                .file_name()
                .is_none_or(|name| name.to_string_lossy().starts_with('.'));
            // Links are not followed, so that no circle is walked.
            let Ok(about) = std::fs::symlink_metadata(&path) else {
                continue;
            };
            if hidden {
                continue;
            }
            if about.is_dir() {
                waiting.push(path);
            } else if about.is_file() && about.len() <= LARGEST && is_game_file(&path) {
                found.push(path);
            }
        }
    }
    found.sort();
    found.truncate(MOST_FILES);
    found
}

fn is_game_file(path: &Path) -> bool {
    path.extension()
        .is_some_and(|extension| extension.eq_ignore_ascii_case("pgn"))
}
