//! The settings file, `gainsay.toml`.

use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
};

use gainsay::{Level, Settings, Severity, Solver};
use gainsay_files::{Layer, SETTINGS, Selection, Wrong, has_settings, settled_by, unknown_rule};
use gainsay_proof::endings::SyzygyError;

use crate::{
    aids::Aids,
    args::WorkArgs,
    changed::Changed,
    engine::Engine,
    files::Source,
    memory::{MemoryLimit, TooLittle},
    print::{complain, name},
};

/// Why settings cannot be used.
#[derive(Debug, thiserror::Error)]
pub(crate) enum SettingsError {
    #[error("cannot read the settings {}: {source}", name(path))]
    Unreadable {
        path: PathBuf,
        source: std::io::Error,
    },
    #[error("{}:{wrong}", name(path))]
    Wrong { path: PathBuf, wrong: Wrong },
    #[error("{}", unknown_rule(.0))]
    Rule(String),
    #[error(transparent)]
    Syzygy(#[from] SyzygyError),
    #[error(transparent)]
    Memory(#[from] TooLittle),
    #[error("the budget must be at least one node")]
    NoNodes,
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
    memory: MemoryLimit,
    /// Which files of folders are wanted.
    pub(crate) selection: Selection,
    /// What alone is checked of them.
    pub(crate) changed: Option<Changed>,
    /// The list of known findings.
    pub(crate) known: Option<PathBuf>,
    /// Where to write one.
    pub(crate) write_known: Option<PathBuf>,
    /// Whether the proofs of mates are wanted.
    pub(crate) proofs: bool,
}

impl Chosen {
    /// How much text may be in work, and how much of one game is checked, in bytes.
    pub(crate) const fn texts(&self) -> usize {
        self.memory.texts()
    }

    /// One solver a thread, as far as the memory goes.
    pub(crate) fn solvers(&self, threads: Option<usize>) -> Vec<Solver> {
        let solvers = self.aids.solvers(self.memory, threads, self.settings.nodes);
        if self.proofs {
            solvers.into_iter().map(Solver::with_proofs).collect()
        } else {
            solvers
        }
    }
}

/// Puts together the settings file and the options, which go before it. All that is wrong is
/// told.
pub(crate) fn choose(args: &WorkArgs) -> Result<Chosen, Vec<SettingsError>> {
    let path = found_for(args);
    let mut layer = match &path {
        Some(path) => read(path)?,
        None => Layer::default(),
    };
    if args.settings.is_none() {
        for distrusted in layer.distrust() {
            complain(&format!(
                "{distrusted}; --settings {SETTINGS} takes it as it stands"
            ));
        }
    }
    with_options(layer, path.as_deref(), args).map_err(|error| vec![error])
}

fn with_options(
    layer: Layer,
    path: Option<&Path>,
    args: &WorkArgs,
) -> Result<Chosen, SettingsError> {
    let mut settings = layer.settings();
    settings.nodes = args.nodes.unwrap_or(settings.nodes);
    settings.game_nodes = args.game_nodes.or(settings.game_nodes);
    if settings.nodes == 0 || settings.game_nodes == Some(0) {
        return Err(SettingsError::NoNodes);
    }
    settings.claims &= !args.no_claims;
    for name in args.only.iter().chain(&args.without) {
        if gainsay::rule(name).is_none() {
            return Err(SettingsError::Rule(name.clone()));
        }
    }
    let cached = !args.no_cache && layer.cache.unwrap_or(true);
    let memory = MemoryLimit::megabytes(args.memory.or(layer.memory))?;
    let mut aids = Aids::new(settings.nodes, memory, cached);
    // As written in the file: relative to its folder.
    let base = path.and_then(Path::parent).unwrap_or(Path::new(""));
    let syzygy = layer.syzygy_in(base);
    if let Some(folder) = &syzygy {
        aids.open_syzygy(folder)?;
    }
    let known = args.known.clone().or_else(|| layer.known_in(base));
    let known = known.filter(|_| !args.no_known);
    let selection = layer.selection_in(base);
    if let Some(engine) = layer.engine.and_then(Engine::new) {
        aids.use_engine(engine);
    }
    if cached && settings.claims {
        aids.remember_verdicts(syzygy.as_deref());
    }
    for name in &args.without {
        settings.levels.insert(name.clone(), Level::Off);
    }
    settings.only.clone_from(&args.only);
    Ok(Chosen {
        settings,
        fail_on: layer.fail_on.unwrap_or(Severity::Error),
        aids,
        memory,
        selection,
        changed: None,
        known,
        write_known: None,
        proofs: false,
    })
}

pub(crate) fn read(path: &Path) -> Result<Layer, Vec<SettingsError>> {
    let text = std::fs::read_to_string(path).map_err(|source| {
        vec![SettingsError::Unreadable {
            path: path.to_owned(),
            source,
        }]
    })?;
    let (layer, wrong) = Layer::of_file(&text);
    if wrong.is_empty() {
        return Ok(layer);
    }
    let told = |wrong| SettingsError::Wrong {
        path: path.to_owned(),
        wrong,
    };
    Err(wrong.into_iter().map(told).collect())
}

/// Where the settings of a run stand, or would stand.
pub(crate) fn place(args: &WorkArgs) -> PathBuf {
    found_for(args).unwrap_or_else(|| PathBuf::from(SETTINGS))
}

/// The settings file of a run: the one that is named, or that of the first path.
fn found_for(args: &WorkArgs) -> Option<PathBuf> {
    let first = args.paths.first().map(PathBuf::as_path);
    args.settings.clone().or_else(|| nearest(first?))
}

/// The settings file that holds for a path: that of its folder or of the nearest folder above that
/// has one, or else that of the folder where the command runs, by the same way.
pub(crate) fn nearest(path: &Path) -> Option<PathBuf> {
    let here = std::env::current_dir().ok()?;
    let above = |folder: &Path| {
        let settled = settled_by(folder, has_settings)?.join(SETTINGS);
        // People know it by its way from where they are.
        let known = settled.strip_prefix(&here).map(Path::to_owned);
        Some(known.unwrap_or(settled))
    };
    let whole = path.canonicalize().ok();
    let own = whole.as_deref().and_then(|path| match path.is_dir() {
        true => Some(path),
        false => path.parent(),
    });
    own.and_then(above).or_else(|| above(&here))
}

/// Which files of folders are wanted by the settings that hold for the first of some paths.
pub(crate) fn selection(paths: &[PathBuf]) -> Result<Selection, Vec<SettingsError>> {
    let Some(file) = paths.first().and_then(|path| nearest(path)) else {
        return Ok(Selection::default());
    };
    let base = file.parent().unwrap_or(Path::new(""));
    Ok(read(&file)?.selection_in(base))
}

/// Says so where what is checked has settings of its own, which are not used.
pub(crate) fn tell_others(args: &WorkArgs, found: &[Source]) {
    if args.settings.is_some() {
        return;
    }
    let used = found_for(args);
    let folders: BTreeSet<&Path> = found.iter().filter_map(|it| it.path.parent()).collect();
    for folder in folders {
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        let own = nearest(folder);
        if let Some(own) = own.filter(|own| Some(own) != used.as_ref()) {
            let used = used.as_deref().map_or_else(|| "none".to_owned(), name);
            complain(&format!(
                "the settings {} are not used in this run, which uses those of the first path ({used}): \
                 check {} by itself, or name them (--settings)",
                name(&own),
                own.parent().map_or_else(String::new, name),
            ));
            return;
        }
    }
}
