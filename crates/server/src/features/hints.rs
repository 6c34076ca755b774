//! Inlay hints and code lenses: verdicts, missing numbers, counts.

use std::ops::Range;

use gainsay::{Severity, Verdict};
use gainsay_notation::{ElementKind, SectionKind};
use shakmaty::Color;

use super::place::shifted;
use crate::{
    document::Snapshot,
    options::EditorOptions,
    words::{
        counts::{self, Counts},
        hover as words,
    },
};

/// A few letters that the editor shows in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Hint {
    pub(crate) offset: usize,
    pub(crate) text: String,
    /// Markdown.
    pub(crate) tooltip: Option<String>,
    /// Whether it stands before what it belongs to.
    pub(crate) before: bool,
}

/// The hints of a range.
pub(crate) fn hints(
    snapshot: &Snapshot,
    range: &Range<usize>,
    options: &EditorOptions,
) -> Vec<Hint> {
    let mut hints = Vec::new();
    for section in snapshot.sections_in(range) {
        if options.verdict_hints
            && let Some(settlement) = section.claims.settlement()
        {
            for claim in &settlement.claims {
                hints.push(Hint {
                    offset: claim.span.end + section.start,
                    text: words::hint(claim.verdict).to_owned(),
                    tooltip: Some(words::verdict(claim)),
                    before: false,
                });
            }
        }
        if options.number_hints && section.kind == SectionKind::Games {
            let bytes = snapshot.bytes(section);
            let reading = snapshot.reading(section);
            for view in reading.views(bytes) {
                for ply in &view.replay.plies {
                    if ply.number.is_some() {
                        continue;
                    }
                    // Black needs a number only where something stands between.
                    let follows = ply.element.checked_sub(1).and_then(|at| view.element(at));
                    let plain = follows.is_some_and(|element| {
                        matches!(
                            element.kind,
                            ElementKind::Move(_) | ElementKind::Glyph { .. }
                        )
                    });
                    if ply.side() == Color::Black && plain {
                        continue;
                    }
                    let dots = if ply.side() == Color::White {
                        "."
                    } else {
                        "..."
                    };
                    hints.push(Hint {
                        offset: view.span(ply.element).start as usize + section.start,
                        text: format!("{}{dots}", ply.move_number()),
                        tooltip: None,
                        before: true,
                    });
                }
            }
        }
    }
    hints.retain(|hint| range.start <= hint.offset && hint.offset <= range.end);
    hints.sort_by_key(|hint| hint.offset);
    hints
}

/// The counts of a game or of games that are read together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Lens {
    /// Where it stands.
    pub(crate) range: Range<usize>,
    pub(crate) text: String,
    /// Whether more nodes could settle more.
    pub(crate) unsettled: bool,
}

/// The counts of every game.
pub(crate) fn lenses(snapshot: &Snapshot) -> Vec<Lens> {
    snapshot
        .sections()
        .filter_map(|section| {
            let report = section.report.as_ref()?;
            if report.games == 0 {
                return None;
            }
            let findings = snapshot.findings(section);
            let of = |severity| {
                let same = findings
                    .iter()
                    .filter(|finding| finding.severity == severity);
                same.count() as u64
            };
            let settled = section.claims.settlement();
            let settled = settled.filter(|settlement| settlement.of > 0);
            let claims = settled.map(|settlement| {
                [Verdict::Holds, Verdict::Fails, Verdict::Unsettled].map(|verdict| {
                    let same = settlement
                        .claims
                        .iter()
                        .filter(|claim| claim.verdict == verdict);
                    same.count() as u64
                })
            });
            let settling = section.claims.is_waiting();
            let unsettled = claims.is_some_and(|[_, _, unsettled]| unsettled > 0);
            Some(Lens {
                range: shifted(&(0..0), section.start),
                text: counts::lens(&Counts {
                    games: u64::from(report.games),
                    moves: report.plies,
                    errors: of(Severity::Error),
                    warnings: of(Severity::Warning),
                    claims,
                    settling,
                }),
                unsettled: unsettled && !settling,
            })
        })
        .collect()
}
