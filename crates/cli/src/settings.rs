//! The settings file, `gainsay.toml`.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use gainsay::{Language, Level, Settings, Severity, Solver};
use gainsay_files::{MOST_GAME_NODES, MOST_MEMORY, MOST_NODES, SETTINGS, has_settings, settled_by};
use gainsay_proof::endings::SyzygyError;
use serde::Deserialize;

use crate::{
    aids::Aids,
    args::CheckArgs,
    complain,
    engine::Engine,
    explain::unknown,
    memory::{Memory, TooLittle},
    print::name,
};

/// Why settings cannot be used.
#[derive(Debug, thiserror::Error)]
pub(crate) enum SettingsError {
    #[error("cannot read the settings {}: {source}", name(path))]
    Unreadable {
        path: PathBuf,
        source: std::io::Error,
    },
    #[error("the settings {} are not valid: {message}", name(path))]
    Invalid { path: PathBuf, message: String },
    #[error("{0}")]
    Rule(String),
    #[error(transparent)]
    Syzygy(#[from] SyzygyError),
    #[error(transparent)]
    Memory(#[from] TooLittle),
    #[error("the budget must be at least one node")]
    NoNodes,
}

/// The file's contents.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Contents {
    nodes: Option<u64>,
    game_nodes: Option<u64>,
    memory: Option<usize>,
    language: Option<String>,
    fail_on: Option<Severity>,
    claims: Option<bool>,
    syzygy: Option<PathBuf>,
    engine: Option<CommandLine>,
    cache: Option<bool>,
    #[serde(default)]
    rules: BTreeMap<String, Level>,
}

impl Contents {
    /// Lowers what is absurd, and says so.
    fn keep_within_reason(&mut self) {
        let lowered = |key: &str, wanted: u64, most: u64| {
            complain(&format!(
                "{key} = {wanted} of the {SETTINGS} that was found is taken as {most}; \
                 --settings {SETTINGS} takes it as it stands"
            ));
        };
        let nodes = [
            ("nodes", &mut self.nodes, MOST_NODES),
            ("game-nodes", &mut self.game_nodes, MOST_GAME_NODES),
        ];
        for (key, value, most) in nodes {
            if let Some(wanted) = value.filter(|&wanted| wanted > most) {
                lowered(key, wanted, most);
                *value = Some(most);
            }
        }
        if let Some(wanted) = self.memory.filter(|&wanted| wanted > MOST_MEMORY) {
            lowered("memory", wanted as u64, MOST_MEMORY as u64);
            self.memory = Some(MOST_MEMORY);
        }
    }
}

/// A command with its arguments, as a shell would read it or in words.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum CommandLine {
    Text(String),
    Words(Vec<String>),
}

impl CommandLine {
    fn words(self) -> Option<Vec<String>> {
        match self {
            Self::Text(text) => shlex::split(&text),
            Self::Words(words) => Some(words),
        }
    }
}

/// The settings of a run of the command.
#[derive(Debug)]
pub(crate) struct Chosen {
    /// What the core library is to do.
    pub(crate) settings: Settings,
    /// The least severity that makes the exit code 1.
    pub(crate) fail_on: Severity,
    /// What the solvers are given.
    pub(crate) aids: Aids,
    memory: Memory,
    /// Whether the proofs of mates are wanted.
    proofs: bool,
}

impl Chosen {
    /// How much text may be in work, and how much of one game is checked, in bytes.
    pub(crate) const fn texts(&self) -> usize {
        self.memory.texts()
    }

    /// One solver a thread, as far as the memory goes.
    pub(crate) fn solvers(&self, threads: Option<usize>) -> Vec<Solver> {
        let solvers = self.memory.share(threads, self.settings.nodes, &self.aids);
        if self.proofs {
            solvers.into_iter().map(Solver::with_proofs).collect()
        } else {
            solvers
        }
    }
}

/// Puts together the settings file and the options, which go before it.
pub(crate) fn choose(args: &CheckArgs) -> Result<Chosen, SettingsError> {
    let path = args.settings.clone().or_else(nearest);
    let mut contents = match &path {
        Some(path) => read(path)?,
        None => Contents::default(),
    };
    if args.settings.is_none() {
        contents.keep_within_reason();
    }
    let mut settings = Settings::default();
    if let Some(nodes) = args.nodes.or(contents.nodes) {
        if nodes == 0 {
            return Err(SettingsError::NoNodes);
        }
        settings.nodes = nodes;
    }
    settings.game_nodes = args.game_nodes.or(contents.game_nodes);
    if settings.game_nodes == Some(0) {
        return Err(SettingsError::NoNodes);
    }
    if let Some(name) = contents.language {
        let language = Language::ALL
            .into_iter()
            .find(|language| language.name().eq_ignore_ascii_case(&name));
        let Some(language) = language else {
            return Err(SettingsError::Invalid {
                path: path.unwrap_or_default(),
                message: format!(
                    "\"{name}\" is no language whose piece letters are known (they are {})",
                    Language::ALL.map(Language::name).join(", ")
                ),
            });
        };
        settings.language = Some(language);
    }
    settings.claims = !args.no_claims && contents.claims.unwrap_or(true);
    for name in contents.rules.keys().chain(&args.only).chain(&args.without) {
        if gainsay::rule(name).is_none() {
            return Err(SettingsError::Rule(unknown(name)));
        }
    }
    let cached = !args.no_cache && contents.cache.unwrap_or(true);
    let memory = Memory::megabytes(args.memory.or(contents.memory))?;
    let mut aids = Aids::new(settings.nodes, memory, cached);
    let syzygy = contents.syzygy.map(|folder| {
        // As written in the file: relative to its folder.
        let base = path.as_deref().and_then(Path::parent);
        base.unwrap_or(Path::new("")).join(folder)
    });
    if let Some(folder) = &syzygy {
        aids.open_syzygy(folder)?;
    }
    if let Some(line) = contents.engine {
        let Some(engine) = line.words().and_then(Engine::new) else {
            return Err(SettingsError::Invalid {
                path: path.unwrap_or_default(),
                message: "the engine is no command; write it as in a shell, or as a list of words"
                    .to_owned(),
            });
        };
        // A folder that came from somebody else must not start a program by being
        // checked, so the file that names one has to be named itself.
        if args.settings.is_some() {
            aids.use_engine(engine);
        } else {
            complain(&format!(
                "the engine is not started, because {SETTINGS} was found and not named: \
                 --settings {SETTINGS} starts it"
            ));
        }
    }
    if cached && settings.claims {
        aids.remember_verdicts(syzygy.as_deref());
    }
    settings.levels = contents.rules;
    for name in &args.without {
        settings.levels.insert(name.clone(), Level::Off);
    }
    settings.only.clone_from(&args.only);
    Ok(Chosen {
        settings,
        fail_on: args
            .fail_on
            .map(Severity::from)
            .or(contents.fail_on)
            .unwrap_or(Severity::Error),
        aids,
        memory,
        proofs: args.proof.is_some(),
    })
}

fn read(path: &Path) -> Result<Contents, SettingsError> {
    let text = std::fs::read_to_string(path).map_err(|source| SettingsError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    toml::from_str(&text).map_err(|error| SettingsError::Invalid {
        path: path.to_owned(),
        message: told(&text, &error),
    })
}

/// What is wrong with a settings file and in which line, on one line.
fn told(text: &str, error: &toml::de::Error) -> String {
    let before = error.span().and_then(|span| text.get(..span.start));
    let number = before.map_or(0, |before| before.matches('\n').count());
    match text.lines().nth(number).filter(|_| before.is_some()) {
        Some(line) => format!(
            "line {}, \"{}\": {}",
            number + 1,
            line.trim(),
            error.message()
        ),
        None => error.message().to_owned(),
    }
}

/// Where the settings of a run stand, or would stand.
pub(crate) fn place(args: &CheckArgs) -> PathBuf {
    let named = args.settings.clone().or_else(nearest);
    named.unwrap_or_else(|| PathBuf::from(SETTINGS))
}

/// The settings file of this folder or of the nearest folder above that has one.
fn nearest() -> Option<PathBuf> {
    let here = std::env::current_dir().ok()?;
    settled_by(&here, has_settings).map(|folder| folder.join(SETTINGS))
}
