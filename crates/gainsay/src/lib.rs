//! Reads annotated chess games and says which moves, lines and claims do not hold,
//! with the moves that show it.
//!
//! ```text
//! bytes ─▶ notation ─▶ replay ─▶ commentary ─▶ questions ─▶ outcomes ─▶ words ─▶ findings
//! ```
//!
//! A text goes in, and typed findings and outcomes come out:
//!
//! ```
//! use gainsay::{LineIndex, Settings, Verdict, check, outcome::{MateWhy, Outcome, Why}};
//!
//! let text = b"1. e4 e5 2. Ke2 {White mates in one.} Ke7 *\n";
//! let report = check(text, &Settings::default());
//! let claim = &report.claims[0];
//! assert_eq!((claim.kind.as_ref(), claim.verdict), ("mate-in", Verdict::Fails));
//! let place = LineIndex::new(text).place(text, claim.span.start);
//! assert_eq!(place.to_string(), "1:24");
//! let Outcome::Fails(refuted) = &claim.outcome else { panic!("it fails") };
//! let Why::Mate(MateWhy::MateAbsent { moves, .. }) = &refuted.reasons[0].why else {
//!     panic!("there is no such mate")
//! };
//! assert_eq!(*moves, 1);
//! ```
//!
//! [`check`] and [`check_as`] do the whole work on one thread. For many threads, a budget of memory,
//! tables of endings, or a text that is edited, see [`Document`], [`Solver`] and [`Settings`].
//! Nothing here reads files, starts threads or looks at a clock.

mod algebraic;
mod allowance;
mod boards;
mod book;
mod chapters;
mod check;
mod claims;
mod descriptive;
mod diagrams;
mod document;
mod drawn;
mod edition;
mod ends;
mod epd;
mod export;
mod fingerprint;
mod game_facts;
mod judge;
mod kept;
mod label;
mod line_end;
#[cfg(test)]
mod marked;
mod marks;
mod matching;
mod memory;
mod mending;
mod nearest;
mod numbering;
mod other;
pub mod outcome;
mod outline;
mod passage;
mod pieces;
mod printed;
mod prose;
mod question;
mod questions;
mod quote;
mod reading;
mod recognise;
mod replay;
mod report;
mod resolve;
mod rule;
mod rules;
mod scene;
mod settings;
pub mod show;
mod sink;
mod solver;
mod spelling;
mod spoken;
mod suggest;
mod tasks;
pub mod unfold;
mod whole;
mod why;
mod words;

pub use algebraic::{algebraic, may_be_old};
pub use book::{Book, LARGEST_BOOK};
pub use check::{Notation, NotationReader, check_piece};
pub use diagrams::{Diagram, Moment};
pub use document::{Document, Looks, Touched, check, check_as};
pub use edition::Edition;
pub use export::{export, export_edits};
pub use fingerprint::{Fingerprint, NoFingerprint};
pub use gainsay_notation::{Columns, Format, Language, LineColumn, LineIndex, SectionKind};
pub use gainsay_proof::{Verdict, search::Variation};
pub use judge::Judge;
pub use kept::{Difference, difference};
pub use line_end::fitted;
pub use marks::Marks;
pub use memory::{Digest, Memory};
pub use mending::{Mended, apply, mend};
pub use nearest::nearest;
pub use pieces::{Block, Excerpt, Layout, Piece, PieceId, last_cut};
pub use question::{Cited, MOST_CLAIMS, cited_moves};
pub use questions::Questions;
pub use reading::Reading;
pub use replay::{CommentSite, FenTrouble, GlyphSite, Ply, Replay, Start, View, read_fen};
pub use report::{
    Acceptance, Accepted, Edit, Finding, Related, Remedy, Report, SettledClaim, Settlement,
    UnreadSentence,
};
pub use rule::{Rule, Severity};
pub use rules::{claim_rules, rule, rules};
pub use settings::{Level, Settings};
pub use shakmaty;
pub use solver::{Answers, Solver};
pub use spoken::{CitedStep, SpokenOf};
