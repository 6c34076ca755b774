//! The file of known findings: a line of JSON each, in the order of the files and of their texts,
//! so that lists of two branches merge as any text does.

use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
};

use gainsay::Fingerprint;
use serde::{Deserialize, Serialize};

use crate::print::{self, name};

/// What the first line says.
#[derive(Debug, PartialEq, Eq, Deserialize, Serialize)]
struct Head {
    known: u32,
}

/// The version of the format.
const VERSION: u32 = 1;

/// A finding that is known.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Entry {
    /// The file, from the list's own folder, with forward slashes.
    pub(crate) file: String,
    /// The rule.
    pub(crate) rule: String,
    /// The move it stands at.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(crate) r#move: String,
    /// The author's words, for people.
    pub(crate) words: String,
    /// What it is recognised by.
    #[serde(with = "written")]
    pub(crate) print: Fingerprint,
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
pub(crate) enum ListError {
    #[error(
        "there is no list of known findings {}: write it with --write-known {}",
        name(.0),
        name(.0)
    )]
    Missing(PathBuf),
    #[error("cannot read the known findings {}: {source}", name(path))]
    Unreadable { path: PathBuf, source: io::Error },
    #[error(
        "{}:{line}: this is no known finding ({why}): write the list anew with --write-known",
        name(path)
    )]
    Wrong {
        path: PathBuf,
        line: usize,
        why: serde_json::Error,
    },
    #[error(
        "{} is no list of known findings that this version reads: write it anew with --write-known",
        name(.0)
    )]
    Version(PathBuf),
    #[error("cannot write the known findings {}: {source}", name(path))]
    Unwritable { path: PathBuf, source: io::Error },
}

/// Reads a list.
pub(crate) fn read(path: &Path) -> Result<Vec<Entry>, ListError> {
    let text = fs::read_to_string(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => ListError::Missing(path.to_owned()),
        _ => ListError::Unreadable {
            path: path.to_owned(),
            source,
        },
    })?;
    let mut lines = text.lines().enumerate();
    let head = lines
        .next()
        .and_then(|(_, line)| serde_json::from_str(line).ok());
    if head != Some(Head { known: VERSION }) {
        return Err(ListError::Version(path.to_owned()));
    }
    lines
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(at, line)| {
            serde_json::from_str(line).map_err(|why| ListError::Wrong {
                path: path.to_owned(),
                line: at + 1,
                why,
            })
        })
        .collect()
}

/// Writes a list, whole or not at all.
pub(crate) fn write(path: &Path, entries: &[Entry]) -> Result<(), ListError> {
    let written = || -> io::Result<()> {
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let mut file = builder().tempfile_in(folder)?;
        let mut out = io::BufWriter::new(file.as_file_mut());
        print::json(&mut out, &Head { known: VERSION })?;
        writeln!(out)?;
        for entry in entries {
            print::json(&mut out, entry)?;
            writeln!(out)?;
        }
        out.flush()?;
        drop(out);
        file.persist(path).map_err(|error| error.error)?;
        Ok(())
    };
    written().map_err(|source| ListError::Unwritable {
        path: path.to_owned(),
        source,
    })
}

/// A temporary file that others may read once it has its name, as far as the user's mask lets them.
fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("known.jsonl");
        assert!(matches!(read(&path), Err(ListError::Missing(_))));
        let entry = Entry {
            file: "a/1.pgn".to_owned(),
            rule: "false-mate".to_owned(),
            r#move: "24...Kh8".to_owned(),
            words: "mates in \"two\"\u{202e}".to_owned(),
            print: Fingerprint {
                place: 1,
                position: 2,
                game: u64::MAX,
            },
        };
        write(&path, std::slice::from_ref(&entry)).unwrap();
        assert_eq!(read(&path).unwrap(), [entry]);
        fs::write(&path, "{\"known\":1}\n{\"file\":\"x\"}\n").unwrap();
        assert!(read(&path).unwrap_err().to_string().contains(":2: "));
        fs::write(&path, "{\"known\":2}\n").unwrap();
        assert!(matches!(read(&path), Err(ListError::Version(_))));
    }
}
