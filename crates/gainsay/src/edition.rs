//! A text as it stands between two edits, cut into pieces that can be checked on any thread.

use std::{borrow::Cow, collections::HashMap, ops::Range, sync::OnceLock};

use gainsay_notation::{Format, Section};

use crate::{
    allowance,
    book::{Book, LARGEST_BOOK, Listing},
    mending::Mended,
    numbering::Note,
    outline::Outline,
    pieces::{Excerpt, Piece, PieceId},
    questions::Questions,
    recognise,
    report::{Edit, Finding, Report},
    rules::{missing_exercise, missing_solution, remarked, repeated_number},
    settings::Settings,
    sink::Sink,
    solver::Solver,
    whole::{self, Remarks, Whole},
};

/// A text as it stands between two edits, cut into pieces. What is asked of it more than
/// once is found out once: the blocks that its prose speaks of, and the games of the book.
///
/// ```
/// use gainsay::{Document, Format};
/// let mut text = Document::open(b"1. e4 *\n", Format::Pgn);
/// let before = text.edition();
/// let _ = text.edit(3..5, b"d4");
/// assert_eq!((before.text(), text.text()), (&b"1. e4 *\n"[..], &b"1. d4 *\n"[..]));
/// ```
#[derive(Debug)]
pub struct Edition<'t> {
    text: Cow<'t, [u8]>,
    /// What is read, as long as the text; `None` where it is the text itself.
    view: Option<Vec<u8>>,
    format: Format,
    /// Whether the text is all that there is, so that its games can be looked up.
    whole: bool,
    pieces: Vec<Piece>,
    outline: OnceLock<Outline>,
    remarks: OnceLock<Remarks>,
    places: OnceLock<HashMap<PieceId, usize>>,
    listing: Listing,
}

/// The copy knows of the text what was cut, and finds out the rest anew: it is made to be
/// changed.
impl Clone for Edition<'_> {
    fn clone(&self) -> Self {
        Self::new(
            self.text.clone(),
            self.view.clone(),
            self.format,
            self.whole,
            self.pieces.clone(),
        )
    }
}

impl<'t> Edition<'t> {
    fn new(
        text: Cow<'t, [u8]>,
        view: Option<Vec<u8>>,
        format: Format,
        whole: bool,
        pieces: Vec<Piece>,
    ) -> Self {
        Self {
            text,
            view,
            format,
            whole,
            pieces,
            outline: OnceLock::new(),
            remarks: OnceLock::new(),
            places: OnceLock::new(),
            listing: Listing::default(),
        }
    }

    /// A text that is cut into sections of this view.
    pub(crate) fn of(
        text: Cow<'t, [u8]>,
        view: Option<Vec<u8>>,
        format: Format,
        whole: bool,
        sections: Vec<Section>,
    ) -> Self {
        let read = view.as_deref().unwrap_or(&text);
        let named = (0..).zip(sections);
        let pieces = named.map(|(id, section)| Piece::of(read, section, format, PieceId(id)));
        let pieces = pieces.collect();
        Self::new(text, view, format, whole, pieces)
    }

    /// The text as its file has it: what lines are counted in and edits are made to.
    #[must_use]
    pub fn text(&self) -> &[u8] {
        &self.text
    }

    /// The text as it is read, with blanks where the format has signs of its own: as long as
    /// the text, with everything in the same place.
    #[must_use]
    pub fn view(&self) -> &[u8] {
        self.view.as_deref().unwrap_or(&self.text)
    }

    /// How it is read.
    #[must_use]
    pub const fn format(&self) -> Format {
        self.format
    }

    /// Its pieces, which follow each other without a gap.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The bytes of a piece as they are read.
    #[must_use]
    pub fn bytes_of(&self, piece: &Piece) -> &[u8] {
        own(self.view(), piece)
    }

    /// The place of a piece among all; `None` where it is no more.
    #[must_use]
    pub fn place(&self, id: PieceId) -> Option<usize> {
        let places = self.places.get_or_init(|| {
            let pieces = self.pieces.iter().zip(0..);
            pieces.map(|(piece, at)| (piece.id, at)).collect()
        });
        places.get(&id).copied()
    }

    /// The games of the text, which its words can point at.
    #[must_use]
    pub fn book(&self) -> Book<'_> {
        if self.whole {
            Book::of(self.view(), self.format, &self.pieces, &self.listing)
        } else {
            Book::unknown()
        }
    }

    /// Piece `at` with what stands around it.
    #[must_use]
    pub fn excerpt(&self, at: usize) -> Option<Excerpt> {
        self.outline().around(&self.pieces, at)
    }

    /// What belongs to what.
    pub(crate) fn outline(&self) -> &Outline {
        self.outline
            .get_or_init(|| Outline::of(self.view(), &self.pieces))
    }

    /// Piece `at` by itself, which neither speaks of what stands around it nor points at
    /// other games.
    #[must_use]
    pub fn alone(&self, at: usize) -> Option<Edition<'static>> {
        let piece = self.pieces.get(at)?;
        let own = self.bytes_of(piece).to_vec();
        let alone = Piece {
            range: 0..own.len(),
            ..piece.clone()
        };
        Some(Edition::new(
            Cow::Owned(own),
            None,
            self.format,
            false,
            vec![alone],
        ))
    }

    /// The questions of piece `at`. Offsets are relative to it.
    #[must_use]
    pub fn questions(&self, at: usize, settings: &Settings) -> Questions<'_> {
        let excerpt = self.excerpt(at);
        let ask = |excerpt: Excerpt| excerpt.questions(self.view(), &self.book(), settings);
        excerpt.map(ask).unwrap_or_default()
    }

    /// The pieces with the games that questions point at.
    #[must_use]
    pub fn looked_at(&self, questions: &Questions<'_>) -> Vec<PieceId> {
        let mut starts: Vec<usize> = questions.look_at().map(|range| range.start).collect();
        starts.sort_unstable();
        starts.dedup();
        let piece_at = |start: usize| {
            let behind = self
                .pieces
                .partition_point(|piece| piece.range.start <= start);
            self.pieces.get(behind.checked_sub(1)?)
        };
        let pieces = starts.into_iter().filter_map(piece_at);
        let mut ids: Vec<PieceId> = pieces.map(|piece| piece.id).collect();
        ids.dedup();
        ids
    }

    /// Checks piece `at`: notation and claims. Offsets in the report are relative to it, and
    /// games are counted from 1.
    #[must_use]
    pub fn check(&self, at: usize, settings: &Settings, solver: &mut Solver) -> Report {
        let excerpt = self.excerpt(at);
        let check = |excerpt: Excerpt| excerpt.check(self.view(), &self.book(), settings, solver);
        let mut report = excerpt.map(check).unwrap_or_default();
        self.complete(at, settings, &mut report);
        report
    }

    /// What is said of pieces because of what stands elsewhere, by their places.
    pub(crate) fn remarks(&self) -> &Remarks {
        self.remarks.get_or_init(|| {
            if !self.whole || self.text.len() > LARGEST_BOOK || self.format == Format::Epd {
                return Remarks::new();
            }
            let whole = Whole {
                text: &self.text,
                view: self.view(),
                pieces: &self.pieces,
                outline: self.outline(),
            };
            whole::remarks(&whole)
        })
    }

    /// Adds to the report of piece `at` what only the whole text tells, and makes its remedies edits of
    /// the file.
    pub fn complete(&self, at: usize, settings: &Settings, report: &mut Report) {
        let own = self.pieces.get(at).map(|piece| self.bytes_of(piece));
        let own = own.unwrap_or_default();
        let mut told = self.told(at, own, settings);
        allowance::of_the_whole(own, &mut told, &mut report.accepted, settings);
        if !told.is_empty() {
            report.findings.extend(told);
            report.findings.sort_by_key(|finding| finding.span.start);
        }
        self.fit(at, &mut report.findings);
    }

    /// What the whole text tells of piece `at`, whose bytes are `own`. Offsets are its own.
    fn told(&self, at: usize, own: &[u8], settings: &Settings) -> Vec<Finding> {
        // Files of games and of positions have no pages of solutions.
        let notes = match self.format {
            Format::Pgn | Format::Epd => &[],
            _ => self.outline().notes(at),
        };
        let remarks = self.remarks().get(&at).map_or(&[][..], Vec::as_slice);
        if notes.is_empty() && remarks.is_empty() {
            return Vec::new();
        }
        let mut sink = Sink::new(settings);
        for (number, span, note) in notes {
            sink.push(match note {
                Note::Repeated => repeated_number::finding(*number, span, None),
                Note::Behind(before) => repeated_number::finding(*number, span, Some(*before)),
                Note::NoSolution => missing_solution::finding(*number, span),
                Note::NoExercise => missing_exercise::finding(*number, span),
            });
        }
        for remark in remarks {
            sink.push(remarked(remark));
        }
        let words = |span: &Range<usize>| own.get(span.clone()).unwrap_or_default();
        let mut findings = sink.into_findings();
        recognise::mark(&mut findings, 0, words);
        findings
    }

    /// Makes the remedies of findings in piece `at` edits of the file: one that would change signs
    /// of the format itself takes them along where they can be written anew, and is left out
    /// elsewhere.
    pub fn fit(&self, at: usize, findings: &mut [Finding]) {
        let (Some(view), Some(piece)) = (&self.view, self.pieces.get(at)) else {
            return;
        };
        let (text, view) = (own(&self.text, piece), own(view, piece));
        for finding in findings {
            finding.remedies.retain_mut(|remedy| {
                let mut edits = remedy.edits.iter_mut();
                edits.all(|edit| fit(edit, text, view, self.format))
            });
        }
    }

    /// What mending made of the view of a piece, as edits of the file; nothing where one of them
    /// cannot be written there.
    #[must_use]
    pub fn writable(&self, piece: &Piece, mut mended: Mended) -> Mended {
        let Some(view) = &self.view else {
            return mended;
        };
        let (text, view) = (own(&self.text, piece), own(view, piece));
        let mut edits = mended.edits.iter_mut();
        match edits.all(|edit| fit(edit, text, view, self.format)) {
            true => mended,
            false => Mended::default(),
        }
    }

    /// Takes over the view of a changed text, and returns the one before.
    pub(crate) const fn see(&mut self, view: Option<Vec<u8>>) -> Option<Vec<u8>> {
        std::mem::replace(&mut self.view, view)
    }

    /// Changes the text; the view and the pieces are to be changed with it.
    pub(crate) fn splice(&mut self, replaced: Range<usize>, new: &[u8]) {
        let text = self.text.to_mut();
        let start = replaced.start.min(text.len());
        let end = replaced.end.clamp(start, text.len());
        text.splice(start..end, new.iter().copied());
        self.forget();
    }

    /// The pieces, to be changed with the text.
    pub(crate) const fn pieces_mut(&mut self) -> &mut Vec<Piece> {
        &mut self.pieces
    }

    /// Forgets what was found out about the text.
    pub(crate) fn forget(&mut self) {
        self.outline = OnceLock::new();
        self.remarks = OnceLock::new();
        self.places = OnceLock::new();
        self.listing = Listing::default();
    }
}

/// The bytes of a piece.
fn own<'t>(text: &'t [u8], piece: &Piece) -> &'t [u8] {
    text.get(piece.range.clone()).unwrap_or_default()
}

/// Makes an edit of the view one of the text; `false` where it cannot be written.
fn fit(edit: &mut Edit, text: &[u8], view: &[u8], format: Format) -> bool {
    let same = |range: Range<usize>| text.get(range.clone()) == view.get(range);
    if edit.text.is_empty()
        && let Some(remark) = allowance(&edit.span, text, view, format)
    {
        edit.span = remark;
        return true;
    }
    if !same(edit.span.clone()) || edit.span.is_empty() && !touches(edit.span.start, text, view) {
        return false;
    }
    match format.written(&edit.text) {
        Some(Cow::Owned(written)) => edit.text = written,
        Some(Cow::Borrowed(_)) => {}
        None => return false,
    }
    true
}

/// Whether a place stands beside a byte that is where the file has it: signs that were left out may
/// have moved it.
fn touches(at: usize, text: &[u8], view: &[u8]) -> bool {
    let shown = |at: usize| {
        let byte = view.get(at).filter(|byte| !byte.is_ascii_whitespace());
        byte.is_some() && byte == text.get(at)
    };
    at.checked_sub(1).is_some_and(shown) || shown(at)
}

/// The comment of the format that an allowance stands in, if `span` is all that is shown of it.
fn allowance(
    span: &Range<usize>,
    text: &[u8],
    view: &[u8],
    format: Format,
) -> Option<Range<usize>> {
    let shown = view.get(span.clone())?.trim_ascii();
    if !(shown.starts_with(b"[%allow") && shown.ends_with(b"]"))
        || text.get(span.clone()) == view.get(span.clone())
    {
        return None;
    }
    format.remark_at(text, span.start)
}
