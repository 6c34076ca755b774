//! Taking the safe remedies of a text, all of them, until none is left.

use std::collections::BTreeMap;
use std::ops::Range;

use gainsay_notation::{Format, SectionKind, sections};

use crate::{
    check::NotationReader,
    kept::{Difference, difference},
    line_end::fitted,
    report::{Edit, Finding, Remedy},
    settings::Settings,
};

/// What mending made of a piece of text.
///
/// ```
/// use gainsay::{Document, Format, Settings, mend};
/// let text = Document::open(b"1. Ngf3 Nbc6 *\n", Format::Pgn);
/// let settings = Settings { only: vec!["needless-origin".to_owned()], ..Settings::default() };
/// let mended = mend(text.text(), text.pieces()[0].kind, &settings);
/// assert_eq!((mended.edits.len(), mended.made), (2, 2));
/// assert!(mended.refused.is_empty());
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mended {
    /// The edits, in the order of the text and without overlap.
    pub edits: Vec<Edit>,
    /// How many places were edited; some perhaps twice.
    pub made: usize,
    /// The remedies that were left out because they would have changed what the text
    /// means: their rules, and what they would have changed. None, unless a rule has a
    /// mistake.
    pub refused: Vec<(&'static str, Difference)>,
}

/// Remedies that touch each other take turns; no move has as many things wrong with it.
const ROUNDS: usize = 16;

/// More remedies of one piece of text are not tried one by one.
const ONE_BY_ONE: usize = 64;

/// Takes the safe remedies of a piece of text until none is left, as far as the games, the
/// moves that can be played, the tags and the comments stay what they are.
///
/// `text` is a section or some of them, of this `kind`; the spans of the edits are offsets
/// in it. Only games have safe remedies.
///
/// ```
/// use gainsay::{Document, Format, Settings, apply, mend};
/// let text = Document::open(b"1. Ngf3 e5 *\n", Format::Pgn);
/// let settings = Settings { only: vec!["needless-origin".to_owned()], ..Settings::default() };
/// let mended = mend(text.text(), text.pieces()[0].kind, &settings);
/// assert_eq!(apply(text.text(), &mended.edits), b"1. Nf3 e5 *\n");
/// ```
#[must_use]
pub fn mend(text: &[u8], kind: SectionKind, settings: &Settings) -> Mended {
    let mut all = Mended::default();
    if kind != SectionKind::Games {
        return all;
    }
    // All of them are wanted: what is left out would wait for another run.
    let settings = &Settings {
        most_findings: usize::MAX,
        ..settings.clone()
    };
    let mut reader = NotationReader::default();
    for section in sections(text) {
        let own = text.get(section.range.clone()).unwrap_or_default();
        let mended = mend_section(own, kind, settings, &mut reader);
        let before = text.get(..section.range.start).unwrap_or_default();
        let edits = fitted(mended.edits, own, before).into_iter();
        all.edits
            .extend(edits.map(|edit| edit.moved(section.range.start)));
        all.made += mended.made;
        all.refused.extend(mended.refused);
    }
    all
}

fn mend_section(
    text: &[u8],
    kind: SectionKind,
    settings: &Settings,
    reader: &mut NotationReader,
) -> Mended {
    let mut mended = Mended::default();
    let mut draft = Draft::of(text);
    let mut refused: BTreeMap<(&'static str, String), Option<Difference>> = BTreeMap::new();
    // Whether anything was edited since a remedy was refused.
    let mut moved_on = false;
    let mut current = text.to_vec();
    for _ in 0..ROUNDS {
        let findings = reader.read(&current, kind, settings).report.findings;
        let mut chosen = safe_remedies(&findings);
        chosen.retain(|(rule, remedy)| !refused.contains_key(&(*rule, remedy.title.clone())));
        if chosen.is_empty() {
            if !moved_on || refused.is_empty() {
                break;
            }
            // What was refused may be safe by now.
            refused.clear();
            moved_on = false;
            continue;
        }
        let keeps = |edits: &[Edit]| {
            let next = apply(&current, edits);
            match difference(&current, &next, Format::Pgn, settings) {
                None => Ok(next),
                Some(difference) => Err(difference),
            }
        };
        let edits = in_order(chosen.iter().map(|(_, remedy)| *remedy));
        if let Ok(next) = keeps(&edits) {
            mended.made += edits.len();
            draft.edit(&edits);
            current = next;
            moved_on = true;
            continue;
        }
        // One of them changes what it must not: it is found and left out.
        let mut sound: Vec<&Remedy> = Vec::new();
        for (at, (rule, remedy)) in chosen.iter().enumerate() {
            let with = in_order(sound.iter().copied().chain([*remedy]));
            let kept = if at < ONE_BY_ONE {
                Some(keeps(&with))
            } else {
                None
            };
            if let Some(Ok(_)) = kept {
                sound.push(remedy);
                continue;
            }
            let why = kept.and_then(Result::err);
            refused.insert((rule, remedy.title.clone()), why);
        }
        let edits = in_order(sound.iter().copied());
        mended.made += edits.len();
        draft.edit(&edits);
        current = apply(&current, &edits);
        moved_on = !edits.is_empty();
    }
    let refused = refused.into_iter();
    mended.refused = refused
        .filter_map(|((rule, _), why)| Some((rule, why?)))
        .collect();
    mended.edits = draft.edits();
    mended
}

/// The first safe remedy of every finding, with the name of its rule; one that touches an
/// earlier one is left for another time.
fn safe_remedies(findings: &[Finding]) -> Vec<(&'static str, &Remedy)> {
    // By where they begin and end. Since they do not overlap, an edit can touch only
    // its neighbours.
    let mut taken: BTreeMap<(usize, usize), &str> = BTreeMap::new();
    let mut chosen = Vec::new();
    for finding in findings {
        let Some(remedy) = finding.remedies.iter().find(|remedy| remedy.safe) else {
            continue;
        };
        let key = |edit: &Edit| (edit.span.start, edit.span.end);
        let free = remedy.edits.iter().all(|edit| {
            let key = key(edit);
            let before = taken.range(..=key).next_back();
            let behind = taken.range(key..).next();
            let touches = |(&(start, end), _): (&_, _)| touch(&edit.span, &(start..end));
            !before.is_some_and(touches) && !behind.is_some_and(touches)
        });
        if free {
            let edits = remedy.edits.iter();
            taken.extend(edits.map(|edit| (key(edit), edit.text.as_str())));
            chosen.push((finding.rule.name, remedy));
        }
    }
    chosen
}

/// The edits of remedies that do not touch each other, in the order of the text.
fn in_order<'r>(remedies: impl Iterator<Item = &'r Remedy>) -> Vec<Edit> {
    let mut edits: Vec<Edit> = remedies.flat_map(|remedy| remedy.edits.clone()).collect();
    edits.sort_by_key(|edit| (edit.span.start, edit.span.end));
    edits
}

/// Whether two edits share bytes, or one inserts where the other begins or ends.
fn touch(one: &Range<usize>, other: &Range<usize>) -> bool {
    let adjacent = one.end == other.start || other.end == one.start;
    let empty = one.is_empty() || other.is_empty();
    (one.start < other.end && other.start < one.end) || (adjacent && empty)
}

/// `text` with `edits` made, which are in its order and do not overlap. What lies
/// outside of `text` is passed over.
///
/// ```
/// use gainsay::{Edit, apply};
/// let edits = [Edit { span: 3..5, text: "d4".to_owned() }, Edit { span: 6..7, text: "1-0".to_owned() }];
/// assert_eq!(apply(b"1. e4 *", &edits), b"1. d4 1-0");
/// ```
#[must_use]
pub fn apply(text: &[u8], edits: &[Edit]) -> Vec<u8> {
    let mut mended = Vec::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        if let Some(kept) = text.get(at..edit.span.start) {
            mended.extend_from_slice(kept);
            mended.extend_from_slice(edit.text.as_bytes());
            at = edit.span.end;
        }
    }
    mended.extend_from_slice(text.get(at..).unwrap_or_default());
    mended
}

/// A text that is edited again and again, as what is left of the first one and what is new.
struct Draft {
    length: usize,
    parts: Vec<Part>,
}

#[derive(Clone)]
enum Part {
    Kept(Range<usize>),
    New(String),
}

impl Part {
    fn len(&self) -> usize {
        match self {
            Self::Kept(range) => range.len(),
            Self::New(text) => text.len(),
        }
    }

    /// The part from `from` to `to`, counted from its start.
    fn cut(&self, from: usize, to: usize) -> Self {
        match self {
            Self::Kept(range) => Self::Kept(range.start + from..range.start + to),
            // New text is cut where other edits of ours began, between letters.
            Self::New(text) => Self::New(text.get(from..to).unwrap_or_default().to_owned()),
        }
    }
}

impl Draft {
    fn of(text: &[u8]) -> Self {
        Self {
            length: text.len(),
            parts: vec![Part::Kept(0..text.len())],
        }
    }

    /// Makes edits, whose spans are offsets in the text as it is now.
    fn edit(&mut self, edits: &[Edit]) {
        let mut parts = Vec::with_capacity(self.parts.len() + 2 * edits.len());
        let mut edits = edits.iter().peekable();
        // Where the part begins, and up to where the text was taken over or replaced.
        let (mut start, mut done) = (0, 0);
        for part in &self.parts {
            let end = start + part.len();
            while let Some(edit) = edits.next_if(|edit| edit.span.start < end) {
                if edit.span.start > done.max(start) {
                    parts.push(part.cut(done.max(start) - start, edit.span.start - start));
                }
                parts.push(Part::New(edit.text.clone()));
                done = edit.span.end;
            }
            if done < end {
                parts.push(part.cut(done.max(start) - start, end - start));
            }
            start = end;
        }
        parts.extend(edits.map(|edit| Part::New(edit.text.clone())));
        self.parts = parts;
    }

    /// The edits that lead from the first text to this one.
    fn edits(&self) -> Vec<Edit> {
        let mut edits: Vec<Edit> = Vec::new();
        let mut at = 0;
        let mut new: Option<String> = None;
        let ends = Part::Kept(self.length..self.length);
        for part in self.parts.iter().chain([&ends]) {
            match part {
                Part::New(text) => new.get_or_insert_default().push_str(text),
                Part::Kept(range) => {
                    let text = new.take().unwrap_or_default();
                    if !text.is_empty() || range.start > at {
                        let span = at..range.start;
                        edits.push(Edit { span, text });
                    }
                    at = range.end;
                }
            }
        }
        edits
    }
}

#[cfg(test)]
mod tests;
