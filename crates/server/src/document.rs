//! An open document: its text cut into sections, each with what is known of it.

use std::{ops::Range, sync::Arc};

use gainsay::{Finding, Reading, Report, Settings, SettledClaim};
use gainsay_notation::{Columns, Position, sections};

use crate::text::Text;

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
    /// What its notation gave; `None` until it is read. Offsets are its own.
    pub(crate) report: Option<Arc<Report>>,
    /// What its claims gave.
    pub(crate) claims: Claims,
}

impl Section {
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
    sections: Arc<Vec<Section>>,
    /// No section before this index waits to be read.
    unread_from: usize,
}

impl Document {
    /// A document of which nothing is read yet.
    pub(crate) fn new(version: i32, text: String, ids: &mut Ids) -> Self {
        let text = Text::new(text);
        let sections = cut(text.bytes(), 0, ids).collect();
        Self {
            version,
            text: Arc::new(text),
            sections: Arc::new(sections),
            unread_from: 0,
        }
    }

    pub(crate) fn text(&self) -> &Text {
        &self.text
    }

    pub(crate) fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// What others may look at while the document changes.
    pub(crate) fn snapshot(&self, settings: &Arc<Settings>) -> Snapshot {
        Snapshot {
            version: self.version,
            text: Arc::clone(&self.text),
            sections: Arc::clone(&self.sections),
            settings: Arc::clone(settings),
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
        let text = Arc::make_mut(&mut self.text);
        let sections = Arc::make_mut(&mut self.sections);
        text.splice(replaced.clone(), new);
        let grown = new.len() as i64 - replaced.len() as i64;
        let moved = |offset: usize| offset.saturating_add_signed(grown as isize);
        // A cut is made by the text before it and by the tag behind it, so cutting
        // starts one section before the edited one, and ends at the first old cut
        // behind the edit.
        let touched = sections.partition_point(|section| section.end < replaced.start);
        let first = touched.saturating_sub(1);
        let from = sections.get(first).map_or(0, |section| section.start);
        let mut fresh = Vec::new();
        let mut last = sections.len();
        let mut old = sections.partition_point(|section| section.start < replaced.end);
        for section in cut(text.bytes(), from, ids) {
            while sections
                .get(old)
                .is_some_and(|old| moved(old.start) < section.start)
            {
                old += 1;
            }
            let known = sections
                .get(old)
                .is_some_and(|old| moved(old.start) == section.start);
            if known && section.start > from {
                last = old;
                break;
            }
            fresh.push(section);
        }
        let last = last.max(first);
        for old in sections.iter_mut().skip(last) {
            old.start = moved(old.start);
            old.end = moved(old.end);
        }
        // The section before the edited one is nearly always as it was.
        if let (Some(old), Some(new)) = (sections.get(first), fresh.first_mut())
            && old.range() == new.range()
            && old.end <= replaced.start
            && first < last
        {
            *new = old.clone();
        }
        for old in sections.get(first..last).unwrap_or_default() {
            if fresh.first().is_none_or(|kept| kept.id != old.id) {
                gone.push(old.id);
            }
        }
        sections.splice(first..last, fresh);
        self.unread_from = self.unread_from.min(first);
    }

    /// Forgets everything that was found, since the settings changed.
    pub(crate) fn forget(&mut self, ids: &mut Ids, gone: &mut Vec<SectionId>) {
        for section in Arc::make_mut(&mut self.sections) {
            gone.push(section.id);
            section.id = ids.next();
            section.report = None;
            section.claims = Claims::None;
        }
        self.unread_from = 0;
    }

    /// Reads the next unread section and gives its name and whether it may have claims
    /// to settle; `None` when all are read.
    pub(crate) fn read_next(&mut self, settings: &Settings) -> Option<(SectionId, bool)> {
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
        section.report = Some(Arc::new(read(bytes, settings)));
        let waits = settings.claims && may_claim(bytes);
        if waits {
            section.claims = Claims::Waiting(None);
        }
        Some((section.id, waits))
    }

    /// Whether some section is not read yet.
    pub(crate) fn is_unread(&self) -> bool {
        self.unread_from < self.sections.len()
    }

    /// Takes in what was settled; `false` where nothing changes for the author: the
    /// section is no more, or it makes no claim.
    pub(crate) fn settle(&mut self, id: SectionId, settlement: Settlement, done: bool) -> bool {
        let Some(at) = self.sections.iter().position(|section| section.id == id) else {
            return false;
        };
        let Some(section) = Arc::make_mut(&mut self.sections).get_mut(at) else {
            return false;
        };
        if settlement.of == 0 {
            section.claims = Claims::None;
            return false;
        }
        section.claims = if done {
            Claims::Settled(Arc::new(settlement))
        } else {
            Claims::Waiting(Some(Arc::new(settlement)))
        };
        true
    }
}

/// The notation of a section.
fn read(bytes: &[u8], settings: &Settings) -> Report {
    Reading::of(bytes, settings).notation(bytes, settings)
}

/// Whether a section has a comment, without which there is no claim.
fn may_claim(bytes: &[u8]) -> bool {
    memchr::memchr2(b'{', b';', bytes).is_some()
}

/// Cuts a text into unread sections, from a cut on.
fn cut<'t>(text: &'t [u8], from: usize, ids: &'t mut Ids) -> impl Iterator<Item = Section> + 't {
    let rest = text.get(from..).unwrap_or_default();
    sections(rest).map(move |section| Section {
        id: ids.next(),
        start: section.range.start + from,
        end: section.range.end + from,
        report: None,
        claims: Claims::None,
    })
}

/// The smallest replacement that makes `old` into `new`, on character boundaries.
fn difference<'n>(old: &[u8], new: &'n str) -> Option<(Range<usize>, &'n str)> {
    let bytes = new.as_bytes();
    if old == bytes {
        return None;
    }
    let mut head = old.iter().zip(bytes).take_while(|(a, b)| a == b).count();
    while !new.is_char_boundary(head) {
        head -= 1;
    }
    let most = old.len().min(bytes.len()) - head;
    let mut tail = old
        .iter()
        .rev()
        .zip(bytes.iter().rev())
        .take(most)
        .take_while(|(a, b)| a == b)
        .count();
    while !new.is_char_boundary(bytes.len() - tail) {
        tail -= 1;
    }
    Some((
        head..old.len() - tail,
        new.get(head..bytes.len() - tail).unwrap_or_default(),
    ))
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
    pub(crate) settings: Arc<Settings>,
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
        Reading::of(self.bytes(section), &self.settings)
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
