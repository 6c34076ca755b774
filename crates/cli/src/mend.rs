//! `gainsay check --mend`: applies the safe remedies to a file before it is checked.

use std::{
    fs, io,
    io::Write as _,
    path::{Path, PathBuf},
};

use gainsay::{Edit, Report, apply, safe_edits};

use crate::{
    check::Totals,
    output::{Block, Output},
};

/// How often a file is mended: remedies that touch each other take turns.
const ROUNDS: usize = 4;

/// Why a file was left as it was.
#[derive(Debug, thiserror::Error)]
pub(crate) enum MendError {
    #[error("standard input cannot be mended: name a file")]
    StandardInput,
    #[error("{}: cannot write the mended file: {source}; it is as it was", path.display())]
    Unwritable { path: PathBuf, source: io::Error },
    #[error("{}: changed by somebody else while it was read; it was not mended", .0.display())]
    Changed(PathBuf),
}

/// Mends the file at `path`. `look` checks it and gives the reports to the output.
/// Returns how many edits were made.
///
/// The file is replaced whole or not at all.
pub(crate) fn mend<E: From<MendError>>(
    path: &Path,
    mut look: impl FnMut(&mut dyn Output) -> Result<(), E>,
) -> Result<usize, E> {
    if path.as_os_str() == "-" {
        return Err(MendError::StandardInput.into());
    }
    let mut made = 0;
    for _ in 0..ROUNDS {
        let before = stamp(path);
        let mut edits = Collector::default();
        look(&mut edits)?;
        if edits.0.is_empty() {
            break;
        }
        replace(path, &edits.0, before)?;
        made += edits.0.len();
    }
    Ok(made)
}

/// What tells that a file was not touched: its length and when it was written.
fn stamp(path: &Path) -> Option<(u64, std::time::SystemTime)> {
    let data = fs::metadata(path).ok()?;
    Some((data.len(), data.modified().ok()?))
}

fn replace(
    path: &Path,
    edits: &[Edit],
    before: Option<(u64, std::time::SystemTime)>,
) -> Result<(), MendError> {
    let unwritable = |source| MendError::Unwritable {
        path: path.to_owned(),
        source,
    };
    // A link stays a link: what it points to is replaced.
    let target = fs::canonicalize(path).map_err(unwritable)?;
    let text = fs::read(&target).map_err(unwritable)?;
    if before.is_none() || stamp(path) != before {
        return Err(MendError::Changed(path.to_owned()));
    }
    let folder = target.parent().unwrap_or(Path::new("."));
    let mut new = tempfile::NamedTempFile::new_in(folder).map_err(unwritable)?;
    new.write_all(&apply(&text, edits)).map_err(unwritable)?;
    let rights = fs::metadata(&target).map_err(unwritable)?.permissions();
    new.as_file().set_permissions(rights).map_err(unwritable)?;
    new.as_file().sync_all().map_err(unwritable)?;
    new.persist(&target)
        .map_err(|error| unwritable(error.error))?;
    Ok(())
}

/// Gathers the safe edits of a file.
#[derive(Default)]
struct Collector(Vec<Edit>);

impl Output for Collector {
    fn begin_file(&mut self, _: &Path) -> io::Result<()> {
        Ok(())
    }

    fn report(&mut self, report: &Report, _: &Block<'_>) -> io::Result<()> {
        self.0.extend(safe_edits(&report.findings));
        Ok(())
    }

    fn end_file(&mut self, _: u64, _: u64) -> io::Result<()> {
        Ok(())
    }

    fn finish(&mut self, _: &Totals) -> io::Result<()> {
        Ok(())
    }
}
