//! Findings that are known: what was there when a list was written is left out, so that a run
//! tells what is new.

mod list;

use std::{
    collections::{BTreeMap, BTreeSet, HashMap},
    path::{Path, PathBuf},
};

use gainsay::{Acceptance, Accepted, Finding, Report, Settings};
use gainsay_files::{KnownFinding, Likeness, NoList, read_known};

use crate::{
    files::Source,
    print::{complain, name},
};
use list::Unwritable;

/// Why a list of known findings cannot be used.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ListError {
    #[error(transparent)]
    Read(#[from] NoList),
    #[error(transparent)]
    Write(#[from] Unwritable),
}

/// A list of known findings at work.
#[derive(Debug)]
pub(crate) struct Known {
    path: PathBuf,
    folder: PathBuf,
    entries: Vec<KnownFinding>,
    /// Whether each was found again.
    found: Vec<bool>,
    /// The entries by all that they can be recognised by.
    alike: HashMap<Likeness, Vec<usize>>,
    /// The files that were looked at.
    seen: BTreeSet<String>,
}

impl Known {
    /// Reads a list.
    pub(crate) fn open(path: &Path) -> Result<Self, NoList> {
        let entries = read_known(path)?;
        let mut alike: HashMap<Likeness, Vec<usize>> = HashMap::new();
        // The first in the list is the first that is found: these are taken from the end.
        for (at, entry) in entries.iter().enumerate().rev() {
            for like in Likeness::of(entry.print) {
                alike.entry(like).or_default().push(at);
            }
        }
        Ok(Self {
            path: path.to_owned(),
            folder: folder_of(path),
            found: vec![false; entries.len()],
            entries,
            alike,
            seen: BTreeSet::new(),
        })
    }

    /// Moves what is known of a part of a file to what is accepted. A known finding accounts for
    /// one finding, first of all for one that is alike in everything.
    pub(crate) fn sift(&mut self, report: &mut Report) {
        if report.findings.is_empty() {
            return;
        }
        let mut known = vec![false; report.findings.len()];
        for is_exact in [true, false] {
            for (finding, known) in report.findings.iter().zip(&mut known) {
                let likenesses = Likeness::with(finding);
                let mut due =
                    likenesses.filter(|like| matches!(like, Likeness::Exact(_)) == is_exact);
                *known = *known || due.any(|like| self.take(like));
            }
        }
        let mut rest = Vec::new();
        for (finding, known) in std::mem::take(&mut report.findings).into_iter().zip(known) {
            if known {
                let how = Acceptance::Known;
                report.accepted.push(Accepted { finding, how });
            } else {
                rest.push(finding);
            }
        }
        report.findings = rest;
    }

    /// Takes an entry that is so alike and was not found yet.
    fn take(&mut self, like: Likeness) -> bool {
        let mut entries = self.alike.get_mut(&like);
        let mut left = std::iter::from_fn(|| entries.as_mut()?.pop());
        left.any(|at| (self.found.get_mut(at)).is_some_and(|found| !std::mem::replace(found, true)))
    }

    /// Notes that a file was looked at as a whole.
    pub(crate) fn saw(&mut self, source: &Source) {
        self.seen.insert(file_of(&self.folder, &source.path));
    }

    /// Names what was not found again in the files that were looked at or are there no more, as
    /// far as the run looked for it.
    pub(crate) fn tell_gone(&self, settings: &Settings) {
        let is_looked_for = |entry: &KnownFinding| {
            let rule = gainsay::rule(&entry.rule);
            let wanted = rule.is_none_or(|rule| settings.severity(rule).is_some());
            wanted && (self.seen.contains(&entry.file) || !self.folder.join(&entry.file).exists())
        };
        let entries = self.entries.iter().zip(&self.found);
        let gone: Vec<&KnownFinding> = entries
            .filter(|(entry, found)| !**found && is_looked_for(entry))
            .map(|(entry, _)| entry)
            .collect();
        if gone.is_empty() {
            return;
        }
        let (are, them) = match gone.len() {
            1 => ("known finding is gone", "it"),
            _ => ("known findings are gone", "them"),
        };
        complain(&format!(
            "{} {are} ({} still has {them}: --write-known brings it up to date)",
            gone.len(),
            name(&self.path)
        ));
        for entry in gone.iter().take(MOST_NAMED) {
            let at = match entry.r#move.as_str() {
                "" => String::new(),
                mv => format!(" at {mv}"),
            };
            complain(&format!(
                "  gone: {}: {}{at}, \"{}\"",
                entry.file, entry.rule, entry.words
            ));
        }
        if gone.len() > MOST_NAMED {
            complain(&format!("  and {} more", gone.len() - MOST_NAMED));
        }
    }
}

/// So many that are gone are named.
const MOST_NAMED: usize = 10;

/// Writes down what is found.
#[derive(Debug)]
pub(crate) struct Recorder {
    path: PathBuf,
    folder: PathBuf,
    files: BTreeMap<String, Vec<KnownFinding>>,
}

impl Recorder {
    pub(crate) fn new(path: &Path) -> Self {
        Self {
            path: path.to_owned(),
            folder: folder_of(path),
            files: BTreeMap::new(),
        }
    }

    /// Notes that a file is looked at, so that what an older list knows of it is forgotten.
    pub(crate) fn saw(&mut self, source: &Source) {
        self.files
            .entry(file_of(&self.folder, &source.path))
            .or_default();
    }

    /// Where the list is written.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Notes the findings of a part of a file, which are known from now on; `words` are the
    /// author's.
    pub(crate) fn take(
        &mut self,
        report: &mut Report,
        source: &Source,
        words: impl Fn(&Finding) -> String,
    ) {
        let how = Acceptance::Known;
        for finding in report.findings.drain(..) {
            let how = how.clone();
            report.accepted.push(Accepted { finding, how });
        }
        report.accepted.sort_by_key(|accepted| {
            let span = &accepted.finding.span;
            (span.start, span.end)
        });
        let file = file_of(&self.folder, &source.path);
        let entries = self.files.entry(file.clone()).or_default();
        let known = report
            .accepted
            .iter()
            .filter(|accepted| accepted.how == how);
        entries.extend(known.map(|Accepted { finding, .. }| KnownFinding {
            file: file.clone(),
            rule: finding.rule.name.to_owned(),
            r#move: finding.mv.clone().unwrap_or_default(),
            words: words(finding),
            print: finding.fingerprint,
        }));
    }

    /// Writes the list. What an older one at its place knows of files that were not looked at
    /// and are still there is kept. Returns how many findings it has.
    pub(crate) fn write(self) -> Result<usize, ListError> {
        let Self {
            path,
            folder,
            mut files,
        } = self;
        let older = match read_known(&path) {
            Ok(older) => older,
            Err(NoList::Missing(_)) => Vec::new(),
            // It is written anew, as the error of reading it would ask for.
            Err(NoList::Wrong { .. }) => Vec::new(),
            Err(error) => return Err(error.into()),
        };
        let mut kept: BTreeMap<String, Vec<KnownFinding>> = BTreeMap::new();
        for entry in older {
            if !files.contains_key(&entry.file) && folder.join(&entry.file).exists() {
                kept.entry(entry.file.clone()).or_default().push(entry);
            }
        }
        files.append(&mut kept);
        let all: Vec<KnownFinding> = files.into_values().flatten().collect();
        list::write(&path, &all)?;
        Ok(all.len())
    }
}

/// The folder of a list, from the root.
fn folder_of(path: &Path) -> PathBuf {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    folder.canonicalize().unwrap_or_else(|_| folder.to_owned())
}

/// The name of a file in a list: from the folder of the list where it stands in it.
fn file_of(folder: &Path, path: &Path) -> String {
    let whole = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let within = whole.strip_prefix(folder).unwrap_or(&whole);
    let name = within.to_string_lossy();
    if std::path::MAIN_SEPARATOR == '/' {
        name.into_owned()
    } else {
        name.replace(std::path::MAIN_SEPARATOR, "/")
    }
}
