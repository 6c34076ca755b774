//! The one walk over a text: its pieces, what an edit does to them, and which of their
//! questions it changes. It serves the command and the language server.

use std::{
    borrow::Cow,
    collections::HashMap,
    hash::{DefaultHasher, Hash, Hasher},
    ops::{Deref, Range},
    sync::Arc,
};

use gainsay_notation::{Cuts, Format, Manuscript, Section, SectionKind};

use crate::{
    book::LARGEST_BOOK,
    check::{Notation, NotationReader},
    edition::Edition,
    outline::Ties,
    pieces::{Piece, PieceId, REACH, cut},
    report::Report,
    settings::Settings,
    solver::Solver,
    whole::Remark,
};

/// A text that is checked piece by piece, and may be edited in between: then only the pieces
/// that the edit touches are to be checked again.
///
/// ```
/// use gainsay::{Document, Format, Settings, Solver};
///
/// let mut text = Document::open(b"1. e4 e5 2. Ke3 *\n", Format::Pgn);
/// let mut solver = Solver::new(1 << 20);
/// let report = text.check(0, &Settings::default(), &mut solver);
/// assert_eq!(report.findings[0].rule.name, "illegal-move");
///
/// let touched = text.edit(12..15, b"Ke2");
/// assert_eq!((touched.old, touched.new), (0..1, 0..1));
/// let report = text.check(0, &Settings::default(), &mut solver);
/// assert!(report.findings.iter().all(|finding| finding.rule.name != "illegal-move"));
/// ```
#[derive(Clone, Debug)]
pub struct Document<'t> {
    edition: Arc<Edition<'t>>,
    /// The cuts of a game file, which are followed from edit to edit. Other formats are cut
    /// as a whole, since their files are small.
    cuts: Option<Cuts>,
    /// What is known of each piece.
    notes: Vec<Note>,
    /// The name of the next new piece.
    next: u64,
    /// The fingerprint of the book; `None` until it is asked for.
    index: Option<u64>,
    /// Whether an edit was made since [`Document::outdated`] was last asked.
    edited: bool,
}

/// What is known of a piece once it is read.
#[derive(Clone, Debug, Default)]
struct Note {
    /// A fingerprint of the numbers and names under which others point at its games; 0 where
    /// it has none.
    entries: u64,
    /// Whether its claims may point at other games.
    points: bool,
    /// What its verdicts were found to depend on elsewhere.
    looks: Option<Looks>,
}

/// What the verdicts of a piece depend on that points at other games.
///
/// ```
/// use gainsay::{Document, Format, Looks, Settings};
/// let text = b"[Event \"Game 1\"]\n\n1. e4 {Game 2 was won by Black.} *\n\n[Event \"Game 2\"]\n\n1. d4 0-1\n";
/// let mut text = Document::open(text, Format::Pgn);
/// let pieces = text.looked_at(&text.questions(0, &Settings::default()));
/// let looks = Looks { index: text.index(), pieces };
/// assert_eq!(looks.pieces, [text.pieces()[1].id]);
/// assert!(text.settled(0, Some(looks)));
/// let end = text.text().len();
/// let _ = text.edit(end - 4..end - 1, b"1-0");
/// assert_eq!(text.outdated(), [0]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Looks {
    /// The numbers and names of all games, as [`Document::index`] told them.
    pub index: u64,
    /// The pieces with the games that it points at.
    pub pieces: Vec<PieceId>,
}

/// What an edit did to the pieces.
///
/// ```
/// use gainsay::{Document, Format};
/// let text = b"[Event \"A\"]\n\n1. e4 *\n\n[Event \"B\"]\n\n1. d4 *\n";
/// let mut text = Document::open(text, Format::Pgn);
/// let end = text.text().len();
/// let touched = text.edit(end - 2..end - 1, b"1-0");
/// assert_eq!((touched.old, touched.new), (1..2, 1..2));
/// assert!(touched.beside.is_empty());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Touched {
    /// The pieces, by number before the edit, that are no more.
    pub old: Range<usize>,
    /// The pieces, by number after the edit, that stand in their place.
    pub new: Range<usize>,
    /// Others, by number after the edit and in order, whose questions may have changed: prose
    /// that speaks of what was edited.
    pub beside: Vec<usize>,
}

impl<'t> Deref for Document<'t> {
    type Target = Edition<'t>;

    fn deref(&self) -> &Edition<'t> {
        &self.edition
    }
}

impl<'t> Document<'t> {
    /// A text that may be edited: every section of it is a piece.
    #[must_use]
    pub fn open(text: impl Into<Cow<'t, [u8]>>, format: Format) -> Self {
        let text = text.into();
        let cuts = (format == Format::Pgn).then(|| Cuts::new(&text));
        let (view, sections) = match &cuts {
            Some(cuts) => (None, games(cuts, 0..cuts.len()).collect()),
            None => apart(cut(&text, format, 1)),
        };
        Self::new(Edition::of(text, view, format, true, sections), cuts)
    }

    /// A text that is checked once: pieces of game text have at least `least` bytes, but for
    /// the last.
    #[must_use]
    pub fn in_pieces(text: &'t [u8], format: Format, least: usize) -> Self {
        Self::once(text, format, true, least)
    }

    /// The same of a part of a longer text, of whose other games nothing is known.
    #[must_use]
    pub fn part_in_pieces(text: &'t [u8], format: Format, least: usize) -> Self {
        Self::once(text, format, false, least)
    }

    fn once(text: &'t [u8], format: Format, whole: bool, least: usize) -> Self {
        let (view, sections) = apart(cut(text, format, least));
        let text = Cow::Borrowed(text);
        Self::new(Edition::of(text, view, format, whole, sections), None)
    }

    fn new(edition: Edition<'t>, cuts: Option<Cuts>) -> Self {
        let count = edition.pieces().len();
        Self {
            edition: Arc::new(edition),
            cuts,
            notes: vec![Note::default(); count],
            next: count as u64,
            index: None,
            edited: false,
        }
    }

    /// The text as it is now, which stays so while the document is edited.
    #[must_use]
    pub fn edition(&self) -> Arc<Edition<'t>> {
        Arc::clone(&self.edition)
    }

    /// Replaces a range of bytes.
    pub fn edit(&mut self, replaced: Range<usize>, new: &[u8]) -> Touched {
        let format = self.format();
        let length = self.text().len();
        let ties = self.ties();
        let remarks = self.remarked();
        let replaced = replaced.start.min(length)..replaced.end.min(length);
        let (next, cuts) = (&mut self.next, &mut self.cuts);
        let edition = Arc::make_mut(&mut self.edition);
        edition.splice(replaced.clone(), new);
        let (old, fresh) = match cuts {
            Some(cuts) => {
                let recut = cuts.replace(edition.text(), replaced.clone(), new.len());
                let fresh: Vec<Section> = games(cuts, recut.new).collect();
                (recut.old, fresh)
            }
            None => {
                let (view, all) = apart(cut(edition.text(), format, 1));
                let before = edition.see(view);
                // What was read as it stands is in the text still, where it was not edited.
                let alike = |old: &Range<usize>, new: &Range<usize>| {
                    let before = match &before {
                        Some(before) => before.get(old.clone()),
                        None => edition.text().get(new.clone()),
                    };
                    before == edition.view().get(new.clone())
                };
                recut(edition.pieces(), all, &replaced, new.len(), alike)
            }
        };
        let fresh: Vec<Piece> = fresh
            .into_iter()
            .map(|section| {
                let id = PieceId(*next);
                *next += 1;
                Piece::of(edition.view(), section, format, id)
            })
            .collect();
        let new_places = old.start..old.start + fresh.len();
        let moved = |offset: usize| (offset + new.len()).saturating_sub(replaced.len());
        let pieces = edition.pieces_mut();
        for later in pieces.iter_mut().skip(old.end) {
            later.range = moved(later.range.start)..moved(later.range.end);
        }
        let positions = |pieces: &[Piece]| {
            let positions = pieces.iter().filter(|piece| piece.is_position());
            positions.count()
        };
        let after = positions(&fresh);
        let mut blocks = fresh.iter().any(|piece| piece.is_block);
        let gone: Vec<Piece> = pieces.splice(old.clone(), fresh).collect();
        blocks |= gone.iter().any(|piece| piece.is_block);
        let mut beside = match blocks {
            true => beside(pieces, &new_places, after != positions(&gone)),
            false => Vec::new(),
        };
        let now = self.ties();
        let remarked = self.remarked();
        let changed = |at: &usize| {
            let Some(id) = self.edition.pieces().get(*at).map(|piece| piece.id) else {
                return false;
            };
            let known = ties.get(&id);
            let tied = known.is_some() && known != now.get(&id);
            tied || !new_places.contains(at) && remarks.get(&id) != remarked.get(&id)
        };
        beside.extend((0..self.edition.pieces().len()).filter(changed));
        beside.sort_unstable();
        beside.dedup();
        let unread = new_places.clone().map(|_| Note::default());
        self.notes.splice(old.clone(), unread);
        self.index = None;
        self.edited = true;
        Touched {
            old,
            new: new_places,
            beside,
        }
    }

    /// What the prose is tied to beside its neighbours, by the names of its pieces.
    fn ties(&self) -> HashMap<PieceId, Ties> {
        if self.cuts.is_some() {
            return HashMap::new();
        }
        let pieces = self.edition.pieces();
        let outline = self.edition.outline();
        let prose =
            |(_, piece): &(usize, &Piece)| piece.kind == SectionKind::Prose || piece.is_position();
        (pieces.iter().enumerate().filter(prose))
            .map(|(at, piece)| (piece.id, outline.ties(self.edition.view(), pieces, at)))
            .collect()
    }

    /// What is said of pieces because of what stands elsewhere, by their names.
    fn remarked(&self) -> HashMap<PieceId, Vec<Remark>> {
        let remarks = self.edition.remarks().iter();
        let named = remarks.filter_map(|(at, remarks)| {
            let piece = self.edition.pieces().get(*at)?;
            Some((piece.id, remarks.clone()))
        });
        named.collect()
    }

    /// Forgets all that was found out about the pieces, since the settings are others.
    pub fn forget(&mut self) {
        Arc::make_mut(&mut self.edition).forget();
        self.notes.fill(Note::default());
        self.index = None;
    }

    /// Reads the notation of piece `at`.
    pub fn read(
        &mut self,
        at: usize,
        reader: &mut NotationReader,
        settings: &Settings,
    ) -> Notation {
        let Some(piece) = self.edition.pieces().get(at) else {
            return Notation::default();
        };
        let mut notation = reader.read(self.edition.bytes_of(piece), piece.kind, settings);
        self.edition.complete(at, settings, &mut notation.report);
        let task = || {
            self.edition
                .excerpt(at)
                .is_some_and(|excerpt| excerpt.task.is_some())
        };
        notation.may_claim |= piece.is_position() && settings.claims && task();
        let small = self.edition.text().len() <= LARGEST_BOOK;
        if let Some(note) = self.notes.get_mut(at) {
            note.entries = notation.entries;
            note.points = notation.may_point && small;
            self.index = None;
        }
        notation
    }

    /// Whether the claims of piece `at` may point at other games; known once it is read.
    #[must_use]
    pub fn points(&self, at: usize) -> bool {
        self.notes.get(at).is_some_and(|note| note.points)
    }

    /// A fingerprint of the numbers and names under which the games point at each other, as
    /// far as they are read.
    pub fn index(&mut self) -> u64 {
        *self.index.get_or_insert_with(|| {
            let mut hasher = DefaultHasher::new();
            (self.edition.text().len() > LARGEST_BOOK).hash(&mut hasher);
            for (note, piece) in self.notes.iter().zip(self.edition.pieces()) {
                // Prose counts where it numbers games.
                if note.entries != 0 || piece.kind != SectionKind::Prose {
                    note.entries.hash(&mut hasher);
                }
            }
            hasher.finish()
        })
    }

    /// Whether what verdicts depended on elsewhere is still the same.
    fn is_same(&mut self, looks: &Looks) -> bool {
        looks.index == self.index()
            && (looks.pieces.iter()).all(|&id| self.edition.place(id).is_some())
    }

    /// Takes note of what the verdicts of piece `at` depend on elsewhere; `false` where that
    /// has changed meanwhile, so that they are to be settled again.
    pub fn settled(&mut self, at: usize, looks: Option<Looks>) -> bool {
        if looks.as_ref().is_some_and(|looks| !self.is_same(looks)) {
            return false;
        }
        if let Some(note) = self.notes.get_mut(at) {
            note.looks = looks;
        }
        true
    }

    /// The pieces that point at other games which have changed since they were settled. To be
    /// asked when all is read.
    pub fn outdated(&mut self) -> Vec<usize> {
        if !std::mem::take(&mut self.edited) {
            return Vec::new();
        }
        let mut outdated = Vec::new();
        for at in 0..self.notes.len() {
            let looks = self.notes.get_mut(at).and_then(|note| note.looks.take());
            let Some(looks) = looks else { continue };
            if !self.is_same(&looks) {
                outdated.push(at);
            } else if let Some(note) = self.notes.get_mut(at) {
                note.looks = Some(looks);
            }
        }
        outdated
    }
}

/// Sections of a game file.
fn games(cuts: &Cuts, numbers: Range<usize>) -> impl Iterator<Item = Section> + '_ {
    let ranges = numbers.filter_map(|number| cuts.get(number));
    ranges.map(|range| Section {
        range,
        kind: SectionKind::Games,
    })
}

/// The view of a manuscript, where it is not the text itself, and the sections.
fn apart(read: Manuscript<'_>) -> (Option<Vec<u8>>, Vec<Section>) {
    let view = match read.view {
        Cow::Borrowed(_) => None,
        Cow::Owned(view) => Some(view),
    };
    (view, read.sections)
}

/// Compares the pieces before an edit with all sections behind it: those that are no more,
/// and what stands in their place. A piece stays only where it is read as before.
fn recut(
    pieces: &[Piece],
    mut all: Vec<Section>,
    replaced: &Range<usize>,
    inserted: usize,
    reads_alike: impl Fn(&Range<usize>, &Range<usize>) -> bool,
) -> (Range<usize>, Vec<Section>) {
    let alike =
        |old: &Piece, new: &Section| old.kind == new.kind && reads_alike(&old.range, &new.range);
    let moved = |offset: usize| (offset + inserted).saturating_sub(replaced.len());
    let head = pieces
        .iter()
        .zip(&all)
        .take_while(|(old, new)| {
            old.range.end <= replaced.start && old.range == new.range && alike(old, new)
        })
        .count();
    let most = pieces.len().min(all.len()) - head;
    let tail = pieces
        .iter()
        .rev()
        .zip(all.iter().rev())
        .take(most)
        .take_while(|(old, new)| {
            old.range.start >= replaced.end
                && moved(old.range.start) == new.range.start
                && moved(old.range.end) == new.range.end
                && alike(old, new)
        })
        .count();
    let fresh = all.drain(head..all.len() - tail).collect();
    (head..pieces.len() - tail, fresh)
}

/// The prose that speaks of the pieces in `edited`: what has no more than so many other blocks
/// between. Where the positions behind are `renumbered`, all prose behind.
fn beside(pieces: &[Piece], edited: &Range<usize>, renumbered: bool) -> Vec<usize> {
    let within_reach = |blocks: &mut usize, piece: &Piece| {
        *blocks += usize::from(piece.is_block);
        Some(*blocks <= REACH)
    };
    let prose = |at: &usize| {
        let piece = pieces.get(*at);
        piece.is_some_and(|piece| piece.kind == SectionKind::Prose)
    };
    let reach = |places: &mut dyn Iterator<Item = usize>| -> Vec<usize> {
        let near = places.scan(0, |blocks, at| {
            let near = within_reach(blocks, pieces.get(at)?)?;
            near.then_some(at)
        });
        near.filter(prose).collect()
    };
    let mut beside = reach(&mut (0..edited.start).rev());
    beside.reverse();
    match renumbered {
        true => beside.extend((edited.end..pieces.len()).filter(prose)),
        false => beside.extend(reach(&mut (edited.end..pieces.len()))),
    }
    beside
}

/// Checks a text of games: reads them, plays them through, settles their claims.
///
/// Nothing is read from anywhere else, and the same text and settings always give
/// the same report.
///
/// ```
/// let report = gainsay::check(b"1. e4 e5 2. Ke3 *", &gainsay::Settings::default());
/// assert_eq!(report.findings[0].rule.name, "illegal-move");
/// ```
#[must_use]
pub fn check(text: &[u8], settings: &Settings) -> Report {
    check_as(text, Format::Pgn, settings)
}

/// Checks a text of any format.
///
/// ```
/// use gainsay::{Format, Settings, Verdict, check_as};
/// let report = check_as(b"6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 1;\n", Format::Epd, &Settings::default());
/// assert_eq!((report.games, report.claims[0].verdict), (1, Verdict::Holds));
/// ```
#[must_use]
pub fn check_as(text: &[u8], format: Format, settings: &Settings) -> Report {
    const MEMORY: usize = 64 << 20;
    let mut solver = Solver::new(MEMORY);
    let document = Document::in_pieces(text, format, usize::MAX);
    let mut report = Report::default();
    for (at, piece) in document.pieces().iter().enumerate() {
        report.append(document.check(at, settings, &mut solver), piece.range.start);
    }
    report
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
