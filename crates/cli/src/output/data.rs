//! What is printed as JSON. The documentation of these types is that of their JSON Schema.

use gainsay::{
    Finding, Fingerprint, SettledClaim, Severity, UnreadSentence, Verdict,
    outcome::{Exercise, Outcome},
};
use schemars::JsonSchema;
use serde::Serialize;

use super::form::{Block, Place};

/// The number of this shape. It changes when a program that reads it would have to.
pub(crate) const SCHEMA: u32 = 2;

/// What "gainsay check --format json" prints. Fields may be added without another number of
/// the schema.
#[derive(JsonSchema)]
#[schemars(title = "gainsay report")]
#[expect(dead_code, reason = "it is written piece by piece, and described here")]
pub(crate) struct ReportJson<'a> {
    /// The number of this shape.
    schema: u32,
    /// The files that were read.
    files: Vec<FileJson<'a>>,
    /// What was found in all of them.
    totals: TotalsJson,
}

/// A file that was read.
#[derive(JsonSchema)]
#[schemars(rename = "File")]
#[expect(dead_code, reason = "it is written piece by piece, and described here")]
struct FileJson<'a> {
    /// Its path as it was named; "-" is standard input.
    path: &'a str,
    /// What is wrong, in the order of the text.
    findings: Vec<FindingJson<'a>>,
    /// The claims, in the order of the text.
    claims: Vec<ClaimJson<'a>>,
    /// The sentences that were not understood, in the order of the text.
    unread: Vec<UnreadJson<'a>>,
    /// How many games it holds, or positions.
    games: u64,
    /// How many moves, side-lines included.
    plies: u64,
}

/// A stretch of the file.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Span")]
pub(crate) struct SpanJson {
    /// Offset of its first byte.
    start: usize,
    /// Offset of the byte behind its last.
    end: usize,
}

impl From<&std::ops::Range<usize>> for SpanJson {
    fn from(span: &std::ops::Range<usize>) -> Self {
        Self {
            start: span.start,
            end: span.end,
        }
    }
}

/// What "gainsay check --format ndjson" prints in a line.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "gainsay finding")]
pub(crate) struct FindingLine<'a> {
    /// The file's path as it was named; "-" is standard input.
    pub(crate) path: &'a str,
    #[serde(flatten)]
    pub(crate) finding: FindingJson<'a>,
}

/// What is wrong at one place.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Finding")]
pub(crate) struct FindingJson<'a> {
    /// The name of the rule that was broken; "gainsay explain RULE" documents it.
    rule: &'a str,
    /// How much it matters.
    severity: Severity,
    /// Where it stands, in bytes.
    span: SpanJson,
    /// Where it begins.
    from: Place,
    /// Where it ends.
    to: Place,
    /// The game, counted from 1 (in EPD files the line).
    game: Option<u32>,
    /// The move it stands at, with its number: "24...Kh8".
    r#move: Option<&'a str>,
    /// The position it speaks of, in FEN.
    position: Option<&'a str>,
    /// One sentence: what is wrong and what is true instead.
    message: &'a str,
    /// The moves that show it, a line of moves each.
    evidence: &'a [String],
    /// What the evidence rests on, where that needs saying.
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
    /// Other places that matter to it.
    related: Vec<RelatedJson<'a>>,
    /// Edits that mend it, the likeliest first.
    remedies: Vec<RemedyJson<'a>>,
    /// What it is recognised by when the text around it has changed.
    #[schemars(with = "String")]
    fingerprint: Fingerprint,
}

/// Another place that matters to a finding.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Related")]
struct RelatedJson<'a> {
    /// Where it is, in bytes.
    span: SpanJson,
    /// Why it matters.
    message: &'a str,
}

/// Edits that mend a finding.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Remedy")]
struct RemedyJson<'a> {
    /// What it does, as an order: "Write Nbd2".
    title: &'a str,
    /// Whether it cannot change what the text means, so that "--mend" applies it.
    safe: bool,
    /// The edits, in order and without overlap.
    edits: Vec<EditJson<'a>>,
}

/// A replacement of bytes.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Edit")]
struct EditJson<'a> {
    /// Offset of the first byte to replace.
    start: usize,
    /// Offset of the byte behind the last; that of the first for an insertion.
    end: usize,
    /// What to put there.
    text: &'a str,
}

/// What was found out about a claim.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
#[schemars(rename = "Verdict")]
enum VerdictJson {
    /// It is true.
    Holds,
    /// It is false.
    Fails,
    /// It was neither confirmed nor denied.
    Unsettled,
}

/// A claim of the prose, whatever became of it.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Claim")]
pub(crate) struct ClaimJson<'a> {
    /// The kind: "mate-in".
    kind: &'a str,
    /// The author's words.
    text: &'a str,
    /// Where they stand, in bytes.
    span: SpanJson,
    /// The game, counted from 1 (in EPD files the line).
    game: Option<u32>,
    /// The move it stands at, with its number.
    r#move: Option<&'a str>,
    /// The position that decided it, in FEN.
    position: Option<&'a str>,
    /// Whether it holds.
    verdict: VerdictJson,
    /// For mates: whether the number was proved to be the least.
    #[serde(skip_serializing_if = "Option::is_none")]
    exact: Option<bool>,
    /// The moves that show the verdict, a line of moves each.
    evidence: &'a [String],
    /// What more there is to say of the evidence.
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
    /// What it cost, in moves played on the solver's board.
    nodes: u64,
    /// Said of what is unsettled for want of nodes.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    short: bool,
    /// Said of what is unsettled since these words near it were not understood.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    unread: &'a [String],
    /// What became of it, as data.
    outcome: &'a Outcome,
    /// Said of the task of an exercise: what more is known of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    exercise: Option<&'a Exercise>,
}

/// A sentence that was not, or not wholly, understood.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Unread")]
pub(crate) struct UnreadJson<'a> {
    /// Where it stands, in bytes.
    span: SpanJson,
    /// The author's words.
    text: &'a str,
    /// Those that were not understood.
    words: &'a [String],
}

/// What was found in all files together.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Totals")]
pub(crate) struct TotalsJson {
    /// Findings by severity; those that "--show" leaves out are counted.
    pub(crate) findings: FindingCounts,
    /// Findings that are accepted, by whom; they are not among the others.
    pub(crate) accepted: AcceptedCounts,
    /// Claims by verdict.
    pub(crate) claims: ClaimCounts,
    /// Sentences that were not understood.
    pub(crate) unread: u64,
}

/// Findings by severity.
#[derive(Serialize, JsonSchema)]
pub(crate) struct FindingCounts {
    pub(crate) error: u64,
    pub(crate) warning: u64,
    pub(crate) information: u64,
    pub(crate) hint: u64,
}

/// Findings that are accepted.
#[derive(Serialize, JsonSchema)]
pub(crate) struct AcceptedCounts {
    /// By the author, in the text.
    pub(crate) allowed: u64,
    /// By the list of what is known.
    pub(crate) known: u64,
}

/// Claims by verdict.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ClaimCounts {
    pub(crate) holds: u64,
    pub(crate) fails: u64,
    pub(crate) unsettled: u64,
}

impl<'a> FindingJson<'a> {
    /// The finding as it is printed.
    pub(crate) fn new(finding: &'a Finding, block: &Block<'_>) -> Self {
        Self {
            rule: finding.rule.name,
            severity: finding.severity,
            span: (&finding.span).into(),
            from: block.place(finding.span.start),
            to: block.place(finding.span.end),
            game: finding.game,
            r#move: finding.mv.as_deref(),
            position: finding.position.as_deref(),
            message: &finding.message,
            evidence: &finding.evidence,
            note: finding.note.as_deref(),
            related: finding
                .related
                .iter()
                .map(|related| RelatedJson {
                    span: (&related.span).into(),
                    message: &related.message,
                })
                .collect(),
            remedies: finding
                .remedies
                .iter()
                .map(|remedy| RemedyJson {
                    title: &remedy.title,
                    safe: remedy.safe,
                    edits: remedy
                        .edits
                        .iter()
                        .map(|edit| EditJson {
                            start: edit.span.start,
                            end: edit.span.end,
                            text: &edit.text,
                        })
                        .collect(),
                })
                .collect(),
            fingerprint: finding.fingerprint,
        }
    }
}

impl<'a> From<&'a SettledClaim> for ClaimJson<'a> {
    fn from(claim: &'a SettledClaim) -> Self {
        Self {
            kind: &claim.kind,
            text: &claim.text,
            span: (&claim.span).into(),
            game: claim.game,
            r#move: claim.mv.as_deref(),
            position: claim.position.as_deref(),
            verdict: match claim.verdict {
                Verdict::Holds => VerdictJson::Holds,
                Verdict::Fails => VerdictJson::Fails,
                Verdict::Unsettled => VerdictJson::Unsettled,
            },
            exact: claim.exact,
            evidence: &claim.evidence,
            note: claim.note.as_deref(),
            nodes: claim.nodes,
            short: claim.short,
            unread: &claim.unread,
            outcome: &claim.outcome,
            exercise: claim.exercise.as_deref(),
        }
    }
}

impl<'a> From<&'a UnreadSentence> for UnreadJson<'a> {
    fn from(sentence: &'a UnreadSentence) -> Self {
        Self {
            span: (&sentence.span).into(),
            text: &sentence.text,
            words: &sentence.words,
        }
    }
}
