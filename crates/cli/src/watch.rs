//! `gainsay check --watch`: checks again whenever a file is written.

use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
    sync::mpsc::{self, Receiver, RecvTimeoutError},
    time::{Duration, Instant},
};

use gainsay::Format;
use gainsay_files::SETTINGS;
use notify::{
    Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher,
    event::{AccessKind, AccessMode, MetadataKind, ModifyKind},
};

use crate::{
    files::links,
    print::{complain, name},
};

/// Writing a file is often several steps; they are over after so long a pause,
const QUIET: Duration = Duration::from_millis(200);

/// or when they have gone on for so long.
const PATIENCE: Duration = Duration::from_secs(2);

/// Why files cannot be watched.
#[derive(Debug, thiserror::Error)]
pub(crate) enum WatchError {
    #[error("standard input cannot be watched: name a file or a folder")]
    StandardInput,
    #[error("{}: cannot be watched: {source}", name(path))]
    Unwatchable {
        path: PathBuf,
        source: notify::Error,
    },
}

/// Runs `round` now and after every change of `paths` and of the settings, until it answers
/// `false`.
pub(crate) fn watch(
    paths: &[PathBuf],
    settings: &Path,
    mut round: impl FnMut() -> bool,
) -> Result<(), WatchError> {
    if paths.iter().any(|path| path.as_os_str() == "-") {
        return Err(WatchError::StandardInput);
    }
    let unwatchable = |path: &Path| {
        let path = path.to_owned();
        |source| WatchError::Unwatchable { path, source }
    };
    let (sender, changes) = mpsc::channel();
    let watcher = notify::recommended_watcher(sender);
    let first = paths.first().map_or(Path::new("."), PathBuf::as_path);
    let mut watcher = watcher.map_err(unwatchable(first))?;
    let mut watched = Watched::default();
    loop {
        // Links may lead elsewhere since the last round.
        let now = Watched::of(paths, settings);
        watched
            .become_(now, &mut watcher)
            .map_err(|(path, error)| {
                let unwatchable = unwatchable(&path);
                unwatchable(error)
            })?;
        if !round() {
            return Ok(());
        }
        let Some(changed) = next_change(&changes, &watched) else {
            return Ok(());
        };
        complain(&format!("{} was written", name(&changed)));
    }
}

/// What is watched.
#[derive(Debug, Default)]
struct Watched {
    /// Folders whose chess files count.
    folders: BTreeSet<PathBuf>,
    /// Files. Editors replace a file as often as they write to it, so that it is watched
    /// through its folder.
    files: BTreeSet<PathBuf>,
}

impl Watched {
    /// What has to be watched for `paths` and the settings.
    fn of(paths: &[PathBuf], settings: &Path) -> Self {
        let mut watched = Self::default();
        for path in paths {
            if path.is_dir() {
                let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
                watched.folders.insert(whole);
            } else {
                watched.add(path);
            }
        }
        watched.add(settings);
        watched
    }

    /// A file, and all files that its links lead to: each of them may be written.
    fn add(&mut self, path: &Path) {
        for file in links(path) {
            let folder = folder_of(&file);
            if let (Ok(folder), Some(name)) = (folder.canonicalize(), file.file_name()) {
                self.files.insert(folder.join(name));
            }
        }
    }

    /// The folders to be watched, and whether with the folders in them.
    fn places(&self) -> BTreeSet<(&Path, bool)> {
        let within = |folder: &&Path| !self.folders.iter().any(|above| folder.starts_with(above));
        let whole = self.folders.iter().map(|folder| (folder.as_path(), true));
        let of_files = self.files.iter().map(|file| folder_of(file));
        let single = of_files.filter(within).map(|folder| (folder, false));
        whole.chain(single).collect()
    }

    /// Watches what `now` names instead.
    fn become_(
        &mut self,
        now: Self,
        watcher: &mut RecommendedWatcher,
    ) -> Result<(), (PathBuf, notify::Error)> {
        let (old, new) = (self.places(), now.places());
        for (folder, _) in old.difference(&new) {
            // It may be gone, and with it its watch.
            let _ = watcher.unwatch(folder);
        }
        for &(folder, whole) in new.difference(&old) {
            let mode = if whole {
                RecursiveMode::Recursive
            } else {
                RecursiveMode::NonRecursive
            };
            let done = watcher.watch(folder, mode);
            done.map_err(|error| (folder.to_owned(), error))?;
        }
        *self = now;
        Ok(())
    }

    /// Whether a change of the file `changed` can change the results.
    fn matters(&self, changed: &Path) -> bool {
        let chess = Format::from_path(changed).is_some()
            || gainsay_files::is_docx(changed)
            || changed.file_name().is_some_and(|name| name == SETTINGS);
        self.files.contains(changed)
            || chess
                && self
                    .folders
                    .iter()
                    .any(|folder| changed.starts_with(folder))
    }
}

fn folder_of(path: &Path) -> &Path {
    let parent = path.parent();
    parent
        .filter(|parent| !parent.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Whether something was written; our own reading is told as well.
const fn writes(kind: EventKind) -> bool {
    !matches!(
        kind,
        EventKind::Access(
            AccessKind::Any | AccessKind::Read | AccessKind::Open(_) | AccessKind::Other
        ) | EventKind::Access(AccessKind::Close(
            AccessMode::Any | AccessMode::Execute | AccessMode::Read | AccessMode::Other
        )) | EventKind::Modify(ModifyKind::Metadata(MetadataKind::AccessTime))
    )
}

/// Waits for a change that matters, and until the writing is over; `None` when there can be
/// no change any more.
fn next_change(changes: &Receiver<notify::Result<Event>>, watched: &Watched) -> Option<PathBuf> {
    let change = |event: notify::Result<Event>| match event {
        // Some were lost, so that everything may have changed.
        Ok(event) if event.need_rescan() => Some(PathBuf::from("something")),
        Ok(event) if writes(event.kind) => {
            event.paths.into_iter().find(|path| watched.matters(path))
        }
        Ok(_) => None,
        Err(error) => {
            complain(&format!("some changes may be missed: {error}"));
            None
        }
    };
    let changed = loop {
        if let Some(path) = change(changes.recv().ok()?) {
            break path;
        }
    };
    let since = Instant::now();
    let mut quiet = since;
    while since.elapsed() < PATIENCE && quiet.elapsed() < QUIET {
        match changes.recv_timeout(QUIET.saturating_sub(quiet.elapsed())) {
            Ok(event) => {
                if change(event).is_some() {
                    quiet = Instant::now();
                }
            }
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
    Some(changed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_of_other_files_do_not_matter() {
        let folder = tempfile::tempdir().expect("a folder");
        let root = folder.path().canonicalize().expect("it is there");
        let (book, games) = (root.join("book"), root.join("games"));
        for made in [&book, &games] {
            std::fs::create_dir(made).expect("made");
        }
        let paths = [book.join("chapter.txt"), games.clone()];
        let watched = Watched::of(&paths, &root.join(SETTINGS));
        let matter = |path: &str| watched.matters(&root.join(path));
        assert!(matter("book/chapter.txt"));
        assert!(matter("games/round-1/a.pgn"));
        assert!(matter("games/gainsay.toml"));
        assert!(matter("gainsay.toml"));
        assert!(!matter("games/picture.png"));
        assert!(!matter("games/.a.pgn.swp"));
        // Beside a named file other files do not matter.
        assert!(!matter("book/other.pgn"));
        assert!(!matter("games.pgn"));
        let places = watched.places();
        assert_eq!(places.len(), 3);
        assert!(places.contains(&(games.as_path(), true)));
    }
}
