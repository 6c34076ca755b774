//! Which files to check, and their bytes in blocks that end between games.

use std::{
    fs::File,
    io::{self, Read},
    path::PathBuf,
};

use gainsay::Format;
use gainsay_files::{NoText, Unreadable, pick, sniff};

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
    #[error("{}: {why}", path.display())]
    NoText { path: PathBuf, why: NoText },
    #[error(transparent)]
    Walk(#[from] Unreadable),
}

/// The files that `paths` stand for, in a fixed order, and the paths that stand for
/// none. A folder is searched for chess files.
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
            for picked in pick(path) {
                match picked {
                    Ok(picked) => found.push(Source {
                        path: picked.path,
                        format: format.unwrap_or(picked.format),
                    }),
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
    pub(crate) fn sniff(&self, bytes: &[u8]) -> Result<(), PathError> {
        sniff(bytes).map_err(|why| PathError::NoText {
            path: self.path.clone(),
            why,
        })
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
