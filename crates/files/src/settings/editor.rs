//! Settings that only an editor needs.

use serde::Deserialize;

/// What an editor shows between the words.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Hints {
    /// Whether verdicts are shown behind claims.
    pub verdicts: Option<bool>,
    /// Whether missing numbers are shown in long lines.
    pub numbers: Option<bool>,
    /// Whether sentences that were not understood are shown faintly.
    pub unread: Option<bool>,
}

/// What is done about files of the workspace that are not open.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClosedFiles {
    /// They are not looked at.
    Off,
    /// Their findings are told to a client that asks.
    #[default]
    Asked,
    /// Their findings are told to every client.
    Pushed,
}

/// Which manuscripts are looked at.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Manuscripts {
    /// None.
    None,
    /// Those in Markdown.
    Markdown,
    /// Those in plain text too.
    #[default]
    All,
}
