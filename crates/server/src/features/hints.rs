//! Inlay hints and code lenses: verdicts, missing numbers, counts.

use std::{collections::BTreeMap, ops::Range};

use gainsay::{SettledClaim, Severity, Verdict};
use gainsay_files::Verdicts;
use gainsay_notation::{ElementKind, SectionKind};
use shakmaty::Color;

use super::{hover::verdict, place::shifted};
use crate::{
    document::{Settlement, Snapshot},
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
        if let Some(settlement) = section.claims.settlement() {
            verdicts(
                snapshot.bytes(section),
                section.start,
                settlement,
                options.verdict_hints,
                &mut hints,
            );
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
                    let start = view.span(ply.element).start as usize;
                    // Moves without a blank between them are one word to who reads them.
                    let within = start.checked_sub(1).and_then(|before| bytes.get(before));
                    if within.is_some_and(|byte| is_of_word(*byte)) {
                        continue;
                    }
                    hints.push(Hint {
                        offset: start + section.start,
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

/// The wanted verdicts behind the claims of a section that begins at `base`. Where several
/// claims end, the gravest is shown, and all are told over it.
fn verdicts(
    text: &[u8],
    base: usize,
    settlement: &Settlement,
    wanted: Verdicts,
    hints: &mut Vec<Hint>,
) {
    let shown = |claim: &&SettledClaim| match wanted {
        Verdicts::None => false,
        Verdicts::Failures => claim.verdict != Verdict::Holds,
        Verdicts::All => true,
    };
    let gravity = |claim: &SettledClaim| match claim.verdict {
        Verdict::Fails => 0,
        Verdict::Unsettled => 1,
        Verdict::Holds => 2,
    };
    let claims = &settlement.claims;
    let mut ends: BTreeMap<usize, Vec<&SettledClaim>> = BTreeMap::new();
    for claim in claims.iter().filter(shown) {
        let end = whole_words(text, line_end(claims, claim.span.end));
        ends.entry(end).or_default().push(claim);
    }
    for (end, mut ending) in ends {
        ending.sort_by_key(|claim| gravity(claim));
        let told: Vec<String> = ending
            .iter()
            .map(|claim| verdict(settlement, claim))
            .collect();
        hints.extend(ending.first().map(|gravest| Hint {
            offset: end + base,
            text: words::hint(gravest.verdict).to_owned(),
            tooltip: Some(told.join(words::PARTING)),
            before: false,
        }));
    }
}

/// Where the cited line ends that an offset lies in; the offset itself elsewhere.
fn line_end(claims: &[SettledClaim], offset: usize) -> usize {
    let lines = claims
        .iter()
        .filter(|claim| claim.kind == "line" && claim.span.start < offset);
    lines
        .map(|claim| claim.span.end)
        .max()
        .map_or(offset, |end| end.max(offset))
}

/// The end of the word that an offset lies in, with the signs that belong to it.
fn whole_words(text: &[u8], offset: usize) -> usize {
    let before = offset.checked_sub(1).and_then(|before| text.get(before));
    let is_sign = |byte: u8| b"+#=!?".contains(&byte);
    if before.is_none_or(|byte| !is_of_word(*byte) && !is_sign(*byte)) {
        return offset;
    }
    let behind = text.get(offset..).unwrap_or_default();
    let mut length = 0;
    while let Some(&byte) = behind.get(length) {
        let joins = matches!(byte, b'-' | b'\'')
            && behind.get(length + 1).is_some_and(|next| is_of_word(*next));
        if !is_of_word(byte) && !is_sign(byte) && !joins {
            break;
        }
        length += 1;
    }
    offset + length
}

/// Letters, figures, and what is not in ASCII.
const fn is_of_word(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte >= 0x80
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
                    plies: report.plies,
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
