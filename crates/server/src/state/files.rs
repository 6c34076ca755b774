//! The state's files that are not open.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use gainsay_notation::Columns;

use super::{At, State};
use crate::{
    address::path_of,
    closed::{FileJob, Listed, MOST_OF_ALL, Outcome, Progress, Summary},
    pool::Terms,
};

/// While files are checked, what changes is shown together, this far apart.
const SHOWN_APART: Duration = Duration::from_secs(2);

/// The files of the workspace, and how far their check is.
#[derive(Debug, Default)]
pub(super) struct Files {
    files: BTreeMap<Arc<Path>, File>,
    /// Files that are open in the editor, which are documents and not checked here.
    open: BTreeSet<PathBuf>,
    /// Files that wait for a worker.
    queue: BTreeSet<Arc<Path>>,
    /// How many findings are kept.
    kept: usize,
    /// Whether a walk through the workspace is under way.
    walking: bool,
    /// Whether one has come to its end.
    walked: bool,
    /// Files whose findings changed since they were last shown.
    unshown: BTreeMap<Arc<str>, Option<Known>>,
    /// When something was last shown.
    shown: Option<Instant>,
}

#[derive(Debug)]
struct File {
    listed: Listed,
    summary: Option<Arc<Summary>>,
    progress: Progress,
    /// Whether a worker is at it.
    checking: bool,
    /// What that worker finds is not what the file has now.
    stale: bool,
    /// The author did not want to wait for it.
    left: bool,
}

impl File {
    fn new(listed: Listed) -> Self {
        Self {
            listed,
            summary: None,
            progress: Progress::default(),
            checking: false,
            stale: false,
            left: false,
        }
    }
}

/// What is known of a file that is not open.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    pub(crate) listed: Listed,
    pub(crate) summary: Arc<Summary>,
}

/// All that is known of files that are not open.
#[derive(Debug, Default)]
pub(crate) struct Survey {
    pub(crate) known: Vec<Known>,
    /// Addresses of files that are still to be checked.
    pub(crate) unknown: Vec<Arc<str>>,
    /// Whether the workspace is being walked through, so that there may be more files.
    pub(crate) walking: bool,
    /// Whether it was walked through before.
    pub(crate) walked: bool,
}

impl Survey {
    /// Whether nothing more will be found unless something changes.
    pub(crate) fn is_complete(&self) -> bool {
        self.unknown.is_empty() && !self.walking
    }
}

impl Files {
    /// What a file has now is not what was found. Its check begins anew.
    fn forget(&mut self, path: &Arc<Path>) {
        let Some(file) = self.files.get_mut(path) else {
            return;
        };
        file.progress = Progress::default();
        file.stale = file.checking;
        file.left = false;
        if self.open.contains(&**path) {
            self.queue.remove(path);
            if let Some(old) = file.summary.take() {
                self.kept -= old.found.len();
            }
        } else {
            self.queue.insert(Arc::clone(path));
        }
    }

    /// Takes over what there is in the workspace.
    fn list(&mut self, all: Vec<Listed>) {
        let mut gone = std::mem::take(&mut self.files);
        for listed in all {
            let path = Arc::clone(&listed.path);
            let Some(mut file) = gone.remove(&path) else {
                self.files.insert(Arc::clone(&path), File::new(listed));
                self.forget(&path);
                continue;
            };
            let (old, new) = (&file.listed, &listed);
            let same = !listed.touched
                && old.stamp == new.stamp
                && old.format == new.format
                && old.options.settings == new.options.settings
                && old.options.wanted == new.options.wanted;
            if same && old.options != new.options && !self.open.contains(&*path) {
                self.unshown.insert(
                    Arc::clone(&listed.address),
                    file.summary.as_ref().map(|summary| Known {
                        listed: listed.clone(),
                        summary: Arc::clone(summary),
                    }),
                );
            }
            file.listed = listed;
            self.files.insert(Arc::clone(&path), file);
            if !same {
                self.forget(&path);
            }
        }
        for (path, file) in gone {
            self.queue.remove(&path);
            if let Some(old) = file.summary {
                self.kept -= old.found.len();
                self.unshown.insert(file.listed.address, None);
            }
        }
    }

    /// Takes what a worker found in a file.
    pub(super) fn take(&mut self, path: &Arc<Path>, outcome: Option<Outcome>) {
        let Some(file) = self.files.get_mut(path) else {
            return;
        };
        file.checking = false;
        let mut summary = match outcome {
            _ if std::mem::take(&mut file.stale) => return,
            Some(Outcome::Stopped(progress)) => {
                file.progress = progress;
                self.queue.insert(Arc::clone(path));
                return;
            }
            Some(Outcome::Done(summary)) => summary,
            None => Summary::default(),
        };
        let old = file.summary.take();
        self.kept -= old.as_ref().map_or(0, |old| old.found.len());
        summary.cut(MOST_OF_ALL.saturating_sub(self.kept));
        self.kept += summary.found.len();
        let known = Known {
            listed: file.listed.clone(),
            summary: Arc::new(summary),
        };
        file.summary = Some(Arc::clone(&known.summary));
        if !known.summary.is_empty() || old.is_some_and(|old| !old.is_empty()) {
            self.unshown
                .insert(Arc::clone(&known.listed.address), Some(known));
        }
    }

    /// The next file to check.
    pub(super) fn next(&mut self, columns: Columns, stop: &Arc<AtomicBool>) -> Option<FileJob> {
        let path = self.queue.pop_first()?;
        // A file that is no more is not in the queue either.
        let file = self.files.get_mut(&path)?;
        file.checking = true;
        Some(FileJob {
            path,
            format: file.listed.format,
            terms: Terms::of(&file.listed.options),
            columns,
            stop: Arc::clone(stop),
            progress: std::mem::take(&mut file.progress),
        })
    }

    /// Keeps a file for later.
    pub(super) fn put_back(&mut self, job: FileJob) {
        if let Some(file) = self.files.get_mut(&job.path) {
            file.checking = false;
            file.progress = job.progress;
            self.queue.insert(job.path);
        }
    }

    /// How many files wait.
    pub(super) fn waiting(&self) -> usize {
        self.queue.len()
    }

    /// Whether a walk through the workspace has come to its end.
    pub(super) fn is_walked(&self) -> bool {
        self.walked
    }

    /// All that is known.
    pub(super) fn survey(&self) -> Survey {
        let mut survey = Survey {
            walking: self.walking,
            walked: self.walked,
            ..Survey::default()
        };
        for (path, file) in &self.files {
            if self.open.contains(&**path) {
                continue;
            }
            if let Some(summary) = &file.summary {
                survey.known.push(Known {
                    listed: file.listed.clone(),
                    summary: Arc::clone(summary),
                });
            }
            // What is known of a file that is checked again is old.
            if file.checking || self.queue.contains(path) {
                survey.unknown.push(Arc::clone(&file.listed.address));
            }
        }
        survey
    }
}

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
