//! Which files to check, and their bytes in blocks that end between games.

use std::{
    borrow::Cow,
    collections::HashSet,
    fs::{self, File, Metadata},
    io::{self, Read},
    path::{Component, Path, PathBuf},
};

use gainsay::Format;
use gainsay_files::{
    DocxError, NoText, Paragraphs, Selection, Unreadable, is_docx, pick, read_docx, sniff,
    unread_format,
};

use crate::print::name;

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
    #[error("{}: no such file or folder", name(.0))]
    Missing(PathBuf),
    #[error("{}: this link leads to {}, which is not there", name(path), name(to))]
    Dangling { path: PathBuf, to: PathBuf },
    #[error("{}: this link leads back to itself: make it point to a file", name(.0))]
    Loop(PathBuf),
    #[error(
        "{}: this folder holds no game files (.pgn, .epd, .fen, .md, or .adoc, .docx, .tex or .txt with a game)", name(.0)
    )]
    Barren(PathBuf),
    #[error(
        "{}: .{format} files are not read (.pgn, .epd, .fen, .md, .adoc, .tex, .docx and .txt are); --as text reads it as \
         plain text",
        name(path)
    )]
    Unread { path: PathBuf, format: &'static str },
    #[error("{}: {source}", name(path))]
    Unreadable { path: PathBuf, source: io::Error },
    #[error("{}: {why}", name(path))]
    NoText { path: PathBuf, why: NoText },
    #[error("{}: {why}", name(path))]
    Docx { path: PathBuf, why: DocxError },
    #[error(transparent)]
    Walk(#[from] Unreadable),
}

/// The files that `paths` stand for, in a fixed order and each once, and the paths that
/// stand for none. A folder is searched for chess files that are wanted; what is named is wanted
/// always.
pub(crate) fn sources(
    paths: &[PathBuf],
    format: Option<Format>,
    wanted: &Selection,
) -> (Vec<Source>, Vec<PathError>) {
    let mut found = Vec::new();
    let mut trouble = Vec::new();
    for path in paths {
        if path.as_os_str() == "-" {
            found.push(Source {
                path: path.clone(),
                format: format.unwrap_or_default(),
            });
            continue;
        }
        let path = &plain(path);
        let data = match fs::metadata(path) {
            Ok(data) => data,
            Err(error) => {
                trouble.push(why_not(path, error));
                continue;
            }
        };
        if data.is_dir() {
            let before = found.len();
            // A folder that is named is wanted, and what is in it.
            let all = Selection::default();
            let excluded = path
                .canonicalize()
                .is_ok_and(|path| !wanted.takes(&path, true));
            let wanted = if excluded { &all } else { wanted };
            for picked in pick(path, wanted) {
                match picked {
                    Ok(picked) => found.push(Source {
                        path: plain(&picked.path),
                        format: format.unwrap_or(picked.format),
                    }),
                    Err(error) => trouble.push(error.into()),
                }
            }
            if found.len() == before {
                trouble.push(PathError::Barren(path.clone()));
            }
        } else if let (None, Some(unread)) = (format, unread_format(path)) {
            trouble.push(PathError::Unread {
                path: path.clone(),
                format: unread,
            });
        } else {
            found.push(Source {
                path: path.clone(),
                format: format
                    .or_else(|| is_docx(path).then_some(Format::Markdown))
                    .or_else(|| Format::from_path(path))
                    .unwrap_or_default(),
            });
        }
    }
    // Several names may lead to one file, and a folder may hold a file that is named too.
    let mut known = HashSet::new();
    found.retain(|source| known.insert(fs::canonicalize(&source.path).unwrap_or_default()));
    (found, trouble)
}

/// The paths without the files that the author does not want, as they are left out of folders.
pub(crate) fn wanted<'p>(paths: &'p [PathBuf], selection: &Selection) -> Cow<'p, [PathBuf]> {
    let takes = |path: &&PathBuf| {
        let whole = fs::canonicalize(path).ok().filter(|whole| whole.is_file());
        whole.is_none_or(|whole| selection.takes(&whole, false))
    };
    paths.iter().filter(takes).cloned().collect()
}

/// A path without what says nothing: `./games.pgn` is `games.pgn`.
fn plain(path: &Path) -> PathBuf {
    let parts = path.components().filter(|part| *part != Component::CurDir);
    let plain: PathBuf = parts.collect();
    if plain.as_os_str().is_empty() {
        PathBuf::from(".")
    } else {
        plain
    }
}

/// Why nothing can be known of the file at `path`.
fn why_not(path: &Path, error: io::Error) -> PathError {
    let path = path.to_owned();
    let is_link = |path: &Path| fs::symlink_metadata(path).is_ok_and(|data| data.is_symlink());
    if !is_link(&path) {
        return match error.kind() {
            io::ErrorKind::NotFound => PathError::Missing(path),
            _ => PathError::Unreadable {
                path,
                source: error,
            },
        };
    }
    let chain = links(&path);
    match chain.last() {
        Some(last) if is_link(last) => PathError::Loop(path),
        Some(last) if error.kind() == io::ErrorKind::NotFound => PathError::Dangling {
            to: last.clone(),
            path,
        },
        _ => PathError::Unreadable {
            path,
            source: error,
        },
    }
}

/// A path, and where its links lead, each step after the other. Links that lead round in a
/// circle end with one that is a link still.
pub(crate) fn links(path: &Path) -> Vec<PathBuf> {
    let mut chain = vec![path.to_owned()];
    let mut at = path.to_owned();
    while let Ok(to) = fs::read_link(&at) {
        // From the link's own folder, unless it is absolute.
        at = at.parent().unwrap_or(Path::new("")).join(to);
        if chain.contains(&at) || chain.len() > MOST_LINKS {
            break;
        }
        chain.push(at.clone());
    }
    chain
}

/// More links than any system follows (Linux: 40, from the manual page of
/// path_resolution).
const MOST_LINKS: usize = 64;

impl Source {
    /// Opens it. Of a document of a word processor it is the text that is read.
    pub(crate) fn open(&self) -> Result<Box<dyn Read>, PathError> {
        Ok(self.open_with_paragraphs()?.0)
    }

    /// Opens it, and tells which paragraphs of a document of a word processor the text is made of.
    pub(crate) fn open_with_paragraphs(
        &self,
    ) -> Result<(Box<dyn Read>, Option<Paragraphs>), PathError> {
        if self.path.as_os_str() == "-" {
            return Ok((Box::new(io::stdin().lock()), None));
        }
        if is_docx(&self.path) {
            let read = read_docx(&self.path).map_err(|why| PathError::Docx {
                path: self.path.clone(),
                why,
            });
            return read.map(|(text, paragraphs)| {
                let text: Box<dyn Read> = Box::new(io::Cursor::new(text));
                (text, Some(paragraphs))
            });
        }
        File::open(&self.path)
            .map(|file| (Box::new(file) as Box<dyn Read>, None))
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
        fs::metadata(&self.path)
            .ok()
            .filter(Metadata::is_file)
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
