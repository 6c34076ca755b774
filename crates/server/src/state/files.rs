//! The files of the workspace that are not open, and how far their check is.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
    sync::{Arc, atomic::AtomicBool},
    time::{Duration, Instant},
};

use gainsay_notation::Columns;

use crate::{
    closed::{FileJob, Listed, MOST_OF_ALL, Outcome, Progress, Summary},
    options::Terms,
};

/// While files are checked, what changes is shown together, this far apart.
pub(super) const SHOWN_APART: Duration = Duration::from_secs(2);

/// The files of the workspace, and how far their check is.
#[derive(Debug, Default)]
pub(super) struct Files {
    pub(super) files: BTreeMap<Arc<Path>, File>,
    /// Files that are open in the editor, which are documents and not checked here.
    pub(super) open: BTreeSet<PathBuf>,
    /// Files that wait for a worker.
    pub(super) queue: BTreeSet<Arc<Path>>,
    /// How many findings are kept.
    pub(super) kept: usize,
    /// Whether a walk through the workspace is under way.
    pub(super) walking: bool,
    /// Whether one has come to its end.
    pub(super) walked: bool,
    /// Files whose findings changed since they were last shown.
    pub(super) unshown: BTreeMap<Arc<str>, Option<Known>>,
    /// When something was last shown.
    pub(super) shown: Option<Instant>,
}

#[derive(Debug)]
pub(super) struct File {
    pub(super) listed: Listed,
    pub(super) summary: Option<Arc<Summary>>,
    pub(super) progress: Progress,
    /// Whether a worker is at it.
    pub(super) checking: bool,
    /// What that worker finds is not what the file has now.
    pub(super) stale: bool,
    /// The author did not want to wait for it.
    pub(super) left: bool,
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
    pub(super) fn forget(&mut self, path: &Arc<Path>) {
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
    pub(super) fn list(&mut self, all: Vec<Listed>) {
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
