//! What an author can set.

use std::collections::BTreeMap;

use gainsay_notation::Language;
use serde::{Deserialize, Serialize};

use crate::rule::{Rule, Severity};

/// The settings of a check.
///
/// ```
/// use gainsay::{Settings, check};
/// let settings = Settings { only: vec!["false-check-sign".to_owned()], ..Settings::default() };
/// let findings = check(b"1. e4+ e5 2. Ke3 *", &settings).findings;
/// assert_eq!(findings.iter().map(|finding| finding.rule.name).collect::<Vec<_>>(), ["false-check-sign"]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// The budget of one claim, in nodes (moves played on a board by the solver).
    pub nodes: u64,
    /// The budget of all claims of one game together, or of one passage of prose;
    /// `None` for a hundred times that of one claim.
    pub game_nodes: Option<u64>,
    /// The language of the piece letters; `None` to recognise it game by game.
    pub language: Option<Language>,
    /// Levels by the name of the rule, where they differ from the rule's own.
    pub levels: BTreeMap<String, Level>,
    /// When not empty, the only rules that are reported.
    pub only: Vec<String>,
    /// Whether claims are read and settled at all.
    pub claims: bool,
    /// So many findings of one severity are told of one game; the last says how many more
    /// there are.
    pub most_findings: usize,
}

/// So many findings of one severity are told of one game, unless somebody asks for more.
pub(crate) const MOST_FINDINGS: usize = 1000;

impl Default for Settings {
    fn default() -> Self {
        Self {
            nodes: 1_000_000,
            game_nodes: None,
            language: None,
            levels: BTreeMap::new(),
            only: Vec::new(),
            claims: true,
            most_findings: MOST_FINDINGS,
        }
    }
}

/// How a rule is reported.
///
/// ```
/// use gainsay::{Level, Settings, Severity, rule};
/// let levels = [("illegal-move".to_owned(), Level::Hint), ("false-mate".to_owned(), Level::Off)];
/// let settings = Settings { levels: levels.into(), ..Settings::default() };
/// assert_eq!(settings.severity(rule("illegal-move").unwrap()), Some(Severity::Hint));
/// assert_eq!(settings.severity(rule("false-mate").unwrap()), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Not at all.
    Off,
    /// As a hint.
    Hint,
    /// As information.
    Information,
    /// As a warning.
    Warning,
    /// As an error.
    Error,
}

impl Settings {
    /// The budget of all claims of one game together, in nodes.
    #[must_use]
    pub fn of_a_game(&self) -> u64 {
        const CLAIMS: u64 = 100;
        self.game_nodes.unwrap_or(self.nodes.saturating_mul(CLAIMS))
    }

    /// The severity at which `rule` is reported; `None` when it is not.
    #[must_use]
    pub fn severity(&self, rule: &Rule) -> Option<Severity> {
        if !self.only.is_empty() && !self.only.iter().any(|name| name == rule.name) {
            return None;
        }
        match self.levels.get(rule.name) {
            None => Some(rule.severity),
            Some(Level::Off) => None,
            Some(Level::Hint) => Some(Severity::Hint),
            Some(Level::Information) => Some(Severity::Information),
            Some(Level::Warning) => Some(Severity::Warning),
            Some(Level::Error) => Some(Severity::Error),
        }
    }
}
