//! Why a file cannot be mended.

use std::{io, path::PathBuf};

use crate::{files::PathError, print::name};

/// Why a file was left as it was.
#[derive(Debug, thiserror::Error)]
pub(crate) enum MendError {
    #[error("standard input cannot be mended: name a file")]
    StandardInput,
    #[error(
        "{}: a .docx file is read and not mended: edit it where it was written (--comments writes a \
         copy with what was found beside the text)",
        name(.0)
    )]
    Docx(PathBuf),
    #[error("{}: only plain files can be mended", name(.0))]
    NoFile(PathBuf),
    #[error("{}: it may only be read, and was not mended", name(.0))]
    ReadOnly(PathBuf),
    #[error(
        "{}: it has {names} names (hard links), of which a mended file would keep one; it was not \
         mended: mend a copy",
        name(path)
    )]
    Linked { path: PathBuf, names: u64 },
    #[error(
        "{}: the mended file cannot be given to its owner ({source}); it was not mended",
        name(path)
    )]
    Owner { path: PathBuf, source: io::Error },
    #[error(
        "{}: cannot write the mended file: {source}; it is as it was",
        name(path)
    )]
    Unwritable { path: PathBuf, source: io::Error },
    #[error(
        "{}: somebody else wrote it while it was mended; what they wrote stands, and nothing was \
         mended: run it again",
        name(.0)
    )]
    Changed(PathBuf),
    #[error(
        "{}: somebody else wrote it more than once while it was mended; nothing was mended, and \
         what was written in between is kept in {}",
        name(path),
        name(kept)
    )]
    ChangedTwice { path: PathBuf, kept: PathBuf },
    #[error("cannot write the results: {0}")]
    Output(io::Error),
    #[error(transparent)]
    Path(#[from] PathError),
}
