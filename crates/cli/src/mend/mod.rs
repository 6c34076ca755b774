//! `gainsay check --mend` and `--export`: edits a file before it is checked, or shows the edits
//! (`--dry-run`).

mod diff;
mod error;
mod replace;

use std::{
    collections::BTreeSet,
    io::{Read as _, Write},
    num::NonZeroUsize,
    path::{Path, PathBuf},
};

use diff::Unified;
pub(crate) use error::MendError;
use gainsay::{
    Document, Language, Mended, Piece, Settings, algebraic, apply, fitted, last_cut, mend,
};
use gainsay_notation::sections;
use replace::{Draft, Target, sweep};

use crate::{
    cut::{BLOCK, OVERLAP, PIECE, next_start},
    files::{PathError, Source, fill},
    pool::in_order,
    print::{complain, name},
    settings::Chosen,
};

/// What is edited.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Task {
    /// All that is safe to mend.
    Mend,
    /// Old notation, which becomes algebraic with the piece letters of a language.
    Export(Language),
}

/// Mends files, or shows what mending would do.
pub(crate) struct Mender<'s> {
    settings: &'s Settings,
    /// So many bytes of text are in work at once; a longer game is left as it is, since no more
    /// of it is checked.
    texts: usize,
    workers: Vec<()>,
    task: Task,
    dry_run: bool,
    /// The folders in which nothing is left over from runs that were broken off.
    swept: BTreeSet<PathBuf>,
}

impl<'s> Mender<'s> {
    pub(crate) fn new(
        chosen: &'s Chosen,
        threads: Option<usize>,
        task: Task,
        dry_run: bool,
    ) -> Self {
        let cores = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
        Self {
            settings: &chosen.settings,
            texts: chosen.texts(),
            workers: vec![(); threads.unwrap_or(cores).max(1)],
            task,
            dry_run,
            swept: BTreeSet::new(),
        }
    }

    /// Mends a file, or prints on `out` what would be edited. Returns how many edits there
    /// are.
    ///
    /// The file is replaced whole or not at all, and only if it is still what was read.
    pub(crate) fn file(
        &mut self,
        source: &Source,
        out: &mut dyn Write,
    ) -> Result<usize, MendError> {
        if source.path.as_os_str() == "-" {
            return Err(MendError::StandardInput);
        }
        if gainsay_files::is_docx(&source.path) {
            return Err(MendError::Docx(source.path.clone()));
        }
        if self.dry_run {
            let mut shown = Shown(Unified::new(out, &name(&source.path)));
            let made = self.edited(source, &mut shown)?;
            shown.0.finish().map_err(MendError::Output)?;
            return Ok(made);
        }
        let target = Target::of(&source.path)?;
        if self.swept.insert(target.folder().to_owned()) {
            for left in sweep(target.folder(), std::time::SystemTime::now()) {
                complain(&format!(
                    "{}: left by a run that was broken off; it may hold a file as it was before: \
                     compare it, then delete it",
                    name(&left)
                ));
            }
        }
        let mut writing = Writing {
            target: &target,
            read: blake3::Hasher::new(),
            length: 0,
            draft: None,
        };
        let made = self.edited(source, &mut writing)?;
        if let Some(draft) = writing.draft
            && !draft.replace(&target, writing.read.finalize())?
        {
            complain(&format!(
                "{}: mended, though its file system cannot exchange two files: had it been \
                 written in the same instant, that would be lost",
                name(&source.path)
            ));
        }
        Ok(made)
    }

    /// Reads the file in blocks and hands its text over piece by piece, as it is and as it
    /// should be. Returns how many edits there are.
    fn edited(&mut self, source: &Source, sink: &mut dyn Sink) -> Result<usize, MendError> {
        let unreadable = |error| PathError::Unreadable {
            path: source.path.clone(),
            source: error,
        };
        let settings = self.settings;
        let mut from = source.open()?;
        let mut block = Vec::new();
        let mut wanted = BLOCK;
        let mut made = 0;
        let (texts, task) = (self.texts, self.task);
        // Whether the block begins inside of a game that is left as it is.
        let mut past = false;
        let mut more = fill(&mut *from, &mut block, wanted).map_err(unreadable)?;
        source.sniff(&block)?;
        loop {
            if past {
                let start = next_start(&block, source.format);
                past = start.is_none();
                let whole = if more {
                    block.len().saturating_sub(OVERLAP)
                } else {
                    block.len()
                };
                let whole = start.unwrap_or(whole);
                sink.same(&block[..whole])?;
                block.drain(..whole);
            }
            // The last game may go on in the next block.
            let done = if past {
                0
            } else if more {
                last_cut(&block, source.format).unwrap_or(0)
            } else {
                block.len()
            };
            let bytes = block.get(..done).unwrap_or_default();
            let document = Document::in_pieces(bytes, source.format, PIECE);
            let text = |piece: &Piece| bytes.get(piece.range.clone()).unwrap_or_default();
            in_order(
                document.pieces(),
                &mut self.workers,
                (|piece: &Piece| piece.range.len(), texts),
                |piece, ()| {
                    let mended = match task {
                        Task::Mend => {
                            let whole = before_long(document.bytes_of(piece), texts);
                            document.writable(piece, mend(whole, piece.kind, settings))
                        }
                        Task::Export(_) if piece.range.len() > texts => Mended::default(),
                        Task::Export(language) => {
                            let place = document.place(piece.id);
                            let told = |at| algebraic(&document, at, language, settings);
                            place.map(told).unwrap_or_default()
                        }
                    };
                    (piece, mended)
                },
                |(piece, mended)| {
                    made += mended.made;
                    let old = text(piece);
                    if mended.edits.is_empty() {
                        return sink.same(old);
                    }
                    let before = bytes.get(..piece.range.start).unwrap_or_default();
                    let edits = fitted(mended.edits, old, before);
                    sink.edited(old, &apply(old, &edits))
                },
            )?;
            block.drain(..done);
            past |= done == 0 && more && block.len() > texts;
            wanted = if done == 0 && !past {
                wanted.saturating_mul(2)
            } else {
                BLOCK.max(block.len() * 2)
            };
            if !more {
                return Ok(made);
            }
            more = fill(&mut *from, &mut block, wanted).map_err(unreadable)?;
        }
    }
}

/// The games of a piece before one that is too long.
fn before_long(text: &[u8], most: usize) -> &[u8] {
    match text.get(..most) {
        Some(head) if text.len() > most => {
            let last = sections(head).last().map_or(0, |last| last.range.start);
            head.get(..last).unwrap_or_default()
        }
        _ => text,
    }
}

/// Where the text goes, piece by piece.
trait Sink {
    /// A piece that stays as it is.
    fn same(&mut self, text: &[u8]) -> Result<(), MendError>;
    /// A piece as it is, and as it should be.
    fn edited(&mut self, old: &[u8], new: &[u8]) -> Result<(), MendError>;
}

/// The edits are shown.
struct Shown<'o>(Unified<'o>);

impl Sink for Shown<'_> {
    fn same(&mut self, text: &[u8]) -> Result<(), MendError> {
        self.0.piece(text, text).map_err(MendError::Output)
    }

    fn edited(&mut self, old: &[u8], new: &[u8]) -> Result<(), MendError> {
        self.0.piece(old, new).map_err(MendError::Output)
    }
}

/// The text is written to a file beside the old one, from the first edit on.
struct Writing<'t> {
    target: &'t Target,
    /// What was read so far.
    read: blake3::Hasher,
    length: u64,
    draft: Option<Draft>,
}

impl Writing<'_> {
    fn take(&mut self, old: &[u8]) {
        self.read.update(old);
        self.length += old.len() as u64;
    }
}

impl Sink for Writing<'_> {
    fn same(&mut self, text: &[u8]) -> Result<(), MendError> {
        self.take(text);
        match &mut self.draft {
            Some(draft) => draft.write(self.target, text),
            None => Ok(()),
        }
    }

    fn edited(&mut self, old: &[u8], new: &[u8]) -> Result<(), MendError> {
        if self.draft.is_none() {
            // What stands before the first edit is read once more, and must be the same.
            let mut draft = Draft::of(self.target)?;
            let mut before = blake3::Hasher::new();
            let mut file = self.target.open()?.take(self.length);
            let mut buffer = vec![0; 1 << 16];
            loop {
                let unwritable = |source| self.target.unwritable(source);
                let count = file.read(&mut buffer).map_err(unwritable)?;
                let Some(bytes) = buffer.get(..count).filter(|bytes| !bytes.is_empty()) else {
                    break;
                };
                before.update(bytes);
                draft.write(self.target, bytes)?;
            }
            if before.finalize() != self.read.finalize() {
                return Err(MendError::Changed(self.target.named().to_owned()));
            }
            self.draft = Some(draft);
        }
        self.take(old);
        match &mut self.draft {
            Some(draft) => draft.write(self.target, new),
            None => Ok(()),
        }
    }
}

/// How the edits that were made are told.
pub(crate) fn told(path: &Path, task: Task, made: usize) -> String {
    let path = name(path);
    match (task, made) {
        (Task::Mend, 1) => format!("{path}: 1 safe edit made"),
        (Task::Mend, _) => format!("{path}: {made} safe edits made"),
        (Task::Export(_), 1) => format!("{path}: 1 move written in algebraic notation"),
        (Task::Export(_), _) => format!("{path}: {made} moves written in algebraic notation"),
    }
}
