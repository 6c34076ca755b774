//! `gainsay check --comments`: what was found, as comments in a copy of the author's document.

use std::{
    fs,
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use gainsay::{Finding, Report, Severity};
use gainsay_files::{DocxError, Remark, is_docx, is_ours, with_comments};

use crate::{
    files::Source,
    output::{Block, Output},
    print::name,
    totals::Totals,
    written::whole,
};

/// How many lines of evidence and how many remedies a comment tells at most.
const MOST_NOTES: usize = 4;

/// Why no copy with comments is written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum CommentError {
    #[error("--comments writes a copy of one .docx file: name one, and nothing else")]
    NotOne,
    #[error("{}: this is the file that is checked; give the copy another name", name(.0))]
    Same(PathBuf),
    #[error(
        "{}: this file was not written by gainsay, or was saved since; move it away, or name \
         another file with --comments",
        name(.0)
    )]
    Foreign(PathBuf),
    #[error("{}: the copy with comments cannot be written: {why}", name(path))]
    Unwritten { path: PathBuf, why: DocxError },
}

/// Makes sure that a copy of the source with comments can be written to `copy`.
pub(crate) fn may_write(found: &[Source], copy: &Path) -> Result<(), CommentError> {
    let [source] = found else {
        return Err(CommentError::NotOne);
    };
    if !is_docx(&source.path) {
        return Err(CommentError::NotOne);
    }
    let same = |copy: PathBuf| source.path.canonicalize().is_ok_and(|path| path == copy);
    if copy.canonicalize().is_ok_and(same) {
        return Err(CommentError::Same(copy.to_owned()));
    }
    match fs::symlink_metadata(copy) {
        Ok(_) if !is_ours(copy) => Err(CommentError::Foreign(copy.to_owned())),
        // What cannot be looked at is told when it is written.
        _ => Ok(()),
    }
}

/// An output that keeps what it prints for the copy.
pub(crate) struct Remarked<'o> {
    output: &'o mut dyn Output,
    remarks: Vec<Remark>,
    /// Whether the source was read.
    read: bool,
}

impl<'o> Remarked<'o> {
    pub(crate) fn new(output: &'o mut dyn Output) -> Self {
        Self {
            output,
            remarks: Vec::new(),
            read: false,
        }
    }

    /// Writes the copy. There is none of a source that could not be read, which has been told.
    pub(crate) fn write(self, source: &Source, copy: &Path) -> Result<(), CommentError> {
        if !self.read {
            return Ok(());
        }
        let unwritten = |why| CommentError::Unwritten {
            path: copy.to_owned(),
            why,
        };
        let mut bytes = io::Cursor::new(Vec::new());
        with_comments(&source.path, &self.remarks, &mut bytes).map_err(unwritten)?;
        whole(copy, |out| out.write_all(bytes.get_ref())).map_err(|error| unwritten(error.into()))
    }
}

/// What a comment says of a finding.
fn lines(finding: &Finding) -> Vec<String> {
    let severity = finding.severity.as_str();
    let mut lines = vec![format!(
        "{severity}: {} [{}]",
        finding.message, finding.rule.name
    )];
    let evidence = finding.evidence.iter().take(MOST_NOTES);
    lines.extend(evidence.map(|moves| format!("shown by: {moves}")));
    lines.extend(finding.note.iter().map(|note| format!("note: {note}")));
    let remedies = finding.remedies.iter().take(MOST_NOTES);
    lines.extend(remedies.map(|remedy| format!("remedy: {}", remedy.title)));
    lines
}

impl Output for Remarked<'_> {
    fn least(&self) -> Severity {
        self.output.least()
    }

    fn begin_file(&mut self, path: &Path) -> io::Result<()> {
        self.read = true;
        self.output.begin_file(path)
    }

    fn report(&mut self, report: &Report, block: &Block<'_>) -> io::Result<()> {
        for finding in &report.findings {
            if let Some(paragraph) = block.paragraph(finding.span.start) {
                self.remarks.push(Remark {
                    paragraph: paragraph.number,
                    lines: lines(finding),
                });
            }
        }
        self.output.report(report, block)
    }

    fn end_file(&mut self, games: u64, plies: u64) -> io::Result<()> {
        self.output.end_file(games, plies)
    }

    fn finish(&mut self, totals: &Totals) -> io::Result<()> {
        self.output.finish(totals)
    }
}
