//! What can be wrong with settings, in sentences.

use std::fmt;

use gainsay::nearest;
use gainsay_notation::Position;

/// Something that is wrong with settings, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Where it stands in the file, line and column from 0; `None` for what an editor tells.
    pub at: Option<Position>,
    /// What is wrong.
    pub what: WrongSetting,
}

/// `3:8: what is wrong`, with line and column from 1, to stand behind the file's name.
impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.at {
            Some(at) => write!(f, "{}:{}: {}", at.line + 1, at.column + 1, self.what),
            None => self.what.fmt(f),
        }
    }
}

impl std::error::Error for Wrong {}

/// What can be wrong with settings.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WrongSetting {
    /// The file is no TOML.
    #[error("this is no TOML: {0}")]
    NoToml(String),
    /// An editor tells something else than an object.
    #[error("the settings must be an object with the keys of gainsay.toml")]
    NoObject,
    /// Nothing has this name.
    #[error("there is no setting \"{name}\": {}", instead(.meant.as_deref(), "see the settings in the README"))]
    Unknown {
        /// The name.
        name: String,
        /// A name that is like it.
        meant: Option<String>,
    },
    /// No rule has this name.
    #[error("{}", unknown_rule(.0))]
    UnknownRule(String),
    /// The value is not what it must be.
    #[error("the setting \"{name}\" must be {expected}")]
    Value {
        /// The name.
        name: String,
        /// What it must be.
        expected: String,
    },
}

/// What a settings file may not ask for that was found and not named.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Distrusted {
    /// An absurd number was lowered.
    #[error("{key} = {wanted} of the gainsay.toml that was found is taken as {most}")]
    Lowered {
        /// The setting.
        key: &'static str,
        /// What the file asks for.
        wanted: String,
        /// What it gets.
        most: String,
    },
    /// The engine was left out.
    #[error("the engine is not started, because gainsay.toml was found and not named")]
    Engine,
}

/// Says that there is no such rule, and which one may be meant.
#[must_use]
pub fn unknown_rule(name: &str) -> String {
    let names = || gainsay::rules().into_iter().map(|rule| rule.name);
    let meant = nearest(name, names()).or_else(|| nearest_by_word(name, names()));
    let instead = instead(meant, "\"gainsay rules\" lists them");
    format!("there is no rule \"{name}\": {instead}")
}

/// The first name with a word that is most like a wrong one, if any is: "illegal" stands for
/// "illegal-move".
fn nearest_by_word<'n>(name: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let words = names.into_iter().flat_map(|known| {
        let words = known.split('-');
        words.map(move |word| (word, known))
    });
    let words: Vec<(&str, &str)> = words.collect();
    let word = nearest(name, words.iter().map(|(word, _)| *word))?;
    let mut same = words.iter().filter(|(known, _)| *known == word);
    same.next().map(|(_, known)| *known)
}

fn instead(meant: Option<&str>, otherwise: &str) -> String {
    meant.map_or_else(
        || otherwise.to_owned(),
        |meant| format!("did you mean \"{meant}\"?"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_that_is_nearly_right_is_offered() {
        assert!(unknown_rule("false-mates").ends_with("did you mean \"false-mate\"?"));
        assert!(unknown_rule("ilegal").ends_with("did you mean \"illegal-move\"?"));
        assert!(unknown_rule("zzz").ends_with("lists them"));
    }
}
