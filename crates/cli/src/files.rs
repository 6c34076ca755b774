//! Which files to check, and their bytes in blocks that end between games.

use std::{
    fs::File,
    io::{self, Read},
    path::{Path, PathBuf},
};

use gainsay::Format;

/// A file to check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Source {
    /// Its path; `-` is standard input.
    pub(crate) path: PathBuf,
    /// How it is to be read.
    pub(crate) format: Format,
}

/// Why a path cannot be checked.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PathError {
    #[error("{}: no such file or folder", .0.display())]
    Missing(PathBuf),
    #[error("{}: this folder holds no game files (.pgn, .epd, .md)", .0.display())]
    Barren(PathBuf),
    #[error("{}: {source}", path.display())]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{}: this is no text but binary data", .0.display())]
    Binary(PathBuf),
    #[error("{}: this text is in UTF-16: save it as UTF-8", .0.display())]
    Utf16(PathBuf),
    #[error("{0}")]
    Walk(#[from] ignore::Error),
}

/// The files that `paths` stand for, in a fixed order, and the paths that stand for
/// none. A folder is searched for game files, hidden and ignored ones left out.
pub(crate) fn sources(paths: &[PathBuf], format: Option<Format>) -> (Vec<Source>, Vec<PathError>) {
    let mut found = Vec::new();
    let mut trouble = Vec::new();
    for path in paths {
        if path.as_os_str() == "-" {
            found.push(Source {
                path: path.clone(),
                format: format.unwrap_or_default(),
            });
        } else if path.is_dir() {
            let before = found.len();
            let walk = ignore::WalkBuilder::new(path)
                .sort_by_file_path(Ord::cmp)
                .build();
            for entry in walk {
                match entry {
                    Ok(entry) => {
                        let is_file = entry.file_type().is_some_and(|kind| kind.is_file());
                        if is_file && let Some(own) = of_folder(entry.path()) {
                            found.push(Source {
                                path: entry.into_path(),
                                format: format.unwrap_or(own),
                            });
                        }
                    }
                    Err(error) => trouble.push(error.into()),
                }
            }
            if found.len() == before {
                trouble.push(PathError::Barren(path.clone()));
            }
        } else if path.exists() {
            found.push(Source {
                path: path.clone(),
                format: format
                    .or_else(|| Format::from_path(path))
                    .unwrap_or_default(),
            });
        } else {
            trouble.push(PathError::Missing(path.clone()));
        }
    }
    (found, trouble)
}

/// The format that a name in a folder tells. Plain text is read only where it is named,
/// since most of it has nothing to do with chess.
pub(crate) fn of_folder(path: &Path) -> Option<Format> {
    Format::from_path(path).filter(|&format| format != Format::Text)
}

impl Source {
    /// Opens it.
    pub(crate) fn open(&self) -> Result<Box<dyn Read>, PathError> {
        if self.path.as_os_str() == "-" {
            return Ok(Box::new(io::stdin().lock()));
        }
        File::open(&self.path)
            .map(|file| Box::new(file) as Box<dyn Read>)
            .map_err(|source| PathError::Unreadable {
                path: self.path.clone(),
                source,
            })
    }

    /// Whether a file that begins with `bytes` can be game text at all.
    ///
    /// A damaged game file has a few control characters, binary data has them all over.
    pub(crate) fn sniff(&self, bytes: &[u8]) -> Result<(), PathError> {
        const LOOK_AT: usize = 8 << 10;
        const FEW: usize = 8;
        const ONE_IN: usize = 50;
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            return Err(PathError::Utf16(self.path.clone()));
        }
        let head = bytes.get(..LOOK_AT).unwrap_or(bytes);
        let controls = head
            .iter()
            .filter(|byte| byte.is_ascii_control() && !byte.is_ascii_whitespace())
            .count();
        if controls >= FEW && controls * ONE_IN > head.len() {
            return Err(PathError::Binary(self.path.clone()));
        }
        Ok(())
    }

    /// Its size in bytes, where it is known.
    pub(crate) fn size(&self) -> Option<u64> {
        std::fs::metadata(&self.path)
            .ok()
            .filter(std::fs::Metadata::is_file)
            .map(|data| data.len())
    }
}

/// Reads `from` until `block` holds at least `wanted` bytes; `false` at the end.
pub(crate) fn fill(from: &mut dyn Read, block: &mut Vec<u8>, wanted: usize) -> io::Result<bool> {
    const AT_ONCE: usize = 1 << 20;
    while block.len() < wanted {
        let old = block.len();
        block.resize(old + AT_ONCE.min(wanted - old).max(1), 0);
        let read = loop {
            match from.read(&mut block[old..]) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                other => break other,
            }
        };
        match read {
            Ok(read) => {
                block.truncate(old + read);
                if read == 0 {
                    return Ok(false);
                }
            }
            Err(error) => {
                block.truncate(old);
                return Err(error);
            }
        }
    }
    Ok(true)
}
