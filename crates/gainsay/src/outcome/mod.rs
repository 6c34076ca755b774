//! What became of a claim, as data: a verdict with its proof, or with what is true instead.
//!
//! Nothing here is a sentence: those are made from it at the end (`crate::words`). What is
//! remembered from one run to the next are outcomes.

mod claimed;
mod data;
mod exercise;
mod why;

use std::ops::Range;

use gainsay_proof::Verdict;
use serde::{Deserialize, Serialize};
use shakmaty::Chess;

pub use crate::tasks::Genre;

pub(crate) use self::{claimed::Claimed, data::squares_of};
pub use self::{
    data::{At, Kind, Line, Man, OnFile, Pattern, Placed, Side},
    exercise::Exercise,
    why::{
        CheckKind, DeedWhy, DrawWhy, ExerciseWhy, Lack, Letters, LineWhy, Longer, MateWhy, Mated,
        MaterialWhy, MoveWhy, NotPinned, OtherGame, PawnKind, PieceWhy, PlaceWhy, Structure,
        StructureWhy, Why, Wing, WrongPointer,
    },
};

/// What became of a claim.
///
/// ```
/// use gainsay::{Settings, Verdict, check, outcome::Outcome};
/// let report = check(b"1. f3 e5 2. g4 {Black mates in one.} *", &Settings::default());
/// let outcome = &report.claims[0].outcome;
/// assert!(matches!(outcome, Outcome::Holds(_)));
/// assert_eq!(outcome.verdict(), Verdict::Holds);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Outcome {
    /// It holds.
    Holds(Grounds),
    /// It fails.
    Fails(Refuted),
    /// It was neither confirmed nor denied.
    Unsettled(Open),
}

/// What a verdict rests on.
///
/// ```
/// use gainsay::{Settings, check};
/// let report = check(b"1. f3 e5 2. g4 {Black mates in one.} *", &Settings::default());
/// let grounds = report.claims[0].outcome.grounds().unwrap();
/// assert_eq!(grounds.exact, Some(true));
/// assert_eq!(grounds.evidence.len(), 1);
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Grounds {
    /// The position of the reading that decided it, where that is another than the one the
    /// claim stands in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<Placed>,
    /// What shows it.
    pub evidence: Vec<Evidence>,
    /// For mates: whether the number was proved to be the least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// For mates: how the defences beside the line compare with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub defences: Option<Defences>,
    /// How many positions were searched, where that belongs to the evidence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub searched: Option<u64>,
    /// The name of the program whose judgement had a part in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub judged_by: Option<String>,
}

/// A claim that fails: the reasons, one for each place that is wrong.
///
/// ```
/// use gainsay::{Settings, check, outcome::{Outcome, Why}};
/// let report = check(b"1. e4 e5 2. Ke2 {White mates in one.} *", &Settings::default());
/// let Outcome::Fails(refuted) = &report.claims[0].outcome else { panic!("there is no mate") };
/// assert_eq!(refuted.reasons.len(), 1);
/// assert!(matches!(refuted.reasons[0].why, Why::Mate(_)));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Refuted {
    /// What the verdict rests on.
    #[serde(flatten)]
    pub grounds: Grounds,
    /// What is wrong. There is none where another claim of the sentence tells it.
    pub reasons: Vec<Fault>,
}

/// Why a claim is not settled.
///
/// ```
/// use gainsay::{Settings, check, outcome::{Open, Outcome}};
/// let settings = Settings { nodes: 1, ..Settings::default() };
/// let report = check(b"1. e4 e5 {White mates in nine.} *", &settings);
/// assert_eq!(report.claims[0].outcome, Outcome::Unsettled(Open::Spent));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "for", rename_all = "kebab-case")]
pub enum Open {
    /// Its budget did not suffice.
    Spent,
    /// These words near it were not understood.
    NotUnderstood {
        /// The words.
        unread: Vec<String>,
    },
    /// Its sentence asks, wishes, prevents or supposes it, or tells it of something else, and
    /// so does not say that it is so.
    NotAsserted,
    /// Its readings differ, it is meant too loosely, or nothing decides it.
    Undecided,
    /// It is the task of a problem of a genre that is not proved.
    NotProved {
        /// The genre.
        what: Genre,
    },
    /// It speaks of nothing that stands near it, so that nothing is told of it.
    OfNothing,
}

/// How the defences beside a mating line compare with it.
///
/// ```
/// use gainsay::{Settings, check, outcome::Defences};
/// let text = b"[FEN \"5r1k/6pp/7N/3Q4/8/8/8/7K w - - 0 1\"]\n\n{White mates in two.} 1. Qg8+ *";
/// let report = check(text, &Settings::default());
/// let grounds = report.claims[0].outcome.grounds().unwrap();
/// assert_eq!(grounds.defences, Some(Defences::None));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Defences {
    /// There are none: every reply is the only legal one.
    None,
    /// Each is answered in fewer moves.
    Shorter,
    /// None lasts longer, and some may last as long.
    NoLonger,
}

impl From<gainsay_proof::Others> for Defences {
    fn from(others: gainsay_proof::Others) -> Self {
        match others {
            gainsay_proof::Others::None => Self::None,
            gainsay_proof::Others::Shorter => Self::Shorter,
            gainsay_proof::Others::NoLonger => Self::NoLonger,
        }
    }
}

/// Something that shows a verdict.
///
/// ```
/// use gainsay::{Settings, check, outcome::Evidence, show};
/// let report = check(b"1. f3 e5 2. g4 {Black mates in one.} *", &Settings::default());
/// let grounds = report.claims[0].outcome.grounds().unwrap();
/// let Evidence::Line(line) = &grounds.evidence[0] else { panic!("a line shows a mate") };
/// assert_eq!(show::line(line.start(), line.moves()), "2... Qh4#");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Evidence {
    /// Moves that anybody can play through.
    Line(Line),
    /// Another game of the book, by its title.
    Game(String),
    /// The number of the last move.
    LastMove(u32),
}

/// Something that is wrong, and where.
///
/// ```
/// use gainsay::{Settings, check, outcome::{Outcome, Why}};
/// let report = check(b"1. e4 e5 2. Ke2 {White mates in one.} *", &Settings::default());
/// let Outcome::Fails(refuted) = &report.claims[0].outcome else { panic!("there is no mate") };
/// let fault = &refuted.reasons[0];
/// assert!(matches!(fault.why, Why::Mate(_)));
/// assert_eq!(fault.span, None);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Fault {
    /// What is wrong, and what is true instead.
    #[serde(flatten)]
    pub why: Why,
    /// Where, as byte offsets in the comment; `None` for the words of the claim.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub span: Option<Range<u32>>,
    /// The position and the moves that show it, where they are others than the verdict's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shown: Option<Shown>,
    /// What could stand there instead, the likeliest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instead: Vec<Instead>,
}

/// A position, and moves that show what is wrong with a statement about it.
///
/// ```
/// use gainsay::{outcome::{Line, Placed, Shown}, shakmaty::Chess};
/// let start = Chess::default();
/// let shown = Shown { position: Placed(start.clone()), lines: vec![Line::new(&start, &[])] };
/// let written = serde_json::to_string(&shown).unwrap();
/// assert_eq!(serde_json::from_str::<Shown>(&written).unwrap(), shown);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Shown {
    /// The position.
    pub position: Placed,
    /// The moves.
    pub lines: Vec<Line>,
}

/// Words to put in the place of others.
///
/// ```
/// use gainsay::outcome::{Instead, Replacement};
/// let instead = Instead { edits: vec![Replacement { span: 15..18, text: "Nf6".to_owned() }] };
/// let written = serde_json::to_string(&instead).unwrap();
/// assert_eq!(written, r#"{"edits":[{"span":{"start":15,"end":18},"text":"Nf6"}]}"#);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Instead {
    /// The words, the ones that matter first.
    pub edits: Vec<Replacement>,
}

/// Words for a stretch of the comment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Replacement {
    /// What they replace, as byte offsets in the comment.
    pub span: Range<u32>,
    /// The words.
    pub text: String,
}

impl Fault {
    /// What is wrong with the words of the claim.
    #[must_use]
    pub(crate) fn of(why: impl Into<Why>) -> Self {
        Self {
            why: why.into(),
            span: None,
            shown: None,
            instead: Vec::new(),
        }
    }

    /// Says where it stands: byte offsets in the comment.
    #[must_use]
    pub(crate) fn at(mut self, span: Range<u32>) -> Self {
        self.span = Some(span);
        self
    }

    /// Says of which position it speaks, and what shows it there.
    #[must_use]
    pub(crate) fn shown(mut self, position: &Chess, line: Option<Line>) -> Self {
        self.shown = Some(Shown {
            position: Placed(position.clone()),
            lines: line.into_iter().filter(|line| !line.is_empty()).collect(),
        });
        self
    }

    /// Offers words in the place of others.
    #[must_use]
    pub(crate) fn or(self, span: Range<u32>, text: impl Into<String>) -> Self {
        self.or_all([(span, text.into())])
    }

    /// Offers words that belong together, in the place of others.
    #[must_use]
    pub(crate) fn or_all(mut self, edits: impl IntoIterator<Item = (Range<u32>, String)>) -> Self {
        let edits = edits
            .into_iter()
            .map(|(span, text)| Replacement { span, text });
        self.instead.push(Instead {
            edits: edits.collect(),
        });
        self
    }
}

impl Outcome {
    /// The verdict alone.
    #[must_use]
    pub const fn verdict(&self) -> Verdict {
        match self {
            Self::Holds(_) => Verdict::Holds,
            Self::Fails(_) => Verdict::Fails,
            Self::Unsettled(_) => Verdict::Unsettled,
        }
    }

    /// What the verdict rests on.
    #[must_use]
    pub const fn grounds(&self) -> Option<&Grounds> {
        match self {
            Self::Holds(grounds) => Some(grounds),
            Self::Fails(refuted) => Some(&refuted.grounds),
            Self::Unsettled(_) => None,
        }
    }

    /// The words near the claim that were not understood.
    #[must_use]
    pub fn unread(&self) -> &[String] {
        match self {
            Self::Unsettled(Open::NotUnderstood { unread }) => unread,
            _ => &[],
        }
    }
}

/// An outcome with what it cost.
///
/// ```
/// use gainsay::outcome::{Grounds, Judged, Outcome};
/// let written = r#"{"outcome":{"is":"holds","evidence":[]},"nodes":7}"#;
/// let judged: Judged = serde_json::from_str(written).unwrap();
/// assert_eq!((&judged.outcome, judged.nodes), (&Outcome::Holds(Grounds::default()), 7));
/// assert_eq!(judged.faults().count(), 0);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Judged {
    /// What became of the claim.
    pub outcome: Outcome,
    /// What is wrong beside a claim that holds, such as a sign that is missing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<Fault>,
    /// For mates with few defences: the moves with every defence as a side-line.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side_lines: Option<String>,
    /// For mates, where the solver was to write them down: the proof.
    #[serde(skip)]
    pub proof: Option<String>,
    /// For the task of an exercise: what more is known of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exercise: Option<Box<Exercise>>,
    /// For prose beside games: the move at which it stands in the one that decided it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stands_at: Option<String>,
    /// Nodes spent on it.
    pub nodes: u64,
}

impl Judged {
    /// What becomes of a claim beside words that were not understood.
    pub(crate) const fn not_understood(unread: Vec<String>) -> Self {
        Self::open(Open::NotUnderstood { unread })
    }

    /// What becomes of a claim that its sentence does not assert.
    pub(crate) const fn not_asserted() -> Self {
        Self::open(Open::NotAsserted)
    }

    /// What becomes of the task of a problem that is not proved.
    pub(crate) fn not_proved(number: Option<u32>, what: Genre) -> Self {
        let exercise = Exercise {
            number,
            genre: Some(what),
            ..Exercise::default()
        };
        Self {
            exercise: Some(Box::new(exercise)),
            ..Self::open(Open::NotProved { what })
        }
    }

    /// What becomes of a claim that speaks of nothing near.
    pub(crate) const fn of_nothing() -> Self {
        Self::open(Open::OfNothing)
    }

    const fn open(open: Open) -> Self {
        Self::new(Outcome::Unsettled(open), 0)
    }

    /// An outcome that cost so many nodes.
    pub(crate) const fn new(outcome: Outcome, nodes: u64) -> Self {
        Self {
            outcome,
            remarks: Vec::new(),
            side_lines: None,
            proof: None,
            exercise: None,
            stands_at: None,
            nodes,
        }
    }

    /// All that is wrong, beside the claim or with it.
    pub fn faults(&self) -> impl Iterator<Item = &Fault> {
        let reasons = match &self.outcome {
            Outcome::Fails(refuted) => refuted.reasons.as_slice(),
            Outcome::Holds(_) | Outcome::Unsettled(_) => &[],
        };
        reasons.iter().chain(&self.remarks)
    }
}
