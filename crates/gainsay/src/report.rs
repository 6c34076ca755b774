//! What an author sees: findings, claims and their counts.

use std::{borrow::Cow, ops::Range};

use gainsay_proof::Verdict;
use serde::Serialize;

use crate::{
    fingerprint::Fingerprint,
    outcome::{Exercise, Outcome},
    rule::{Rule, Severity},
};

/// What is wrong at one place, with the moves that show it and what to do.
///
/// ```
/// use gainsay::{Settings, check};
/// let text = b"1. e4 e5 2. Ke3 *";
/// let report = check(text, &Settings::default());
/// let finding = &report.findings[0];
/// assert_eq!((finding.rule.name, finding.mv.as_deref()), ("illegal-move", Some("2.Ke3")));
/// assert_eq!(&text[finding.span.clone()], b"Ke3");
/// ```
#[derive(Clone, Debug, Serialize)]
pub struct Finding {
    /// The rule that was broken.
    #[serde(serialize_with = "by_name")]
    pub rule: &'static Rule,
    /// How much it matters, settings considered.
    pub severity: Severity,
    /// Byte offsets in the checked text.
    pub span: Range<usize>,
    /// The game, counted from 1 (in EPD the line of the position).
    pub game: Option<u32>,
    /// The move it stands at, with its number: `24...Kh8`.
    pub mv: Option<String>,
    /// FEN of the position it speaks of.
    pub position: Option<String>,
    /// One sentence: what is wrong and what is true instead.
    pub message: String,
    /// The moves that show it, a line of moves each.
    pub evidence: Vec<String>,
    /// What the evidence rests on, where that needs saying: "1834 positions searched".
    pub note: Option<String>,
    /// Other places that matter to it.
    pub related: Vec<Related>,
    /// Edits that mend it, the likeliest first.
    pub remedies: Vec<Remedy>,
    /// What it is recognised by another time.
    pub fingerprint: Fingerprint,
}

/// A finding that is accepted, and so not told of.
///
/// ```
/// use gainsay::{Acceptance, Settings, check};
/// let report = check(b"1. e4+ {[%allow false-check-sign a joke]} e5 *", &Settings::default());
/// assert!(report.findings.is_empty());
/// assert_eq!(report.accepted[0].how, Acceptance::Allowed { reason: "a joke".to_owned() });
/// ```
#[derive(Clone, Debug, Serialize)]
pub struct Accepted {
    /// The finding.
    pub finding: Finding,
    /// Who accepts it.
    pub how: Acceptance,
}

/// Who accepts a finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Acceptance {
    /// The author, in the text: `[%allow rule reason]`.
    Allowed {
        /// Why; empty where nothing is said.
        reason: String,
    },
    /// A list of what is known.
    Known,
}

/// Another place that matters to a finding.
///
/// ```
/// use gainsay::{Settings, check};
/// let text = b"[White \"Lind\"]\n[White \"Haas\"]\n\n1. e4 *";
/// let settings = Settings { only: vec!["duplicate-tag".to_owned()], ..Settings::default() };
/// let related = &check(text, &settings).findings[0].related[0];
/// assert_eq!(related.span, 0..14);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Related {
    /// Byte offsets in the checked text.
    pub span: Range<usize>,
    /// Why it matters.
    pub message: String,
}

/// Edits that mend a finding.
///
/// ```
/// use gainsay::{Settings, apply, check};
/// let settings = Settings { only: vec!["needless-origin".to_owned()], ..Settings::default() };
/// let text = b"1. Ngf3 e5 *";
/// let remedy = &check(text, &settings).findings[0].remedies[0];
/// assert!(remedy.safe);
/// assert_eq!(apply(text, &remedy.edits), b"1. Nf3 e5 *");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remedy {
    /// What it does, as an order: "Write Nbd2".
    pub title: String,
    /// Whether it cannot change what the text means.
    pub safe: bool,
    /// The edits, in order and without overlap.
    pub edits: Vec<Edit>,
}

/// A replacement of bytes.
///
/// ```
/// use gainsay::{Edit, apply};
/// let edit = Edit { span: 0..2, text: "d4".to_owned() };
/// assert_eq!(apply(b"1. e4 *", &[edit.moved(3)]), b"1. d4 *");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Edit {
    /// The bytes to replace; empty for an insertion.
    pub span: Range<usize>,
    /// What to put there.
    pub text: String,
}

/// A claim that was recognised, whatever became of it.
///
/// ```
/// use gainsay::{Settings, Verdict, check};
/// let report = check(b"1. f3 e5 2. g4 {Black mates in one.} *", &Settings::default());
/// let claim = &report.claims[0];
/// assert_eq!((claim.verdict, claim.exact), (Verdict::Holds, Some(true)));
/// assert_eq!(claim.evidence, ["2... Qh4#"]);
/// ```
#[derive(Clone, Debug, Serialize)]
pub struct SettledClaim {
    /// The kind, in kebab case: `mate-in`.
    pub kind: Cow<'static, str>,
    /// The author's words.
    pub text: String,
    /// Byte offsets in the checked text.
    pub span: Range<usize>,
    /// The game, counted from 1 (in EPD the line of the position).
    pub game: Option<u32>,
    /// The move it stands at, with its number.
    pub mv: Option<String>,
    /// FEN of the position of the reading that decided it.
    pub position: Option<String>,
    /// The verdict.
    #[serde(with = "Written")]
    pub verdict: Verdict,
    /// For mates: whether the number was proved to be the least.
    pub exact: Option<bool>,
    /// The moves that show the verdict.
    pub evidence: Vec<String>,
    /// What more there is to say of the evidence: of a mate how the other defences
    /// compare, of no mate how many positions were searched.
    pub note: Option<String>,
    /// For mates with few defences: the moves with every defence as a side-line, to be
    /// inserted in a game.
    pub side_lines: Option<String>,
    /// For mates, where the solver was to write them down: the proof.
    #[serde(skip)]
    pub proof: Option<String>,
    /// Nodes spent on it.
    pub nodes: u64,
    /// Whether it was left unsettled because its budget did not suffice.
    pub short: bool,
    /// The words near it that were not understood. Where there are any it is unsettled, since
    /// what is not understood is not judged.
    pub unread: Vec<String>,
    /// What became of it, as data.
    pub outcome: Outcome,
    /// For the task of an exercise: what more is known of it.
    pub exercise: Option<Box<Exercise>>,
}

/// A sentence of prose that holds a move, a square, a piece or a term of the trade and was not, or
/// not wholly, understood: it is left to the author's eyes.
///
/// ```
/// use gainsay::{Settings, check};
/// let report = check(b"1. e4 e5 {The pawn on e5 ogles d4.} *", &Settings::default());
/// assert_eq!(report.unread[0].text, "The pawn on e5 ogles d4");
/// assert_eq!(report.unread[0].words, ["ogles", "d4"]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct UnreadSentence {
    /// The author's words.
    pub text: String,
    /// Byte offsets in the checked text.
    pub span: Range<usize>,
    /// The move it stands at, with its number.
    pub mv: Option<String>,
    /// The words and signs that were not understood.
    pub words: Vec<String>,
}

/// What became of the claims of a piece of text.
///
/// ```
/// use gainsay::{Document, Format, Settings, Solver};
/// let (settings, mut solver) = (Settings::default(), Solver::new(1 << 20));
/// let text = Document::open(b"1. f3 e5 2. g4 {White mates in one.} Qh4# 0-1\n", Format::Pgn);
/// let settlement = text.questions(0, &settings).settle(&mut solver, &settings, |_| {});
/// assert_eq!(settlement.claims[0].kind, "mate-in");
/// assert_eq!(settlement.findings[0].rule.name, "false-mate");
/// ```
#[derive(Clone, Debug, Default)]
pub struct Settlement {
    /// The claims with their verdicts, in the order of the text.
    pub claims: Vec<SettledClaim>,
    /// What is wrong with them, but for what the author allows.
    pub findings: Vec<Finding>,
    /// What the author allows of it.
    pub accepted: Vec<Accepted>,
    /// The sentences that were not understood, all of them from the first on.
    pub unread: Vec<UnreadSentence>,
}

/// All that a check found in one text.
///
/// ```
/// use gainsay::{Settings, Severity, Verdict, check};
/// let report = check(b"1. e4 e5 2. Ke2 {White mates in one.} Ke7 3. Ke4 *", &Settings::default());
/// assert_eq!((report.games, report.plies), (1, 5));
/// assert_eq!(report.count(Severity::Error), 2);
/// assert_eq!(report.claims_with(Verdict::Fails), 1);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// Games read (in EPD, positions).
    pub games: u32,
    /// How many numbers the games take up; more than there are games where an EPD file
    /// has blank lines, since its positions are numbered by line.
    pub numbers: u32,
    /// Moves read, side-lines included.
    pub plies: u64,
    /// Findings in the order of the text.
    pub findings: Vec<Finding>,
    /// Findings that the author accepts in the text.
    pub accepted: Vec<Accepted>,
    /// Claims in the order of the text.
    pub claims: Vec<SettledClaim>,
    /// Sentences that were not understood, in the order of the text.
    pub unread: Vec<UnreadSentence>,
}

impl Report {
    /// Appends the report of a later section that begins at byte `base`.
    pub fn append(&mut self, mut later: Self, base: usize) {
        later.shift(base, self.numbers);
        self.games += later.games;
        self.numbers += later.numbers;
        self.plies += later.plies;
        self.findings.append(&mut later.findings);
        self.accepted.append(&mut later.accepted);
        self.claims.append(&mut later.claims);
        self.unread.append(&mut later.unread);
    }

    /// Moves all spans by `base` bytes and all game numbers by `games`.
    pub fn shift(&mut self, base: usize, games: u32) {
        for finding in &mut self.findings {
            finding.shift(base, games);
        }
        for accepted in &mut self.accepted {
            accepted.finding.shift(base, games);
        }
        for claim in &mut self.claims {
            claim.shift(base, games);
        }
        for sentence in &mut self.unread {
            shift(&mut sentence.span, base);
        }
    }

    /// Whether it has nothing but counts of games and moves.
    #[must_use]
    pub fn says_nothing(&self) -> bool {
        self.findings.is_empty()
            && self.accepted.is_empty()
            && self.claims.is_empty()
            && self.unread.is_empty()
    }

    /// Puts the findings in the order of the text.
    pub(crate) fn sort(&mut self) {
        self.findings
            .sort_by_key(|finding| (finding.span.start, finding.span.end));
    }

    /// How many findings have this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// How many claims have this verdict.
    #[must_use]
    pub fn claims_with(&self, verdict: Verdict) -> usize {
        self.claims
            .iter()
            .filter(|claim| claim.verdict == verdict)
            .count()
    }
}

/// A rule is written as its name.
fn by_name<S: serde::Serializer>(rule: &Rule, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(rule.name)
}

/// How a verdict is written.
#[derive(Serialize)]
#[serde(remote = "Verdict", rename_all = "lowercase")]
enum Written {
    Holds,
    Fails,
    Unsettled,
}

fn shift(span: &mut Range<usize>, base: usize) {
    span.start += base;
    span.end += base;
}

impl Finding {
    /// Moves its spans by `base` bytes and its game number by `games`.
    pub fn shift(&mut self, base: usize, games: u32) {
        shift(&mut self.span, base);
        for related in &mut self.related {
            shift(&mut related.span, base);
        }
        for remedy in &mut self.remedies {
            for edit in &mut remedy.edits {
                shift(&mut edit.span, base);
            }
        }
        if let Some(game) = &mut self.game {
            *game += games;
        }
    }
}

impl Edit {
    /// The edit with its span moved by `base` bytes.
    #[must_use]
    pub const fn moved(mut self, base: usize) -> Self {
        self.span.start += base;
        self.span.end += base;
        self
    }
}

impl SettledClaim {
    /// Moves its span by `base` bytes and its game number by `games`.
    pub fn shift(&mut self, base: usize, games: u32) {
        shift(&mut self.span, base);
        if let Some(game) = &mut self.game {
            *game += games;
        }
    }
}
