//! The list of known findings: a line of JSON each, in the order of the files and of their texts, so
//! that lists of two branches merge as any text does.

use std::{
    collections::HashSet,
    fs, io,
    path::{Path, PathBuf},
};

use gainsay::{Finding, Fingerprint};
use serde::{Deserialize, Serialize};

/// What the first line of a list says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Head {
    /// The version of the format.
    pub known: u32,
}

impl Head {
    /// That of this version.
    pub const OURS: Self = Self { known: 1 };
}

/// A finding that is known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct KnownFinding {
    /// The file, from the list's own folder, with forward slashes.
    pub file: String,
    /// The rule.
    pub rule: String,
    /// The move it stands at.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub r#move: String,
    /// The author's words, for people.
    pub words: String,
    /// What it is recognised by.
    #[serde(with = "written")]
    pub print: Fingerprint,
}

mod written {
    use gainsay::Fingerprint;
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

    pub(super) fn serialize<S: Serializer>(print: &Fingerprint, to: S) -> Result<S::Ok, S::Error> {
        print.serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Fingerprint, D::Error> {
        String::deserialize(from)?.parse().map_err(D::Error::custom)
    }
}

/// Why a list of known findings cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum NoList {
    /// It is not there.
    #[error(
        "there is no list of known findings {}: write it with --write-known {}",
        .0.display(),
        .0.display()
    )]
    Missing(PathBuf),
    /// It cannot be read.
    #[error("cannot read the known findings {}: {source}", path.display())]
    Unreadable {
        /// Its path.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// A line of it is no known finding.
    #[error(
        "{}:{line}: this is no known finding ({why}): write the list anew with --write-known",
        path.display()
    )]
    Wrong {
        /// Its path.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        why: serde_json::Error,
    },
    /// It is something else, or of another version.
    #[error(
        "{} is no list of known findings that this version reads: name another file, or delete it first",
        .0.display()
    )]
    Version(PathBuf),
}

/// Reads a list.
///
/// # Errors
///
/// [`NoList`] says why it cannot be used.
pub fn read_known(path: &Path) -> Result<Vec<KnownFinding>, NoList> {
    let text = fs::read_to_string(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => NoList::Missing(path.to_owned()),
        _ => NoList::Unreadable {
            path: path.to_owned(),
            source,
        },
    })?;
    let mut lines = text.lines().enumerate();
    let head = lines
        .next()
        .and_then(|(_, line)| serde_json::from_str(line).ok());
    if head != Some(Head::OURS) {
        return Err(NoList::Version(path.to_owned()));
    }
    lines
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(at, line)| {
            serde_json::from_str(line).map_err(|why| NoList::Wrong {
                path: path.to_owned(),
                line: at + 1,
                why,
            })
        })
        .collect()
}

/// What a known finding and one that is found have alike, if they are the same: everything, or all
/// but the game, which was moved or renamed, or all but the position, since a move before it was
/// mended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Likeness {
    /// Everything.
    Exact(Fingerprint),
    /// What it says and the position.
    Moved {
        /// [`Fingerprint::place`].
        place: u64,
        /// [`Fingerprint::position`].
        position: u64,
    },
    /// What it says and the game.
    Edited {
        /// [`Fingerprint::place`].
        place: u64,
        /// [`Fingerprint::game`].
        game: u64,
    },
}

impl Likeness {
    /// By what a known finding is recognised, the best likeness first.
    pub fn of(print: Fingerprint) -> impl Iterator<Item = Self> {
        let Fingerprint {
            place,
            position,
            game,
        } = print;
        let moved = (position != 0).then_some(Self::Moved { place, position });
        let edited = (game != 0).then_some(Self::Edited { place, game });
        std::iter::once(Self::Exact(print))
            .chain(moved)
            .chain(edited)
    }

    /// How a finding may be like a known one, the best likeness first. What stands at no move is
    /// said of its position and of no other.
    pub fn with(finding: &Finding) -> impl Iterator<Item = Self> {
        let print = finding.fingerprint;
        let may_be_edited = finding.mv.is_some() || print.position == 0;
        Self::of(print).filter(move |like| may_be_edited || !matches!(like, Self::Edited { .. }))
    }
}

/// Which findings a list knows, for who looks at one file at a time.
///
/// ```
/// use gainsay::{Settings, check};
/// use gainsay_files::KnownFindings;
/// let report = check(b"1. e4+ *", &Settings::default());
/// assert!(!KnownFindings::default().knows(&report.findings[0]));
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KnownFindings(HashSet<Likeness>);

impl KnownFindings {
    /// Those of a list.
    ///
    /// # Errors
    ///
    /// [`NoList`] says why it cannot be used.
    pub fn read(path: &Path) -> Result<Self, NoList> {
        let entries = read_known(path)?.into_iter();
        Ok(Self(
            entries
                .flat_map(|entry| Likeness::of(entry.print))
                .collect(),
        ))
    }

    /// Whether a finding is known: one that is alike in everything, or that was moved, or before
    /// which the game was edited.
    #[must_use]
    pub fn knows(&self, finding: &Finding) -> bool {
        !self.0.is_empty() && Likeness::with(finding).any(|like| self.0.contains(&like))
    }
}
