//! What a rule is, and how much a finding matters.

use serde::{Deserialize, Serialize};

/// How much a finding matters. The four degrees are those of the Language
/// Server Protocol.
///
/// ```
/// use gainsay::Severity;
/// assert!(Severity::Error > Severity::Warning);
/// assert_eq!(Severity::ALL.map(Severity::as_str), ["error", "warning", "information", "hint"]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Style; nothing is wrong.
    Hint,
    /// Worth knowing; the meaning is clear all the same.
    Information,
    /// Probably a slip, or something that other programs will stumble over.
    Warning,
    /// Proved wrong: it must not be printed.
    Error,
}

impl Severity {
    /// All degrees, the gravest first.
    pub const ALL: [Self; 4] = [Self::Error, Self::Warning, Self::Information, Self::Hint];

    /// The word for it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Hint => "hint",
            Self::Information => "information",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A rule: its name, its severity and its documentation, all written in the
/// rule's own file.
///
/// ```
/// use gainsay::{Severity, rule};
/// let rule = rule("illegal-move").unwrap();
/// assert_eq!(rule.severity, Severity::Error);
/// assert!(rule.documentation.trim_start().starts_with(rule.summary()));
/// ```
#[derive(Debug)]
pub struct Rule {
    /// Kebab-case English that reads after "the rule …".
    pub name: &'static str,
    /// The severity unless the settings say otherwise.
    pub severity: Severity,
    /// Markdown: what, why, and an example before and after.
    pub documentation: &'static str,
}

impl Rule {
    /// The first sentence of the documentation.
    #[must_use]
    pub fn summary(&self) -> &'static str {
        self.documentation
            .split("\n\n")
            .next()
            .unwrap_or_default()
            .trim()
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Eq for Rule {}

/// Declares a rule from its doc comment, so that its documentation is written
/// once, in the rule's file.
///
/// ```text
/// rule! {
///     /// First sentence: what the rule finds.
///     ///
///     /// Why it matters …
///     ///
///     /// ```pgn before
///     /// …
///     /// ```
///     ///
///     /// ```pgn after
///     /// …
///     /// ```
///     RULE = "name-of-rule", Severity::Error
/// }
/// ```
macro_rules! rule {
    ($(#[doc = $doc:literal])+ $name:ident = $text:literal, $severity:expr) => {
        $(#[doc = $doc])+
        pub(crate) static $name: $crate::rule::Rule = $crate::rule::Rule {
            name: $text,
            severity: $severity,
            documentation: concat!($($doc, "\n"),+),
        };
    };
}
pub(crate) use rule;
