//! Checks sources: reads files in blocks, checks their games on all cores, and gives the reports to
//! an output in the order of the text.

use std::{
    fs::File,
    io::{self, BufWriter, Write},
    path::Path,
};

use gainsay::{
    Document, Format, MOST_CLAIMS, NotationReader, Report, Settings, Solver, last_cut,
    show::counted,
};
use gainsay_files::NoList;
use gainsay_notation::{LineIndex, SectionKind};

use crate::{
    args::WorkArgs,
    bar::Bar,
    blocks::{FileState, between_lines, count_lines, read_past},
    changed::{self, Changed},
    cut::{BLOCK, OVERLAP, PIECE, Part, parts},
    files::{PathError, Source, fill},
    known::{Known, ListError, Recorder},
    output::{Block, Output},
    pool::in_order,
    print::{complain, name},
    settings::Chosen,
    totals::Totals,
    verify::label,
};

/// The same of a file of positions: no line speaks of another, and each is a piece of work.
const POSITIONS: usize = 64 << 10;

/// Why a run ends early.
#[derive(Debug, thiserror::Error)]
enum Trouble {
    /// The reader of the results has gone, which is not an error.
    #[error("the output was closed")]
    Closed,
    /// The results cannot be written.
    #[error("cannot write the results: {0}")]
    Output(io::Error),
    /// The proofs cannot be written.
    #[error("cannot write the proofs: {0}")]
    Proofs(io::Error),
    /// The known findings cannot be written.
    #[error(transparent)]
    Known(#[from] ListError),
    /// A file cannot be read; others can.
    #[error(transparent)]
    Path(#[from] PathError),
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::Closed
        } else {
            Self::Output(error)
        }
    }
}

/// How the checking of all sources ended.
pub(crate) struct Done {
    pub(crate) totals: Totals,
    /// Whether something could not be checked or written, which has been told.
    pub(crate) troubled: bool,
    /// Whether anybody still reads the results.
    pub(crate) heard: bool,
}

/// Checks sources and gives the reports to an output.
pub(crate) fn check_all(
    found: &[Source],
    chosen: &Chosen,
    work: &WorkArgs,
    proofs: Option<BufWriter<File>>,
    output: &mut dyn Output,
) -> Done {
    let opened = chosen.known.as_deref().map(Known::open).transpose();
    let known = match opened {
        Ok(known) => known,
        // It is only about to be written.
        Err(NoList::Missing(path)) if chosen.write_known.as_ref() == Some(&path) => None,
        Err(error) => {
            complain(&error.to_string());
            return Done {
                totals: Totals::default(),
                troubled: true,
                heard: true,
            };
        }
    };
    let mut checker = Checker {
        known,
        changed: chosen.changed.as_ref(),
        recorder: chosen.write_known.as_deref().map(Recorder::new),
        settings: &chosen.settings,
        solvers: chosen.solvers(work.threads),
        totals: Totals::default(),
        proofs,
        texts: chosen.texts(),
        troubled: false,
    };
    let mut done = checker.all(found, output);
    if done.is_ok() && !checker.troubled {
        done = checker.end(work);
    }
    if let Some(verdicts) = chosen.aids.verdicts() {
        verdicts.tidy();
        if work.verbose {
            let (recalled, settled) = verdicts.counts();
            complain(&format!(
                "games with claims: {recalled} remembered, {settled} settled"
            ));
        }
    }
    let heard = !matches!(done, Err(Trouble::Closed));
    match done {
        Ok(()) | Err(Trouble::Closed) => {}
        Err(error) => checker.trouble(&error.to_string()),
    }
    Done {
        totals: checker.totals,
        troubled: checker.troubled,
        heard,
    }
}

struct Checker<'s> {
    settings: &'s Settings,
    solvers: Vec<Solver>,
    totals: Totals,
    /// Where the proofs of mates are written to.
    proofs: Option<BufWriter<File>>,
    /// So many bytes of text are in work at once, and of one game no more are checked.
    texts: usize,
    /// What alone is checked.
    changed: Option<&'s Changed>,
    /// What is left out.
    known: Option<Known>,
    /// What is written down instead of being reported.
    recorder: Option<Recorder>,
    /// Whether something could not be checked.
    troubled: bool,
}

impl Checker<'_> {
    /// Says what could not be checked.
    fn trouble(&mut self, message: &str) {
        self.troubled = true;
        complain(message);
    }

    fn all(&mut self, found: &[Source], output: &mut dyn Output) -> Result<(), Trouble> {
        for source in found {
            match self.file(source, output) {
                Err(Trouble::Path(error)) => self.trouble(&error.to_string()),
                other => other?,
            }
        }
        if let Some(file) = &mut self.proofs {
            file.flush().map_err(Trouble::Proofs)?;
        }
        Ok(output.finish(&self.totals)?)
    }

    /// Once all files are done: says what is known and gone, and writes what is to be known.
    fn end(&mut self, work: &WorkArgs) -> Result<(), Trouble> {
        if let Some(recorder) = self.recorder.take() {
            let path = recorder.path().to_owned();
            let count = recorder.write()?;
            let findings = counted(count as u64, "known finding");
            complain(&format!("{} has {findings}", name(&path)));
        } else if let Some(known) = &self.known
            && !work.no_claims
            && work.nodes.is_none()
            && work.game_nodes.is_none()
            && self.changed.is_none()
        {
            known.tell_gone(self.settings);
        }
        Ok(())
    }

    fn file(&mut self, source: &Source, output: &mut dyn Output) -> Result<(), Trouble> {
        let unreadable = |error| PathError::Unreadable {
            path: source.path.clone(),
            source: error,
        };
        let (mut from, paragraphs) = source.open_with_paragraphs()?;
        let mut block = Vec::new();
        let least = match source.format {
            Format::Epd => POSITIONS,
            // With little memory a smaller file is an archive already.
            _ => BLOCK.min(self.texts * 16),
        };
        let mut wanted = least;
        // The first bytes are read before the file is announced, so that a file that
        // cannot be read leaves no trace in the results.
        let mut more = fill(&mut *from, &mut block, wanted).map_err(unreadable)?;
        source.sniff(&block)?;
        let bar = Bar::new(source);
        if let Some(recorder) = &mut self.recorder {
            recorder.saw(source);
        }
        output.begin_file(&source.path)?;
        let mut state = FileState {
            paragraphs,
            ..FileState::default()
        };
        loop {
            // The last game may go on in the next block.
            let done = if more {
                last_cut(&block, source.format).unwrap_or(0)
            } else {
                block.len()
            };
            if done == 0 && more && block.len() <= self.texts {
                // One game fills the block: take more of it before reading it.
                wanted = block.len().max(wanted / 2).saturating_mul(2);
            } else if done == 0 && more {
                let whole = between_lines(&block, block.len().saturating_sub(OVERLAP));
                let part = Document::part_in_pieces(&block[..whole], source.format, PIECE);
                self.block(&part, source, &mut state, output)?;
                block.drain(..whole);
                more = read_past(&mut *from, &mut block, source.format, &mut state)
                    .map_err(unreadable)?;
                wanted = least.max(block.len());
                if !more && !block.is_empty() {
                    continue;
                }
            } else {
                // Other games are looked up in a file that is here as a whole.
                let document = if state.offset == 0 && !more {
                    Document::in_pieces(&block, source.format, PIECE)
                } else {
                    Document::part_in_pieces(&block[..done], source.format, PIECE)
                };
                self.block(&document, source, &mut state, output)?;
                block.drain(..done);
                wanted = least.max(block.len() * 2);
            }
            bar.at(state.offset);
            if !more {
                break;
            }
            more = match fill(&mut *from, &mut block, wanted) {
                Ok(more) => more,
                Err(error) => {
                    self.trouble(&unreadable(error).to_string());
                    false
                }
            };
        }
        if let Some(known) = &mut self.known {
            known.saw(source);
        }
        output.end_file(u64::from(state.games), state.plies)?;
        Ok(())
    }

    /// Checks a block in pieces and reports them in order.
    fn block(
        &mut self,
        document: &Document<'_>,
        source: &Source,
        state: &mut FileState,
        output: &mut dyn Output,
    ) -> Result<(), Trouble> {
        let Source { path, format } = source;
        let format = *format;
        let bytes = document.text();
        let lines = std::cell::OnceCell::new();
        let settings = self.settings;
        let totals = &mut self.totals;
        let proofs = &mut self.proofs;
        let (texts, least) = (self.texts, output.least());
        let (known, recorder) = (&mut self.known, &mut self.recorder);
        let mut full = Vec::new();
        let parts = parts(document, texts);
        let places = self.changed.map(|changed| changed.places(bytes, format));
        in_order(
            &parts,
            &mut self.solvers,
            (|part: &Part| part.range.len(), texts),
            |part, solver| {
                let is_new = |places: &Vec<_>| {
                    let mut places = places.iter();
                    places.any(|place| changed::touch(place, &part.range))
                };
                if !places.as_ref().is_none_or(is_new) {
                    return passed_over(part, bytes, settings);
                }
                let mut report = part.check(document, settings, solver);
                report.shift(part.range.start, 0);
                if let Some(places) = &places {
                    changed::keep(&mut report, places);
                }
                report
            },
            |mut report| {
                report.shift(state.offset, state.numbers);
                full.extend(games_with_most_claims(&report));
                let block = || Block {
                    bytes,
                    start: state.offset,
                    first_line: state.line,
                    lines: lines.get_or_init(|| LineIndex::new(bytes)),
                    paragraphs: state.paragraphs.as_ref(),
                };
                if let Some(known) = known {
                    known.sift(&mut report);
                }
                if let Some(recorder) = recorder {
                    recorder.take(&mut report, source, |finding| block().words(&finding.span));
                }
                totals.add(&report, format);
                state.games += report.games;
                state.numbers += report.numbers;
                state.plies += report.plies;
                if let Some(file) = proofs {
                    write_proofs(file, &report, path, format).map_err(Trouble::Proofs)?;
                }
                report.findings.retain(|finding| finding.severity >= least);
                report
                    .accepted
                    .retain(|accepted| accepted.finding.severity >= least);
                if report.says_nothing() {
                    return Ok(());
                }
                output.report(&report, &block()).map_err(Trouble::from)
            },
        )?;
        for part in &parts {
            let Some(at) = part.cut else { continue };
            let lines = lines.get_or_init(|| LineIndex::new(bytes));
            let line = state.line as usize + lines.line_of(at) + 1;
            let what = match (format, part.kind) {
                (_, SectionKind::Prose) => "passage",
                (_, SectionKind::Games) => "game",
                (_, SectionKind::Epd) => "line",
                (_, SectionKind::Board) => "board",
            };
            self.trouble(&format!(
                "{}:{line}: this {what} is longer than {} KB, and only its beginning was \
                 checked: end what is left open, or give more memory (--memory)",
                name(path),
                texts >> 10
            ));
        }
        for game in full {
            self.trouble(&format!(
                "{}: game {game} has more claims than anybody makes: only the first \
                 {MOST_CLAIMS} were checked",
                name(path)
            ));
        }
        let last = match lines.get() {
            Some(lines) => lines.len().saturating_sub(1),
            None => count_lines(bytes),
        };
        state.line += last as u32;
        state.offset += bytes.len();
        Ok(())
    }
}

/// What is left of a part that is as it was: its games have numbers.
fn passed_over(part: &Part, bytes: &[u8], settings: &Settings) -> Report {
    let own = bytes.get(part.range.clone()).unwrap_or_default();
    let read = NotationReader::default().read(own, part.kind, settings);
    Report {
        numbers: read.report.numbers,
        ..Report::default()
    }
}

/// Writes the proofs of the mates that hold, each behind a line that says what it belongs to.
fn write_proofs(
    file: &mut impl Write,
    report: &Report,
    path: &Path,
    format: Format,
) -> io::Result<()> {
    for claim in &report.claims {
        let Some(proof) = &claim.proof else { continue };
        let mut of = name(path);
        if let Some(game) = claim.game {
            let unit = if format == Format::Epd {
                "line"
            } else {
                "game"
            };
            of.push_str(&format!(", {unit} {game}"));
        }
        if let Some(mv) = &claim.mv {
            of.push_str(&format!(", {mv}"));
        }
        label(file, &format!("{of}, \"{}\"", claim.text.trim()))?;
        file.write_all(proof.as_bytes())?;
    }
    Ok(())
}

/// The games of which no more claims are read.
fn games_with_most_claims(report: &Report) -> impl Iterator<Item = u32> {
    let games = report.claims.chunk_by(|one, other| one.game == other.game);
    let most = games.filter(|claims| claims.len() >= MOST_CLAIMS);
    most.filter_map(|claims| claims.first()?.game)
}
