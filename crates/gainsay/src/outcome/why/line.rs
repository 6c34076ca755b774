//! What is wrong with a cited move or line.

use gainsay_notation::Language;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

use super::super::data::{Line, Unreadable};

/// What is wrong with a cited move or line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "reason", rename_all = "kebab-case")]
pub enum LineWhy {
    /// A cited move has the sign of a check that it does not give.
    FalseCheckSign {
        /// The move.
        cited: Line,
    },
    /// A cited move gives check or mate without its sign.
    MissingSign {
        /// The move as it is written.
        words: String,
        /// Whether it mates.
        mates: bool,
    },
    /// A cited move can be several.
    AmbiguousMove {
        /// The moves, in the letters of the comment.
        moves: Vec<String>,
    },
    /// A line fits with another number.
    Misnumbered {
        /// The move that has a wrong number.
        fits: Line,
    },
    /// A cited move cannot be played.
    Unplayable {
        /// The move as it is written.
        words: String,
        /// In whose letters.
        letters: Letters,
        /// The moves before it.
        behind: Line,
    },
}

/// The letters of a language, by the language's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Letters(pub Language);

impl Serialize for Letters {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.0.name())
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Letters {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Letters".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let names = Language::ALL.map(Language::name);
        schemars::json_schema!({ "enum": names })
    }
}

impl<'de> Deserialize<'de> for Letters {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let name = String::deserialize(from)?;
        let mut known = Language::ALL.into_iter();
        known
            .find(|language| language.name() == name)
            .map(Self)
            .ok_or_else(|| D::Error::custom(Unreadable(name)))
    }
}
