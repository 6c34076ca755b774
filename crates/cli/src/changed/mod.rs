//! What has changed since a revision of Git: only such games, lines and paragraphs are checked.

mod git;

use std::{
    collections::HashSet,
    ops::Range,
    path::{Path, PathBuf},
};

use gainsay::{Format, Report};
use gainsay_notation::{Section, SectionKind, manuscript, paragraphs};

use crate::files::Source;
pub(crate) use git::GitError;
use git::Repository;

/// A fingerprint of a section or of a paragraph of prose.
type Print = [u8; 16];

/// What a commit had.
#[derive(Debug)]
pub(crate) struct Changed {
    /// The sections of all files that are not as they were: a game may move to another file.
    sections: HashSet<Print>,
    paragraphs: HashSet<Print>,
}

impl Changed {
    /// Compares with the revision, and takes out of `found` what is as it was.
    pub(crate) fn since(revision: &str, found: &mut Vec<Source>) -> Result<Self, GitError> {
        let folder = found.first().map(|source| {
            let path = source.path.canonicalize().ok();
            let parent = path.as_deref().and_then(Path::parent);
            parent.unwrap_or(Path::new(".")).to_owned()
        });
        let repository = Repository::around(&folder.unwrap_or_else(|| PathBuf::from(".")))?;
        let commit = repository.base(revision)?;
        let tracked: HashSet<PathBuf> = repository.files(&commit)?.into_iter().collect();
        let others = repository.changed(&commit)?;
        let differ: HashSet<&Path> = others.iter().map(PathBuf::as_path).collect();
        found.retain(|source| {
            let whole = source.path.canonicalize().ok();
            let within = whole
                .as_deref()
                .and_then(|path| path.strip_prefix(&repository.top).ok());
            within.is_none_or(|path| !tracked.contains(path) || differ.contains(path))
        });
        let mut changed = Self {
            sections: HashSet::new(),
            paragraphs: HashSet::new(),
        };
        // What the commit has not is not asked for.
        let is_old = |path: &&Path| Format::from_path(path).is_some() && tracked.contains(*path);
        let mut old: Vec<&Path> = differ.iter().copied().filter(is_old).collect();
        old.sort_unstable();
        repository.texts(&commit, &old, |path, text| {
            changed.add(text, Format::from_path(path).unwrap_or_default());
        })?;
        Ok(changed)
    }

    fn add(&mut self, text: &[u8], format: Format) {
        let read = manuscript(text, format);
        for (section, own) in read.parts() {
            if section.kind == SectionKind::Prose {
                let all = paragraphs(own).map(|range| print(own, range));
                self.paragraphs.extend(all);
            } else {
                self.sections.insert(print(own, 0..own.len()));
            }
        }
    }

    /// The places of a text that are not as they were. Prose beside a changed game or position is to
    /// be read anew.
    pub(crate) fn places(&self, text: &[u8], format: Format) -> Vec<Range<usize>> {
        let read = manuscript(text, format);
        let sections: &[Section] = &read.sections;
        let is_new = |section: &Section| {
            let own = section.kind != SectionKind::Prose;
            own && !self
                .sections
                .contains(&print(&read.view, section.range.clone()))
        };
        let new: Vec<bool> = sections.iter().map(is_new).collect();
        let is_new = |at: Option<usize>| at.and_then(|at| new.get(at)) == Some(&true);
        let mut places: Vec<Range<usize>> = Vec::new();
        for (at, section) in sections.iter().enumerate() {
            let beside = is_new(at.checked_sub(1)) || is_new(Some(at + 1));
            if is_new(Some(at)) || section.kind == SectionKind::Prose && beside {
                places.push(section.range.clone());
            } else if section.kind == SectionKind::Prose {
                let own = read.view.get(section.range.clone()).unwrap_or_default();
                let new = paragraphs(own)
                    .filter(|range| !self.paragraphs.contains(&print(own, range.clone())));
                let start = section.range.start;
                places.extend(new.map(|range| range.start + start..range.end + start));
            }
        }
        places
    }
}

/// Whether two ranges share a byte; an empty one counts as a place.
pub(crate) fn touch(one: &Range<usize>, other: &Range<usize>) -> bool {
    one.start < other.end.max(other.start + 1) && other.start < one.end.max(one.start + 1)
}

/// Leaves in a report what stands in one of the places.
pub(crate) fn keep(report: &mut Report, places: &[Range<usize>]) {
    let within = |span: &Range<usize>| places.iter().any(|place| touch(place, span));
    report.findings.retain(|finding| within(&finding.span));
    report
        .accepted
        .retain(|accepted| within(&accepted.finding.span));
    report.claims.retain(|claim| within(&claim.span));
    report.unread.retain(|sentence| within(&sentence.span));
}

/// Line ends and the white space around say nothing.
fn print(text: &[u8], range: Range<usize>) -> Print {
    let own = text.get(range).unwrap_or_default().trim_ascii();
    let mut hasher = blake3::Hasher::new();
    for line in own.split(|&byte| byte == b'\n') {
        hasher.update(line.trim_ascii_end());
        hasher.update(b"\n");
    }
    let mut print = Print::default();
    hasher.finalize_xof().fill(&mut print);
    print
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changed(old: &str, new: &str, format: Format) -> Vec<String> {
        let mut changed = Changed {
            sections: HashSet::new(),
            paragraphs: HashSet::new(),
        };
        changed.add(old.as_bytes(), format);
        let places = changed.places(new.as_bytes(), format);
        let words = places.into_iter().map(|range| new[range].trim().to_owned());
        words.collect()
    }

    #[test]
    fn games_that_moved_are_as_they_were() {
        let [a, b] = ["A", "B"].map(|name| format!("[Event \"{name}\"]\n\n1. e4 e5 *\n\n"));
        let old = format!("{a}{b}");
        let swapped = format!("{b}{a}").replace('\n', "\r\n");
        assert!(changed(&old, &swapped, Format::Pgn).is_empty());
        let edited = old.replacen("e5", "c5", 1);
        assert_eq!(
            changed(&old, &edited, Format::Pgn),
            ["[Event \"A\"]\n\n1. e4 c5 *"]
        );
    }

    #[test]
    fn paragraphs_are_looked_at_by_themselves_and_with_their_neighbours() {
        let old = "One.\n\nTwo.\n\n```fen\n8/8/8/8/8/8/8/K1k5 w - - 0 1\n```\n\nThree.\n\nFour.\n";
        assert_eq!(
            changed(old, &old.replace("Two", "Too"), Format::Markdown),
            ["Too."]
        );
        let moved = old.replace("K1k5", "1K1k4");
        let found = changed(old, &moved, Format::Markdown);
        assert!(
            found.iter().any(|words| words.contains("One.")),
            "{found:?}"
        );
        assert!(
            found.iter().any(|words| words.contains("Four.")),
            "{found:?}"
        );
    }
}
