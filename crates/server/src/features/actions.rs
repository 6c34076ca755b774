//! Code actions: remedies, all safe remedies at once, allowances, side-lines that show
//! a verdict, and the tidying of a game's numbers and moves.

use std::ops::Range;

use gainsay::{
    Edit, Finding, Ply, SectionKind, SettledClaim, View, algebraic, fitted, may_be_old, mend, show,
};
use gainsay_notation::{ElementKind, Span};
use shakmaty::Color;

use super::{
    allowances::allowance,
    evidence::shown,
    outline::around,
    place::{Place, shifted},
};
use crate::{
    document::{Section, Snapshot},
    words::actions::{self as words, Stretch},
};

/// What an action is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// It mends a finding.
    QuickFix,
    /// It mends all that can be mended safely.
    FixAll,
    /// It writes the same in another way.
    Rewrite,
}

/// An action that is offered. Offsets are of the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Action {
    pub(crate) title: String,
    pub(crate) kind: Kind,
    /// Without overlap, in the order of the text.
    pub(crate) edits: Vec<Edit>,
    /// The rule and the span of the finding that it mends.
    pub(crate) mends: Option<(&'static str, Range<usize>)>,
    /// Whether it is the one to take without thinking.
    pub(crate) preferred: bool,
}

/// What is offered for a range of the document.
pub(crate) fn actions(snapshot: &Snapshot, range: &Range<usize>) -> Vec<Action> {
    let mut actions = Vec::new();
    for section in snapshot.sections_in(range) {
        let mut place = None;
        for finding in snapshot.findings(section) {
            let span = shifted(&finding.span, section.start);
            if span.end < range.start || range.end < span.start {
                continue;
            }
            let place = place.get_or_insert_with(|| Place::of(snapshot, section));
            remedies(snapshot, section, finding, &mut actions);
            actions.extend(refutation(place, finding));
            actions.extend(accept(place, finding));
        }
        let claims = section.claims.settlement().map(|all| &all.claims);
        for claim in claims.into_iter().flatten() {
            let span = shifted(&claim.span, section.start);
            let found = |finding: &&Finding| finding.span == claim.span;
            if span.end < range.start
                || range.end < span.start
                || snapshot.findings(section).iter().any(found)
            {
                continue;
            }
            let place = place.get_or_insert_with(|| Place::of(snapshot, section));
            actions.extend(proof(place, claim));
            actions.extend(every_defence(place, claim));
        }
        actions.extend(in_algebraic(snapshot, section));
    }
    if let Some(place) = Place::at(snapshot, range.start)
        && let Some(view) = place.view()
    {
        let game: Vec<&Ply> = view.replay.plies.iter().collect();
        let line = line_at(&view, place.offset);
        for (what, plies) in [(Stretch::Line, line), (Stretch::Game, Some(game))] {
            let plies = plies.unwrap_or_default();
            actions.extend(numbers(&place, &view, &plies, what));
            actions.extend(standard_moves(&place, &view, &plies, what));
        }
    }
    actions
}

fn remedies(
    snapshot: &Snapshot,
    section: Section<'_>,
    finding: &Finding,
    actions: &mut Vec<Action>,
) {
    for (at, remedy) in finding.remedies.iter().enumerate() {
        actions.push(Action {
            title: remedy.title.clone(),
            kind: Kind::QuickFix,
            edits: moved(snapshot, section, remedy.edits.clone()),
            mends: Some((finding.rule.name, shifted(&finding.span, section.start))),
            preferred: at == 0 && remedy.safe,
        });
    }
}

/// Edits of a section as edits of the document.
fn moved(snapshot: &Snapshot, section: Section<'_>, edits: Vec<Edit>) -> Vec<Edit> {
    let before = snapshot.text.of(0..section.start);
    let edits = fitted(edits, snapshot.bytes(section), before);
    let edits = edits.into_iter();
    edits.map(|edit| edit.moved(section.start)).collect()
}

/// More than this is mended only for who asks for it: editors ask what can be done
/// whenever the cursor moves.
pub(crate) const UNASKED: usize = 256 << 10;

/// All that is safe to mend in the document, until nothing is left: every section that has
/// a safe remedy, mended as the command does it. `None` also where these sections have more
/// than `most` bytes.
pub(crate) fn fix_all(snapshot: &Snapshot, most: usize) -> Option<Action> {
    let settings = &snapshot.options.settings;
    let mut bytes = 0;
    let sizes = mendable(snapshot).map(|section| snapshot.bytes(section).len());
    for size in sizes {
        bytes += size;
        if bytes > most {
            return None;
        }
    }
    let edits: Vec<Edit> = mendable(snapshot)
        .flat_map(|section| {
            let mended = mend(snapshot.bytes(section), section.kind, settings);
            moved(snapshot, section, mended.edits)
        })
        .collect();
    (!edits.is_empty()).then(|| Action {
        title: words::mend_all(edits.len()),
        kind: Kind::FixAll,
        edits,
        mends: None,
        preferred: false,
    })
}

/// The sections that have a safe remedy.
fn mendable(snapshot: &Snapshot) -> impl Iterator<Item = Section<'_>> {
    let safe = |finding: &Finding| finding.remedies.iter().any(|remedy| remedy.safe);
    let sections = snapshot.sections();
    sections.filter(move |section| snapshot.findings(*section).into_iter().any(safe))
}

/// Writes an allowance where it covers the finding.
fn accept(place: &Place<'_>, finding: &Finding) -> Option<Action> {
    let base = place.section.start;
    Some(Action {
        title: words::accept(finding.rule.name),
        kind: Kind::QuickFix,
        edits: vec![allowance(place, finding)?.moved(base)],
        mends: Some((finding.rule.name, shifted(&finding.span, base))),
        preferred: false,
    })
}

/// Inserts the moves that show a finding.
fn refutation(place: &Place<'_>, finding: &Finding) -> Option<Action> {
    let mends = (
        finding.rule.name,
        shifted(&finding.span, place.section.start),
    );
    let position = finding.position.as_deref()?;
    let (title, edit) = shown(place, &finding.span, position, &finding.evidence)?;
    Some(Action {
        title,
        kind: Kind::QuickFix,
        edits: vec![edit],
        mends: Some(mends),
        preferred: false,
    })
}

/// Inserts the moves that show the verdict of a claim of which nothing is found.
fn proof(place: &Place<'_>, claim: &SettledClaim) -> Option<Action> {
    let position = claim.position.as_deref()?;
    let (title, edit) = shown(place, &claim.span, position, &claim.evidence)?;
    Some(Action {
        title: words::showing(&title, claim.verdict, &claim.text),
        kind: Kind::Rewrite,
        edits: vec![edit],
        mends: None,
        preferred: false,
    })
}

/// Inserts the proof of a mate with every defence as a side-line, where the game does not
/// follow its main line.
fn every_defence(place: &Place<'_>, claim: &SettledClaim) -> Option<Action> {
    let (line, all) = (claim.evidence.first()?, claim.side_lines.as_deref()?);
    let position = claim.position.as_deref()?;
    let (_, mut edit) = shown(place, &claim.span, position, &claim.evidence)?;
    let letters = place.view_of(&claim.span)?.replay.language;
    let line = show::in_language(line, letters);
    let (before, behind) = edit.text.split_once(line.as_str())?;
    edit.text = format!("{before}{}{behind}", show::in_language(all, letters));
    Some(Action {
        title: words::every_defence(&claim.text),
        kind: Kind::Rewrite,
        edits: vec![edit],
        mends: None,
        preferred: false,
    })
}

/// The moves of the side-line at an offset, without those of side-lines in it.
fn line_at<'v>(view: &View<'v>, offset: u32) -> Option<Vec<&'v Ply>> {
    let (start, end) = around(view, offset).into_iter().next()?;
    let inside: Vec<&Ply> = view
        .replay
        .plies
        .iter()
        .filter(|ply| (start..end).contains(&view.span(ply.element).start))
        .collect();
    let depth = inside.iter().map(|ply| ply.depth).min()?;
    Some(
        inside
            .into_iter()
            .filter(|ply| ply.depth == depth)
            .collect(),
    )
}

/// Writes the right number before every one of the moves that has one.
fn numbers(place: &Place<'_>, view: &View<'_>, plies: &[&Ply], what: Stretch) -> Option<Action> {
    let mut edits = Vec::new();
    for ply in plies {
        let Some(at) = ply.number else { continue };
        let Some(ElementKind::Number(written)) = view.element(at).map(|element| element.kind)
        else {
            continue;
        };
        let dots_fit = match ply.side() {
            Color::White => written.dots < 2,
            Color::Black => written.dots != 1,
        };
        if written.value.is_none_or(|value| value == ply.move_number()) && dots_fit {
            continue;
        }
        let dots = if ply.side() == Color::White {
            "."
        } else {
            "..."
        };
        edits.push(Edit {
            span: place.range(view.span(at)),
            text: format!("{}{dots}", ply.move_number()),
        });
    }
    rewrite(words::numbers(what), edits)
}

/// Writes every one of the moves in SAN, in the letters of the game. What hangs on a guess
/// stays as it is.
fn standard_moves(
    place: &Place<'_>,
    view: &View<'_>,
    plies: &[&Ply],
    what: Stretch,
) -> Option<Action> {
    let edits = plies
        .iter()
        .filter_map(|ply| {
            let san = view.san(ply).filter(|_| view.is_sure(ply))?;
            let span: Span = view.span(ply.element);
            (span.of(view.text) != san.as_bytes()).then(|| Edit {
                span: place.range(span),
                text: san,
            })
        })
        .collect();
    rewrite(words::standard_moves(what), edits)
}

/// Writes old notation in algebraic, in a section's games and words.
fn in_algebraic(snapshot: &Snapshot, section: Section<'_>) -> Option<Action> {
    // Editors ask what can be done whenever the cursor moves.
    const MOST: usize = 64 << 10;
    let bytes = snapshot.bytes(section);
    if bytes.len() > MOST || !may_be_old(bytes) {
        return None;
    }
    let settings = &snapshot.options.settings;
    let language = settings.language.unwrap_or_default();
    let edition = &snapshot.text.edition;
    let told = algebraic(edition, edition.place(section.id())?, language, settings);
    let what = match section.kind {
        SectionKind::Games => Stretch::Game,
        SectionKind::Epd | SectionKind::Prose | SectionKind::Board => Stretch::Passage,
    };
    rewrite(
        words::in_algebraic(what),
        moved(snapshot, section, told.edits),
    )
}

fn rewrite(title: String, edits: Vec<Edit>) -> Option<Action> {
    (!edits.is_empty()).then_some(Action {
        title,
        kind: Kind::Rewrite,
        edits,
        mends: None,
        preferred: false,
    })
}
