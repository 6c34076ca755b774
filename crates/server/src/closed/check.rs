//! Checking one file, in steps that can be stopped and taken up again.

use std::{
    hash::{DefaultHasher, Hash, Hasher},
    io::Read,
    ops::Range,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};

use gainsay::{Document, Finding, Solver};
use gainsay_notation::{Columns, Format, LineIndex};

use super::summary::{MOST_OF_FILE, Placed, Summary};
use crate::{options::Terms, words::files as words};

/// No larger file is read: its findings would not be looked at, and its text must fit
/// into memory.
const LARGEST: u64 = 16 << 20;

/// How many bytes of games are checked between two looks at the flag.
const PIECE: usize = 2 << 10;

/// A file that is to be checked.
#[derive(Debug)]
pub(crate) struct FileJob {
    pub(crate) path: Arc<Path>,
    pub(crate) format: Format,
    pub(crate) terms: Terms,
    pub(crate) columns: Columns,
    /// Raised when somebody else needs the worker, or the answer is no longer wanted.
    pub(crate) stop: Arc<AtomicBool>,
    /// How far an earlier try has come.
    pub(crate) progress: Progress,
}

/// How far the check of a file has come.
#[derive(Clone, Debug, Default)]
pub(crate) struct Progress {
    /// Tells whether it is still the same text.
    fingerprint: u64,
    /// How many pieces are done.
    done: usize,
    summary: Summary,
}

/// How a try ended.
#[derive(Debug)]
pub(crate) enum Outcome {
    Done(Summary),
    Stopped(Progress),
}

/// Checks a file until it is done or stopped.
pub(crate) fn check(job: FileJob, solver: &mut Solver) -> Outcome {
    let bytes = match read(&job.path) {
        Ok(bytes) => bytes,
        Err(trouble) => {
            return Outcome::Done(Summary {
                trouble: Some(trouble),
                ..Summary::default()
            });
        }
    };
    let text = bytes.as_slice();
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    let fingerprint = hasher.finish();
    let mut progress = job.progress;
    if progress.fingerprint != fingerprint {
        progress = Progress {
            fingerprint,
            ..Progress::default()
        };
    }
    let lines = LineIndex::new(text);
    let place = |span: &Range<usize>| {
        let at = |offset| lines.position(text, offset, job.columns);
        at(span.start)..at(span.end)
    };
    solver.stop_on(Arc::clone(&job.stop));
    let settings = &job.terms.settings;
    let document = Document::in_pieces(text, job.format, PIECE);
    for (at, piece) in document.pieces().iter().enumerate().skip(progress.done) {
        if job.stop.load(Ordering::Relaxed) {
            return Outcome::Stopped(progress);
        }
        let mut report = document.check(at, settings, solver);
        // What was found while the flag went up may be cut short.
        if job.stop.load(Ordering::Relaxed) {
            return Outcome::Stopped(progress);
        }
        progress.done += 1;
        report.shift(piece.range.start, 0);
        let found = report.findings.into_iter();
        progress.summary.found.extend(found.map(|finding| {
            Placed {
                at: place(&finding.span),
                related: finding
                    .related
                    .iter()
                    .map(|related| place(&related.span))
                    .collect(),
                finding: without_edits(finding),
            }
        }));
        if progress.summary.found.len() > 2 * MOST_OF_FILE {
            progress.summary.cut(MOST_OF_FILE);
        }
    }
    progress.summary.cut(MOST_OF_FILE);
    Outcome::Done(progress.summary)
}

fn without_edits(mut finding: Finding) -> Finding {
    for remedy in &mut finding.remedies {
        remedy.edits = Vec::new();
    }
    finding
}

/// The text of a file as an editor has it, without a byte order mark; or why it is not
/// read.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, String> {
    let file = match std::fs::File::open(path) {
        Ok(file) => file,
        // It has gone meanwhile.
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(words::unreadable(&error)),
    };
    let mut bytes = Vec::new();
    let mut head = file.take(LARGEST + 1);
    head.read_to_end(&mut bytes)
        .map_err(|error| words::unreadable(&error))?;
    if bytes.len() as u64 > LARGEST {
        let most = LARGEST >> 20;
        return Err(words::too_large(most));
    }
    if let Err(why) = gainsay_files::sniff(&bytes) {
        return Err(words::unchecked(why));
    }
    if bytes.starts_with(b"\xef\xbb\xbf") {
        bytes.drain(..3);
    }
    Ok(bytes)
}
