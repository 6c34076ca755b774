//! What one place sets, and how layers of settings merge.

use std::{
    collections::BTreeMap,
    num::NonZero,
    path::{Path, PathBuf},
};

use gainsay::{Language, Level, Settings, Severity};
use serde::{Deserialize, Deserializer, de::Error};

#[cfg(feature = "schema")]
use super::schema;
use super::{
    editor::{ClosedFiles, Hints, Manuscripts, Verdicts},
    wrong::Distrusted,
};
use crate::selection::Selection;

/// With fewer megabytes there is no room for a solver.
pub const LEAST_MEMORY: usize = 64;

/// What one place sets: a settings file, or an editor. What it does not name is left to
/// weaker layers, and in the end to the defaults. An empty text or list takes back what a weaker
/// layer says.
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Layer {
    /// The budget of one claim, in nodes.
    pub nodes: Option<NonZero<u64>>,
    /// The budget of all claims of one game together, in nodes.
    pub game_nodes: Option<NonZero<u64>>,
    /// Megabytes that the process takes at most.
    #[cfg_attr(feature = "schema", schemars(range(min = 64)))]
    #[serde(deserialize_with = "megabytes")]
    pub memory: Option<usize>,
    /// The language of the piece letters; within, `None` to recognise it.
    #[cfg_attr(feature = "schema", schemars(schema_with = "schema::language"))]
    #[serde(deserialize_with = "language")]
    pub language: Option<Option<Language>>,
    /// The least severity that makes the command's exit code 1.
    pub fail_on: Option<Severity>,
    /// Whether claims are settled.
    pub claims: Option<bool>,
    /// Whether verdicts and tables are kept in the user's cache folder.
    pub cache: Option<bool>,
    /// A folder of Syzygy tables; empty for none.
    pub syzygy: Option<PathBuf>,
    /// The command of a UCI engine in words; empty for none.
    #[cfg_attr(feature = "schema", schemars(schema_with = "schema::engine"))]
    #[serde(deserialize_with = "command")]
    pub engine: Option<Vec<String>>,
    /// The list of known findings; empty for none.
    pub known: Option<PathBuf>,
    /// What is left out of folders, in patterns of `.gitignore` files.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<String>"))]
    #[serde(deserialize_with = "patterns")]
    pub exclude: Option<Vec<String>>,
    /// What alone is taken from folders, in the same patterns; all if there are none.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<String>"))]
    #[serde(deserialize_with = "patterns")]
    pub include: Option<Vec<String>>,
    /// Levels by the name of the rule.
    #[cfg_attr(feature = "schema", schemars(schema_with = "schema::rules"))]
    pub rules: BTreeMap<String, Level>,
    /// What an editor shows between the words.
    #[cfg_attr(feature = "schema", schemars(schema_with = "schema::hints"))]
    #[serde(deserialize_with = "hints")]
    pub hints: Hints,
    /// Whether an editor's hovers draw the board as a picture.
    pub pictures: Option<bool>,
    /// What a language server does about files that are not open.
    pub closed_files: Option<ClosedFiles>,
    /// Which manuscripts that are not open a language server looks at.
    pub manuscripts: Option<Manuscripts>,
    /// The address in front of a rule's name where its page is found; empty for none.
    pub rule_pages: Option<String>,
}

impl Layer {
    /// This layer where it says something, and else the weaker one: key by key, and rule by
    /// rule.
    #[must_use]
    pub fn over(self, weaker: Self) -> Self {
        let mut rules = weaker.rules;
        rules.extend(self.rules);
        Self {
            nodes: self.nodes.or(weaker.nodes),
            game_nodes: self.game_nodes.or(weaker.game_nodes),
            memory: self.memory.or(weaker.memory),
            language: self.language.or(weaker.language),
            fail_on: self.fail_on.or(weaker.fail_on),
            claims: self.claims.or(weaker.claims),
            cache: self.cache.or(weaker.cache),
            syzygy: self.syzygy.or(weaker.syzygy),
            engine: self.engine.or(weaker.engine),
            known: self.known.or(weaker.known),
            exclude: self.exclude.or(weaker.exclude),
            include: self.include.or(weaker.include),
            rules,
            hints: Hints {
                verdicts: self.hints.verdicts.or(weaker.hints.verdicts),
                numbers: self.hints.numbers.or(weaker.hints.numbers),
                unread: self.hints.unread.or(weaker.hints.unread),
            },
            pictures: self.pictures.or(weaker.pictures),
            closed_files: self.closed_files.or(weaker.closed_files),
            manuscripts: self.manuscripts.or(weaker.manuscripts),
            rule_pages: self.rule_pages.or(weaker.rule_pages),
        }
    }

    /// What the core library is to do.
    #[must_use]
    pub fn settings(&self) -> Settings {
        let usual = Settings::default();
        Settings {
            nodes: self.nodes.map_or(usual.nodes, NonZero::get),
            game_nodes: self.game_nodes.map(NonZero::get),
            language: self.language.flatten(),
            levels: self.rules.clone(),
            claims: self.claims.unwrap_or(usual.claims),
            ..usual
        }
    }

    /// The folder of Syzygy tables, seen from the folder `base` of the settings file.
    #[must_use]
    pub fn syzygy_in(&self, base: &Path) -> Option<PathBuf> {
        within(base, self.syzygy.as_deref())
    }

    /// The list of known findings, seen from the folder `base` of the settings file.
    #[must_use]
    pub fn known_in(&self, base: &Path) -> Option<PathBuf> {
        within(base, self.known.as_deref())
    }

    /// Which files of folders are wanted, seen from the folder `base` of the settings file.
    #[must_use]
    pub fn selection_in(&self, base: &Path) -> Selection {
        let of = |patterns: &Option<Vec<String>>| patterns.clone().unwrap_or_default();
        let base = if base.as_os_str().is_empty() {
            Path::new(".")
        } else {
            base
        };
        let base = base.canonicalize().unwrap_or_else(|_| base.to_owned());
        // They were tried when they were read.
        Selection::of(&base, &of(&self.exclude), &of(&self.include)).unwrap_or_default()
    }

    /// Takes out what a file may not ask for that was found and not named, and says so: a
    /// folder that came from somebody else must neither start a program nor keep the machine
    /// busy for days by being checked or opened.
    pub fn distrust(&mut self) -> Vec<Distrusted> {
        /// The most nodes of a claim.
        const MOST_NODES: NonZero<u64> = NonZero::new(100_000_000).unwrap();
        /// The same for all claims of a game.
        const MOST_GAME_NODES: NonZero<u64> = NonZero::new(10_000_000_000).unwrap();
        /// The most megabytes of memory.
        const MOST_MEMORY: usize = 4_096;
        let mut told: Vec<Distrusted> = [
            lower("nodes", &mut self.nodes, MOST_NODES),
            lower("game-nodes", &mut self.game_nodes, MOST_GAME_NODES),
            lower("memory", &mut self.memory, MOST_MEMORY),
        ]
        .into_iter()
        .flatten()
        .collect();
        if self.engine.take().is_some_and(|words| !words.is_empty()) {
            told.push(Distrusted::Engine);
        }
        told
    }
}

/// A path that the folder `base` says, unless it is empty.
fn within(base: &Path, path: Option<&Path>) -> Option<PathBuf> {
    let path = path.filter(|path| !path.as_os_str().is_empty());
    path.map(|path| base.join(path))
}

/// Lowers what is above the most.
fn lower<T>(key: &'static str, value: &mut Option<T>, most: T) -> Option<Distrusted>
where
    T: Copy + Ord + ToString,
{
    let wanted = value.filter(|&wanted| wanted > most)?;
    *value = Some(most);
    Some(Distrusted::Lowered {
        key,
        wanted: wanted.to_string(),
        most: most.to_string(),
    })
}

fn megabytes<'de, D: Deserializer<'de>>(from: D) -> Result<Option<usize>, D::Error> {
    let megabytes = usize::deserialize(from)?;
    if megabytes < LEAST_MEMORY {
        return Err(Error::custom("too little memory"));
    }
    Ok(Some(megabytes))
}

fn language<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Option<Language>>, D::Error> {
    let name = String::deserialize(from)?;
    if name.is_empty() {
        return Ok(Some(None));
    }
    let language = Language::ALL
        .into_iter()
        .find(|language| language.name().eq_ignore_ascii_case(&name));
    let known = language.ok_or_else(|| Error::custom("an unknown language"))?;
    Ok(Some(Some(known)))
}

/// A command with its arguments, as a shell would read it or in words.
fn command<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Vec<String>>, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Written {
        Text(String),
        Words(Vec<String>),
    }
    let words = match Written::deserialize(from)? {
        Written::Text(text) => shlex::split(&text),
        Written::Words(words) => Some(words),
    };
    words
        .filter(|words| words.first().is_none_or(|program| !program.is_empty()))
        .map(Some)
        .ok_or_else(|| Error::custom("no command"))
}

/// Patterns of `.gitignore` files.
fn patterns<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Vec<String>>, D::Error> {
    let patterns = Vec::<String>::deserialize(from)?;
    Selection::of(Path::new("/"), &patterns, &[]).map_err(Error::custom)?;
    Ok(Some(patterns))
}

/// The usual hints at once, or each by its name.
fn hints<'de, D: Deserializer<'de>>(from: D) -> Result<Hints, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Written {
        Both(bool),
        Each(Hints),
    }
    Ok(match Written::deserialize(from)? {
        Written::Both(both) => Hints {
            verdicts: Some(Verdicts::all_or_none(both)),
            numbers: Some(both),
            // They are many, and shown only to who asks for them by name.
            unread: (!both).then_some(false),
        },
        Written::Each(hints) => hints,
    })
}
