//! `gainsay check --watch`: checks again whenever a file is written.

use std::{
    path::{Path, PathBuf},
    sync::mpsc::{self, Receiver},
    time::Duration,
};

use notify_debouncer_mini::{
    DebounceEventResult, new_debouncer,
    notify::{self, RecursiveMode},
};

use gainsay_files::{SETTINGS, of_folder};

use crate::complain;

/// Writing a file is often several steps; they are over after so long.
const QUIET: Duration = Duration::from_millis(200);

/// Why files cannot be watched.
#[derive(Debug, thiserror::Error)]
pub(crate) enum WatchError {
    #[error("standard input cannot be watched: name a file or a folder")]
    StandardInput,
    #[error("{}: cannot be watched: {source}", path.display())]
    Unwatchable {
        path: PathBuf,
        source: notify::Error,
    },
}

/// Runs `round` now and after every change of `paths`, until it answers `false`.
pub(crate) fn watch(paths: &[PathBuf], mut round: impl FnMut() -> bool) -> Result<(), WatchError> {
    let (sender, changes) = mpsc::channel();
    let unwatchable = |path: &Path| {
        let path = path.to_owned();
        |source| WatchError::Unwatchable { path, source }
    };
    let first = paths.first().map_or(Path::new("."), PathBuf::as_path);
    let mut debouncer = new_debouncer(QUIET, sender).map_err(unwatchable(first))?;
    for path in paths {
        if path.as_os_str() == "-" {
            return Err(WatchError::StandardInput);
        }
        // Editors replace a file as often as they write to it, so that a file is watched
        // through its folder.
        let (folder, mode) = if path.is_dir() {
            (path.as_path(), RecursiveMode::Recursive)
        } else {
            (folder_of(path), RecursiveMode::NonRecursive)
        };
        debouncer
            .watcher()
            .watch(folder, mode)
            .map_err(unwatchable(path))?;
    }
    while round() {
        let Some(changed) = next_change(&changes, paths) else {
            break;
        };
        complain(&format!("{} was written", changed.display()));
    }
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    let parent = path.parent();
    parent
        .filter(|parent| !parent.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Waits for a change that matters; `None` when there can be none any more.
fn next_change(changes: &Receiver<DebounceEventResult>, paths: &[PathBuf]) -> Option<PathBuf> {
    loop {
        match changes.recv().ok()? {
            Ok(events) => {
                let matters = events.into_iter().find(|event| matters(&event.path, paths));
                if let Some(event) = matters {
                    return Some(event.path);
                }
            }
            Err(error) => complain(&format!("some changes may be missed: {error}")),
        }
    }
}

/// Whether a change of the file `changed` can change the results for `paths`.
fn matters(changed: &Path, paths: &[PathBuf]) -> bool {
    let of = |path: &PathBuf| {
        path.file_name() == changed.file_name() || (path.is_dir() && of_folder(changed).is_some())
    };
    changed.file_name().is_some_and(|name| name == SETTINGS) || paths.iter().any(of)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_of_other_files_do_not_matter() {
        let games = tempfile::tempdir().expect("a folder");
        let file = PathBuf::from("book/chapter.txt");
        let paths = [file.clone(), games.path().to_owned()];
        let matter = |path: &str| matters(&games.path().join(path), &paths);
        assert!(matter("chapter.txt"));
        assert!(matter("round-1/a.pgn"));
        assert!(matter("gainsay.toml"));
        assert!(!matter("picture.png"));
        assert!(!matter(".a.pgn.swp"));
        // Beside a named file other files do not matter.
        assert!(!matters(Path::new("book/other.pgn"), &[file]));
    }
}
