//! The state's dealings with files that are not open.

use std::{
    path::Path,
    sync::{Arc, atomic::Ordering},
    time::Instant,
};

use super::{
    files::SHOWN_APART,
    parts::{At, State},
};
use crate::{address::path_of, closed::Listed};

impl State {
    /// A document was opened: the file on disk is not what counts any more.
    pub(super) fn file_opened(&mut self, uri: &str) {
        if let Some(path) = path_of(uri) {
            self.stop_file(&path);
            let known: Arc<Path> = path.as_path().into();
            self.closed.open.insert(path);
            let shown = self.closed.files.get(&known);
            let shown = shown.filter(|file| file.summary.is_some());
            if let Some(file) = shown.filter(|file| *file.listed.address != *uri) {
                self.show.file(&file.listed.address, None);
            }
            self.closed.forget(&known);
        }
    }

    /// A document was closed: the file on disk counts again.
    pub(super) fn file_closed(&mut self, uri: &str) {
        if let Some(path) = path_of(uri) {
            self.closed.open.remove(&path);
            self.closed.forget(&path.into());
        }
    }

    /// A walk through the workspace began.
    pub(super) fn walk(&mut self) {
        self.closed.walking = true;
    }

    /// A walk through the workspace ended with these files.
    pub(super) fn walked(&mut self, all: Vec<Listed>) {
        self.closed.walking = false;
        self.closed.walked = true;
        self.closed.list(all);
        for running in self.running.iter().flatten() {
            if let At::File(path) = &running.at
                && self.closed.files.get(path).is_none_or(|file| file.stale)
            {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    /// The files that wait are not to be checked.
    pub(super) fn leave_files(&mut self) {
        for path in std::mem::take(&mut self.closed.queue) {
            if let Some(file) = self.closed.files.get_mut(&path) {
                file.left = true;
            }
        }
        for running in self.running.iter().flatten() {
            if let At::File(path) = &running.at
                && let Some(file) = self.closed.files.get_mut(path)
            {
                running.stop.store(true, Ordering::Relaxed);
                (file.left, file.stale) = (true, true);
            }
        }
    }

    /// Files that were left are to be checked after all.
    pub(super) fn take_up_files(&mut self) {
        for (path, file) in &mut self.closed.files {
            if std::mem::take(&mut file.left) {
                self.closed.queue.insert(Arc::clone(path));
            }
        }
    }

    fn stop_file(&self, wanted: &Path) {
        for running in self.running.iter().flatten() {
            if matches!(&running.at, At::File(path) if **path == *wanted) {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    /// Whether a worker is at a file.
    fn is_at_file(&self) -> bool {
        let mut running = self.running.iter().flatten();
        running.any(|running| matches!(running.at, At::File(_)))
    }

    /// Whether nothing more will be found unless something changes.
    pub(super) fn is_surveyed(&self) -> bool {
        !self.closed.walking && self.closed.waiting() == 0 && !self.is_at_file()
    }

    /// When findings of files are to be shown next.
    pub(super) fn files_due(&self) -> Option<Instant> {
        if self.closed.unshown.is_empty() {
            return None;
        }
        let now = Instant::now();
        let busy = self.closed.waiting() > 0 || self.is_at_file();
        Some(match self.closed.shown {
            Some(shown) if busy => shown + SHOWN_APART,
            _ => now,
        })
    }

    /// Shows findings of files that are due to be shown, and how many files wait.
    pub(super) fn show_files(&mut self) {
        let waiting = self.closed.waiting() + usize::from(self.is_at_file());
        if waiting != self.told_surveying {
            self.told_surveying = waiting;
            self.show.surveying(waiting);
        }
        if self.files_due().is_some_and(|due| due <= Instant::now()) {
            self.closed.shown = Some(Instant::now());
            for (address, known) in std::mem::take(&mut self.closed.unshown) {
                let open = path_of(&address).is_some_and(|path| self.closed.open.contains(&path));
                if !open {
                    self.show.file(&address, known);
                }
            }
        }
    }
}
