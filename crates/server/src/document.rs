//! An open document, and what was found in each of its pieces.

use std::{
    ops::{Deref, Range},
    sync::{Arc, OnceLock},
};

use gainsay::{
    Finding, Looks, NotationReader, Piece, PieceId, Reading, Report, Settings, SettledClaim,
    UnreadSentence,
};
use gainsay_notation::{Columns, Format, LineIndex, Position, SectionKind};

use crate::{
    options::Options,
    text::{Text, difference},
};

/// What was found in a piece.
///
/// Only that is kept; the game itself is read again when somebody asks, which takes well
/// below a millisecond and keeps a document of 10,000 games small.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    /// How many times the usual budget its claims have.
    pub(crate) budget: u32,
    /// What its notation gave; `None` until it is read. Offsets are its own.
    pub(crate) report: Option<Arc<Report>>,
    /// What its claims gave.
    pub(crate) claims: Claims,
    /// Where moves are cited in its comments, once somebody has asked.
    pub(crate) cited: Arc<OnceLock<Vec<Range<usize>>>>,
}

impl Default for Found {
    fn default() -> Self {
        Self {
            budget: 1,
            report: None,
            claims: Claims::None,
            cited: Arc::default(),
        }
    }
}

impl Found {
    /// Forgets it all but for the budget.
    fn forget(&mut self) {
        *self = Self {
            budget: self.budget,
            ..Self::default()
        };
    }
}

/// How far the claims of a piece are.
#[derive(Clone, Debug, Default)]
pub(crate) enum Claims {
    /// It has none, or they are not wanted.
    #[default]
    None,
    /// They wait for a solver or are being settled; what is settled so far.
    Waiting(Option<Arc<Settlement>>),
    /// All are settled.
    Settled(Arc<Settlement>),
}

impl Claims {
    /// What is settled.
    pub(crate) fn settlement(&self) -> Option<&Settlement> {
        match self {
            Self::None => None,
            Self::Waiting(part) => part.as_deref(),
            Self::Settled(all) => Some(all),
        }
    }

    pub(crate) const fn is_waiting(&self) -> bool {
        matches!(self, Self::Waiting(_))
    }

    /// Makes them wait, with what is settled so far still there to be seen.
    fn wait(&mut self) {
        *self = Self::Waiting(match std::mem::take(self) {
            Self::Settled(all) => Some(all),
            Self::Waiting(part) => part,
            Self::None => None,
        });
    }
}

/// Claims of a piece with their verdicts. Offsets are the piece's own.
#[derive(Clone, Debug, Default)]
pub(crate) struct Settlement {
    pub(crate) claims: Vec<SettledClaim>,
    pub(crate) findings: Vec<Finding>,
    /// The sentences that were not understood.
    pub(crate) unread: Vec<UnreadSentence>,
    /// How many claims the piece makes, settled or not.
    pub(crate) of: usize,
}

/// A change to a document, as the client tells it.
#[derive(Clone, Debug)]
pub(crate) struct Change {
    /// What is replaced; `None` for all.
    pub(crate) range: Option<Range<Position>>,
    pub(crate) text: String,
}

/// A document that is open in the editor.
#[derive(Debug)]
pub(crate) struct Document {
    pub(crate) version: i32,
    text: gainsay::Document<'static>,
    lines: Arc<LineIndex>,
    /// What was found in each piece of the text.
    found: Arc<Vec<Found>>,
    /// No piece before this one waits to be read.
    unread_from: usize,
    /// Where the last edit was made.
    focus: usize,
}

/// A piece whose claims are to be settled.
#[derive(Clone, Debug)]
pub(crate) struct Waiting {
    /// Its place among all.
    pub(crate) at: usize,
    /// Whether it may speak of other parts of the document.
    pub(crate) looks: bool,
    /// Whether it may point at other games.
    pub(crate) points: bool,
    pub(crate) budget: u32,
}

impl Document {
    /// A document of which nothing is read yet.
    pub(crate) fn new(version: i32, format: Format, text: String) -> Self {
        let lines = Arc::new(LineIndex::new(text.as_bytes()));
        let text = gainsay::Document::open(text.into_bytes(), format);
        Self {
            version,
            found: Arc::new(vec![Found::default(); text.pieces().len()]),
            text,
            lines,
            unread_from: 0,
            focus: 0,
        }
    }

    /// The text as it is now.
    pub(crate) fn text(&self) -> Text {
        Text {
            edition: self.text.edition(),
            lines: Arc::clone(&self.lines),
        }
    }

    /// The names of all pieces.
    pub(crate) fn ids(&self) -> Vec<PieceId> {
        self.text.pieces().iter().map(|piece| piece.id).collect()
    }

    /// What others may look at while the document changes.
    pub(crate) fn snapshot(&self, options: &Arc<Options>) -> Snapshot {
        Snapshot {
            version: self.version,
            text: self.text(),
            found: Arc::clone(&self.found),
            options: Arc::clone(options),
            focus: self.focus,
        }
    }

    /// Makes a change. The names of the pieces whose claims nobody need settle any more are
    /// appended to `gone`; new pieces are unread.
    pub(crate) fn change(&mut self, change: &Change, columns: Columns, gone: &mut Vec<PieceId>) {
        let old = self.text.text();
        match &change.range {
            Some(range) => {
                let offset = |place| self.lines.offset(old, place, columns);
                let (start, end) = (offset(range.start), offset(range.end));
                let replaced = start.min(end)..start.max(end);
                if old.get(replaced.clone()) != Some(change.text.as_bytes()) {
                    self.splice(replaced, &change.text, gone);
                }
            }
            None => {
                // Editors replace the whole text when a file is formatted or read
                // again, and mostly little of it differs.
                if let Some((replaced, new)) = difference(old, &change.text) {
                    self.splice(replaced, new, gone);
                }
            }
        }
    }

    fn splice(&mut self, replaced: Range<usize>, new: &str, gone: &mut Vec<PieceId>) {
        self.focus = replaced.start;
        let before = self.text.edition();
        // Nobody else may hold the text while it is changed, which would copy it.
        let ids: Vec<PieceId> = before.pieces().iter().map(|piece| piece.id).collect();
        drop(before);
        let touched = self.text.edit(replaced.clone(), new.as_bytes());
        Arc::make_mut(&mut self.lines).replace(self.text.text(), replaced, new.len());
        gone.extend(ids.get(touched.old.clone()).unwrap_or_default());
        let found = Arc::make_mut(&mut self.found);
        let fresh = touched.new.clone().map(|_| Found::default());
        found.splice(touched.old, fresh);
        for &at in &touched.beside {
            if let (Some(found), Some(piece)) = (found.get_mut(at), self.text.pieces().get(at)) {
                gone.push(piece.id);
                found.forget();
            }
        }
        let first = touched.beside.first().copied();
        let first = first.unwrap_or(usize::MAX).min(touched.new.start);
        self.unread_from = self.unread_from.min(first);
    }

    /// Forgets everything that was found, since the settings changed.
    pub(crate) fn forget(&mut self, gone: &mut Vec<PieceId>) {
        gone.extend(self.ids());
        self.text.forget();
        Arc::make_mut(&mut self.found)
            .iter_mut()
            .for_each(Found::forget);
        self.unread_from = 0;
    }

    /// Reads the next unread piece and gives its name and whether it may have claims to
    /// settle; `None` when all are read.
    pub(crate) fn read_next(
        &mut self,
        settings: &Settings,
        reader: &mut NotationReader,
    ) -> Option<(PieceId, bool)> {
        let unread = self.found.iter().skip(self.unread_from);
        let next = unread.map(|found| found.report.is_none());
        let Some(at) = next
            .enumerate()
            .find_map(|(at, unread)| unread.then_some(at))
        else {
            self.unread_from = self.found.len();
            return None;
        };
        let at = at + self.unread_from;
        self.unread_from = at + 1;
        let notation = self.text.read(at, reader, settings);
        let found = Arc::make_mut(&mut self.found).get_mut(at)?;
        found.report = Some(Arc::new(notation.report));
        let waits = settings.claims && notation.may_claim;
        if waits {
            found.claims = Claims::Waiting(None);
        }
        Some((self.text.pieces().get(at)?.id, waits))
    }

    /// A piece, if its claims wait to be settled.
    pub(crate) fn waiting(&self, id: PieceId) -> Option<Waiting> {
        let at = self.text.place(id)?;
        let found = self
            .found
            .get(at)
            .filter(|found| found.claims.is_waiting())?;
        let points = self.text.points(at);
        let kind = self.text.pieces().get(at)?.kind;
        Some(Waiting {
            at,
            looks: points || kind == SectionKind::Prose,
            points,
            budget: found.budget,
        })
    }

    /// What the games of the document are called by now, for what points at them.
    pub(crate) fn index(&mut self) -> u64 {
        self.text.index()
    }

    /// Asks for the claims of the piece at an offset to be settled again with ten times the
    /// budget.
    pub(crate) fn settle_again(&mut self, offset: usize) -> Option<PieceId> {
        let pieces = self.text.pieces();
        let at = pieces.partition_point(|piece| piece.range.start <= offset);
        let at = at.checked_sub(1)?;
        let id = pieces.get(at)?.id;
        let found = Arc::make_mut(&mut self.found).get_mut(at)?;
        found.claims.settlement()?;
        found.budget = found.budget.saturating_mul(10).min(1_000);
        found.claims.wait();
        Some(id)
    }

    /// Gives up on the claims that wait for a solver.
    pub(crate) fn give_up(&mut self) {
        for found in Arc::make_mut(&mut self.found) {
            if let Claims::Waiting(part) = &found.claims {
                found.claims = part.clone().map_or(Claims::None, Claims::Settled);
            }
        }
    }

    /// Whether some piece is not read yet.
    pub(crate) fn is_unread(&self) -> bool {
        self.unread_from < self.found.len()
    }

    /// The pieces that are to be settled again, since other games have changed at which they
    /// point. To be asked when all is read.
    pub(crate) fn outdated(&mut self) -> Vec<PieceId> {
        let mut outdated = Vec::new();
        for at in self.text.outdated() {
            let found = Arc::make_mut(&mut self.found).get_mut(at);
            if let (Some(found), Some(piece)) = (found, self.text.pieces().get(at)) {
                found.claims.wait();
                outdated.push(piece.id);
            }
        }
        outdated
    }

    /// Takes in what was settled.
    pub(crate) fn settle(
        &mut self,
        id: PieceId,
        mut settlement: Settlement,
        done: bool,
        looks: Option<Looks>,
    ) -> Taken {
        let Some(at) = self.text.place(id) else {
            return Taken::Gone;
        };
        // An edit elsewhere may have changed what it points at.
        if !self.text.settled(at, looks) {
            return Taken::Outdated;
        }
        self.text.fit(at, &mut settlement.findings);
        let Some(found) = Arc::make_mut(&mut self.found).get_mut(at) else {
            return Taken::Gone;
        };
        if settlement.of == 0 && settlement.unread.is_empty() {
            found.claims = Claims::None;
            return Taken::Gone;
        }
        found.claims = if done {
            Claims::Settled(Arc::new(settlement))
        } else {
            Claims::Waiting(Some(Arc::new(settlement)))
        };
        Taken::New
    }
}

/// What became of a settlement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Taken {
    /// It is there to be shown.
    New,
    /// The piece is no more, or makes no claim and was understood: nothing changes for the author.
    Gone,
    /// It is to be settled again.
    Outdated,
}

/// A document as it was at one version.
#[derive(Clone, Debug)]
pub(crate) struct Snapshot {
    pub(crate) version: i32,
    pub(crate) text: Text,
    found: Arc<Vec<Found>>,
    pub(crate) options: Arc<Options>,
    /// Where the last edit was made.
    pub(crate) focus: usize,
}

/// A piece of a document with what was found in it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Section<'s> {
    pub(crate) start: usize,
    pub(crate) kind: SectionKind,
    piece: &'s Piece,
    found: &'s Found,
}

impl<'s> Section<'s> {
    fn of(piece: &'s Piece, found: &'s Found) -> Self {
        Self {
            start: piece.range.start,
            kind: piece.kind,
            piece,
            found,
        }
    }

    /// What was found in it, for as long as the snapshot lives.
    pub(crate) const fn found(self) -> &'s Found {
        self.found
    }

    pub(crate) const fn id(self) -> PieceId {
        self.piece.id
    }
}

impl Deref for Section<'_> {
    type Target = Found;

    fn deref(&self) -> &Found {
        self.found
    }
}

impl Snapshot {
    /// All sections.
    pub(crate) fn sections(&self) -> impl Iterator<Item = Section<'_>> {
        self.sections_from(0, usize::MAX)
    }

    fn sections_from(&self, first: usize, last: usize) -> impl Iterator<Item = Section<'_>> {
        let all = self.text.edition.pieces().iter().zip(self.found.iter());
        all.take(last)
            .skip(first)
            .map(|(piece, found)| Section::of(piece, found))
    }

    /// The section that an offset lies in; at a cut the later one.
    pub(crate) fn section_at(&self, offset: usize) -> Option<Section<'_>> {
        let pieces = self.text.edition.pieces();
        let at = pieces.partition_point(|piece| piece.range.start <= offset);
        let at = at.checked_sub(1)?;
        Some(Section::of(pieces.get(at)?, self.found.get(at)?))
    }

    /// The sections that touch a range.
    pub(crate) fn sections_in(&self, range: &Range<usize>) -> impl Iterator<Item = Section<'_>> {
        let pieces = self.text.edition.pieces();
        let first = pieces.partition_point(|piece| piece.range.end < range.start);
        let last = pieces.partition_point(|piece| piece.range.start <= range.end);
        self.sections_from(first, last)
    }

    /// The bytes of a section.
    pub(crate) fn bytes(&self, section: Section<'_>) -> &[u8] {
        self.text.edition.bytes_of(section.piece)
    }

    /// A section's games, read again.
    pub(crate) fn reading(&self, section: Section<'_>) -> Reading {
        Reading::of(self.bytes(section), &self.options.settings)
    }

    /// A section's findings, of notation and claims, in the order of the text.
    /// Offsets are the section's own.
    pub(crate) fn findings<'s>(&self, section: Section<'s>) -> Vec<&'s Finding> {
        let found = section.found;
        let settled = found.claims.settlement().into_iter();
        let mut findings: Vec<&Finding> = (found.report.iter())
            .flat_map(|report| &report.findings)
            .chain(settled.flat_map(|settlement| &settlement.findings))
            .collect();
        findings.sort_by_key(|finding| (finding.span.start, finding.span.end));
        findings
    }
}
