//! What a rule is.

use crate::Severity;

/// A rule: its name, its severity and its documentation, all written in the
/// rule's own file.
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
        pub(crate) static $name: $crate::Rule = $crate::Rule {
            name: $text,
            severity: $severity,
            documentation: concat!($($doc, "\n"),+),
        };
    };
}
pub(crate) use rule;
