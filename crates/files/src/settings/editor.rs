//! Settings that only an editor needs.

use serde::{Deserialize, Deserializer};

/// What an editor shows between the words.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Hints {
    /// Which verdicts are shown behind claims.
    #[cfg_attr(feature = "schema", schemars(schema_with = "written"))]
    #[serde(deserialize_with = "verdicts")]
    pub verdicts: Option<Verdicts>,
    /// Whether missing numbers are shown in long lines.
    pub numbers: Option<bool>,
    /// Whether sentences that were not understood are shown faintly.
    pub unread: Option<bool>,
}

/// Which verdicts are shown behind claims.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdicts {
    /// None.
    None,
    /// Those of claims that fail, or are not settled.
    #[default]
    Failures,
    /// Those of claims that hold too.
    All,
}

impl Verdicts {
    /// All or none.
    #[must_use]
    pub const fn all_or_none(all: bool) -> Self {
        if all { Self::All } else { Self::None }
    }
}

/// By name; `true` is all, and `false` none.
fn verdicts<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Verdicts>, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Written {
        Flag(bool),
        Name(Verdicts),
    }
    Ok(Some(match Written::deserialize(from)? {
        Written::Flag(all) => Verdicts::all_or_none(all),
        Written::Name(name) => name,
    }))
}

/// The JSON Schema of the same.
#[cfg(feature = "schema")]
fn written(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({ "enum": ["none", "failures", "all", true, false] })
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
