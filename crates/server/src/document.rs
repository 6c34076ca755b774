//! An open document: its text cut into sections, each with what is known of it.

use std::{
    collections::HashSet,
    hash::{DefaultHasher, Hash, Hasher},
    ops::Range,
    sync::{Arc, OnceLock},
};

use gainsay::{
    Finding, LARGEST_BOOK, NotationReader, Piece, Reading, Report, Settings, SettledClaim,
};
use gainsay_notation::{Columns, Cuts, Format, Position, SectionKind, sections_of};

use crate::{
    options::Options,
    pool::Depends,
    text::{Text, difference},
};

/// Names a section's text: a section whose text changes gets a new name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct SectionId(pub(crate) u64);

/// A stretch of the document that is read by itself.
///
/// Only what was found is kept; the game itself is read again when somebody asks,
/// which takes well below a millisecond and keeps a document of 10,000 games small.
#[derive(Clone, Debug)]
pub(crate) struct Section {
    pub(crate) id: SectionId,
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) kind: SectionKind,
    /// How many times the usual budget its claims have.
    pub(crate) budget: u32,
    /// What its notation gave; `None` until it is read. Offsets are its own.
    pub(crate) report: Option<Arc<Report>>,
    /// What its claims gave.
    pub(crate) claims: Claims,
    /// Whether its claims may point at other games.
    pub(crate) points: bool,
    /// What its verdicts depend on outside of it, if they do.
    depends: Option<Depends>,
    /// A fingerprint of the numbers and names of its games.
    entries: u64,
    /// Where moves are cited in its comments, once somebody has asked.
    pub(crate) cited: Arc<OnceLock<Vec<Range<usize>>>>,
}

impl Section {
    fn unread(range: Range<usize>, kind: SectionKind, ids: &mut Ids) -> Self {
        Self {
            id: ids.next(),
            start: range.start,
            end: range.end,
            kind,
            budget: 1,
            report: None,
            claims: Claims::None,
            points: false,
            depends: None,
            entries: 0,
            cited: Arc::default(),
        }
    }

    /// Forgets what was found.
    fn forget(&mut self, ids: &mut Ids, gone: &mut Vec<SectionId>) {
        gone.push(self.id);
        let kept = self.budget;
        *self = Self::unread(self.range(), self.kind, ids);
        self.budget = kept;
    }

    pub(crate) fn range(&self) -> Range<usize> {
        self.start..self.end
    }
}

/// How far the claims of a section are.
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
}

/// Claims of a section with their verdicts. Offsets are the section's own.
#[derive(Clone, Debug, Default)]
pub(crate) struct Settlement {
    pub(crate) claims: Vec<SettledClaim>,
    pub(crate) findings: Vec<Finding>,
    /// How many claims the section makes, settled or not.
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
    text: Arc<Text>,
    /// The text as workers get it; to be dropped before an edit, which else would copy it.
    whole: Option<Arc<Whole>>,
    sections: Arc<Vec<Section>>,
    format: Format,
    /// The cuts of a game file, which are followed from edit to edit. Other formats are
    /// cut as a whole, since their files are small.
    cuts: Option<Cuts>,
    /// No section before this index waits to be read.
    unread_from: usize,
    /// Where the last edit was made.
    focus: usize,
    /// How many edits were made.
    edits: u64,
    /// Whether no verdict was looked at since the last edit that depends on other games.
    unlooked: bool,
}

/// A whole text as it is between two edits, with the pieces of work it is cut into.
#[derive(Debug)]
pub(crate) struct Whole {
    text: Arc<Text>,
    format: Format,
    pieces: OnceLock<Vec<Piece>>,
}

impl Whole {
    pub(crate) fn bytes(&self) -> &[u8] {
        self.text.bytes()
    }

    /// The piece that begins at an offset. The text is cut when the first is asked for.
    pub(crate) fn piece(&self, start: usize) -> Option<&Piece> {
        let cut = || gainsay::pieces(self.bytes(), self.format, usize::MAX);
        let pieces = self.pieces.get_or_init(cut);
        let at = pieces.partition_point(|piece| piece.range.start < start);
        pieces.get(at).filter(|piece| piece.range.start == start)
    }
}

impl Document {
    /// A document of which nothing is read yet.
    pub(crate) fn new(version: i32, format: Format, text: String, ids: &mut Ids) -> Self {
        let text = Text::new(text);
        let cuts = (format == Format::Pgn).then(|| Cuts::new(text.bytes()));
        let sections = match &cuts {
            Some(cuts) => (0..cuts.len())
                .filter_map(|at| cuts.get(at))
                .map(|range| Section::unread(range, SectionKind::Games, ids))
                .collect(),
            None => sections_of(text.bytes(), format)
                .into_iter()
                .map(|section| Section::unread(section.range, section.kind, ids))
                .collect(),
        };
        Self {
            version,
            text: Arc::new(text),
            whole: None,
            sections: Arc::new(sections),
            format,
            cuts,
            unread_from: 0,
            focus: 0,
            edits: 0,
            unlooked: false,
        }
    }

    pub(crate) fn text(&self) -> &Text {
        &self.text
    }

    /// The whole text for workers, the same one until the next edit.
    pub(crate) fn whole(&mut self) -> Arc<Whole> {
        let whole = self.whole.get_or_insert_with(|| {
            Arc::new(Whole {
                text: Arc::clone(&self.text),
                format: self.format,
                pieces: OnceLock::new(),
            })
        });
        Arc::clone(whole)
    }

    pub(crate) fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// The sections as they are now.
    pub(crate) fn shared_sections(&self) -> Arc<Vec<Section>> {
        Arc::clone(&self.sections)
    }

    /// What others may look at while the document changes.
    pub(crate) fn snapshot(&self, options: &Arc<Options>) -> Snapshot {
        Snapshot {
            version: self.version,
            text: Arc::clone(&self.text),
            sections: Arc::clone(&self.sections),
            options: Arc::clone(options),
            focus: self.focus,
        }
    }

    /// Makes a change. The names of the sections that are no more are appended to
    /// `gone`; new sections are unread.
    pub(crate) fn change(
        &mut self,
        change: &Change,
        columns: Columns,
        ids: &mut Ids,
        gone: &mut Vec<SectionId>,
    ) {
        match &change.range {
            Some(range) => {
                let start = self.text.offset(range.start, columns);
                let end = self.text.offset(range.end, columns);
                let replaced = start.min(end)..start.max(end);
                if self.text.of(replaced.clone()) == change.text.as_bytes() {
                    return;
                }
                self.splice(replaced, &change.text, ids, gone);
            }
            None => {
                // Editors replace the whole text when a file is formatted or read
                // again, and mostly little of it differs.
                let differs = difference(self.text.bytes(), &change.text);
                if let Some((replaced, new)) = differs {
                    self.splice(replaced, new, ids, gone);
                }
            }
        }
    }

    fn splice(
        &mut self,
        replaced: Range<usize>,
        new: &str,
        ids: &mut Ids,
        gone: &mut Vec<SectionId>,
    ) {
        self.focus = replaced.start;
        self.edits += 1;
        self.unlooked = true;
        self.whole = None;
        let text = Arc::make_mut(&mut self.text);
        let sections = Arc::make_mut(&mut self.sections);
        text.splice(replaced.clone(), new);
        let text = text.bytes();
        let grown = new.len() as isize - replaced.len() as isize;
        let moved = |offset: usize| offset.saturating_add_signed(grown);
        let (old, fresh): (Range<usize>, Vec<Section>) = match &mut self.cuts {
            Some(cuts) => {
                let recut = cuts.replace(text, replaced.clone(), new.len());
                let fresh = recut
                    .new
                    .filter_map(|at| cuts.get(at))
                    .map(|range| Section::unread(range, SectionKind::Games, ids))
                    .collect();
                (recut.old, fresh)
            }
            None => {
                let mut all = sections_of(text, self.format);
                let head = sections
                    .iter()
                    .zip(&all)
                    .take_while(|(old, new)| {
                        old.end <= replaced.start
                            && old.range() == new.range
                            && old.kind == new.kind
                    })
                    .count();
                let most = sections.len().min(all.len()) - head;
                let tail = sections
                    .iter()
                    .rev()
                    .zip(all.iter().rev())
                    .take(most)
                    .take_while(|(old, new)| {
                        old.start >= replaced.end
                            && moved(old.start) == new.range.start
                            && moved(old.end) == new.range.end
                            && old.kind == new.kind
                    })
                    .count();
                let fresh = all
                    .drain(head..all.len() - tail)
                    .map(|section| Section::unread(section.range, section.kind, ids))
                    .collect();
                (head..sections.len() - tail, fresh)
            }
        };
        for later in sections.iter_mut().skip(old.end) {
            later.start = moved(later.start);
            later.end = moved(later.end);
        }
        self.unread_from = self.unread_from.min(old.start);
        let is_block = |section: &Section| section.kind != SectionKind::Prose;
        let mut blocks = fresh.iter().any(is_block);
        let new = old.start..old.start + fresh.len();
        for section in sections.splice(old, fresh) {
            blocks |= is_block(&section);
            gone.push(section.id);
        }
        if blocks && self.cuts.is_none() {
            let (before, behind) = sections.split_at_mut(new.end);
            let before = before.get_mut(..new.start).unwrap_or_default();
            let first = forget_prose(&mut before.iter_mut().rev(), ids, gone);
            forget_prose(&mut behind.iter_mut(), ids, gone);
            self.unread_from = self.unread_from.min(new.start.saturating_sub(first));
        }
    }

    pub(crate) const fn format(&self) -> Format {
        self.format
    }

    /// Forgets everything that was found, since the settings changed.
    pub(crate) fn forget(&mut self, ids: &mut Ids, gone: &mut Vec<SectionId>) {
        for section in Arc::make_mut(&mut self.sections) {
            section.forget(ids, gone);
        }
        self.unread_from = 0;
    }

    /// Reads the next unread section and gives its name and whether it may have claims
    /// to settle; `None` when all are read.
    pub(crate) fn read_next(
        &mut self,
        settings: &Settings,
        reader: &mut NotationReader,
    ) -> Option<(SectionId, bool)> {
        let at = self
            .sections
            .iter()
            .skip(self.unread_from)
            .position(|section| section.report.is_none());
        let Some(at) = at.map(|at| at + self.unread_from) else {
            self.unread_from = self.sections.len();
            return None;
        };
        self.unread_from = at + 1;
        let section = Arc::make_mut(&mut self.sections).get_mut(at)?;
        let bytes = self.text.of(section.range());
        let notation = reader.read(bytes, section.kind, settings);
        section.report = Some(Arc::new(notation.report));
        section.points = notation.may_point && self.text.bytes().len() <= LARGEST_BOOK;
        section.entries = notation.entries;
        let waits = settings.claims && notation.may_claim;
        if waits {
            section.claims = Claims::Waiting(None);
        }
        Some((section.id, waits))
    }

    /// Asks for the claims of the section at an offset to be settled again with ten
    /// times the budget.
    pub(crate) fn settle_again(&mut self, offset: usize, ids: &mut Ids) -> Option<Again> {
        let at = self
            .sections
            .partition_point(|section| section.start <= offset)
            .checked_sub(1)?;
        let section = Arc::make_mut(&mut self.sections).get_mut(at)?;
        section.claims.settlement()?;
        let old = std::mem::replace(&mut section.id, ids.next());
        section.budget = section.budget.saturating_mul(10).min(1_000);
        section.claims = Claims::Waiting(match std::mem::take(&mut section.claims) {
            Claims::Settled(all) => Some(all),
            Claims::Waiting(part) => part,
            Claims::None => None,
        });
        Some(Again {
            gone: old,
            new: section.id,
        })
    }

    /// Gives up on the claims that wait for a solver.
    pub(crate) fn give_up(&mut self, gone: &mut Vec<SectionId>) {
        for section in Arc::make_mut(&mut self.sections) {
            if let Claims::Waiting(part) = &section.claims {
                gone.push(section.id);
                section.claims = part.clone().map_or(Claims::None, Claims::Settled);
            }
        }
    }

    /// Whether some section is not read yet.
    pub(crate) fn is_unread(&self) -> bool {
        self.unread_from < self.sections.len()
    }

    /// A fingerprint of the numbers and names under which the games point at each other. A
    /// manuscript has headings besides, so that any edit changes it.
    pub(crate) fn index(&self) -> u64 {
        if self.cuts.is_none() {
            return self.edits;
        }
        let mut hasher = DefaultHasher::new();
        (self.text.len() > LARGEST_BOOK).hash(&mut hasher);
        for section in self.sections.iter() {
            section.entries.hash(&mut hasher);
        }
        hasher.finish()
    }

    /// The sections whose verdicts depend on other games that have changed since: they are to
    /// be settled again. To be asked when all is read.
    pub(crate) fn outdated(&mut self) -> Vec<SectionId> {
        if !std::mem::take(&mut self.unlooked)
            || self
                .sections
                .iter()
                .all(|section| section.depends.is_none())
        {
            return Vec::new();
        }
        let index = self.index();
        let known: HashSet<SectionId> = self.sections.iter().map(|section| section.id).collect();
        let mut outdated = Vec::new();
        for section in Arc::make_mut(&mut self.sections) {
            let changed = section.depends.as_ref().is_some_and(|depends| {
                depends.index != index || depends.sections.iter().any(|id| !known.contains(id))
            });
            if changed && let Claims::Settled(all) = &section.claims {
                section.depends = None;
                section.claims = Claims::Waiting(Some(Arc::clone(all)));
                outdated.push(section.id);
            }
        }
        outdated
    }

    /// Takes in what was settled.
    pub(crate) fn settle(
        &mut self,
        id: SectionId,
        settlement: Settlement,
        done: bool,
        depends: Option<Depends>,
    ) -> Taken {
        let Some(at) = self.sections.iter().position(|section| section.id == id) else {
            return Taken::Gone;
        };
        // An edit elsewhere may have changed what it points at.
        let changed = depends.as_ref().is_some_and(|depends| {
            let known = |id: &SectionId| self.sections.iter().any(|section| section.id == *id);
            depends.index != self.index() || !depends.sections.iter().all(known)
        });
        let Some(section) = Arc::make_mut(&mut self.sections).get_mut(at) else {
            return Taken::Gone;
        };
        if changed {
            return Taken::Outdated;
        }
        section.depends = depends;
        if settlement.of == 0 {
            section.claims = Claims::None;
            return Taken::Gone;
        }
        section.claims = if done {
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
    /// The section is no more, or makes no claim: nothing changes for the author.
    Gone,
    /// It is to be settled again.
    Outdated,
}

/// A section that was renamed to be settled again.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Again {
    pub(crate) gone: SectionId,
    pub(crate) new: SectionId,
}

/// Forgets what the prose was found to claim that speaks of a block that changed: what
/// follows up to so many blocks away. Gives the number of sections gone through.
fn forget_prose(
    sections: &mut dyn Iterator<Item = &mut Section>,
    ids: &mut Ids,
    gone: &mut Vec<SectionId>,
) -> usize {
    let mut blocks = 0;
    let mut count = 0;
    for section in sections {
        count += 1;
        if section.kind != SectionKind::Prose {
            blocks += 1;
            if blocks > gainsay::REACH + 1 {
                break;
            }
            continue;
        }
        section.forget(ids, gone);
    }
    count
}

/// Gives out names of sections.
#[derive(Debug, Default)]
pub(crate) struct Ids(u64);

impl Ids {
    pub(crate) fn next(&mut self) -> SectionId {
        self.0 += 1;
        SectionId(self.0)
    }
}

/// A document as it was at one version.
#[derive(Clone, Debug)]
pub(crate) struct Snapshot {
    pub(crate) version: i32,
    pub(crate) text: Arc<Text>,
    pub(crate) sections: Arc<Vec<Section>>,
    pub(crate) options: Arc<Options>,
    /// Where the last edit was made.
    pub(crate) focus: usize,
}

impl Snapshot {
    /// The section that an offset lies in; at a cut the later one.
    pub(crate) fn section_at(&self, offset: usize) -> Option<&Section> {
        let at = self
            .sections
            .partition_point(|section| section.start <= offset);
        self.sections.get(at.checked_sub(1)?)
    }

    /// The sections that touch a range.
    pub(crate) fn sections_in(&self, range: &Range<usize>) -> &[Section] {
        let first = self
            .sections
            .partition_point(|section| section.end < range.start);
        let last = self
            .sections
            .partition_point(|section| section.start <= range.end);
        self.sections.get(first..last).unwrap_or_default()
    }

    /// The bytes of a section.
    pub(crate) fn bytes(&self, section: &Section) -> &[u8] {
        self.text.of(section.range())
    }

    /// A section's games, read again.
    pub(crate) fn reading(&self, section: &Section) -> Reading {
        Reading::of(self.bytes(section), &self.options.settings)
    }

    /// A section's findings, of notation and claims, in the order of the text.
    /// Offsets are the section's own.
    pub(crate) fn findings<'s>(&self, section: &'s Section) -> Vec<&'s Finding> {
        let mut findings: Vec<&Finding> = section
            .report
            .iter()
            .flat_map(|report| &report.findings)
            .chain(
                section
                    .claims
                    .settlement()
                    .iter()
                    .flat_map(|settlement| &settlement.findings),
            )
            .collect();
        findings.sort_by_key(|finding| (finding.span.start, finding.span.end));
        findings
    }
}
