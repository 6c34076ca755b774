//! What the solvers are given beyond their own search: tables of endings, kept in the
//! user's cache folder, and what the settings name.

use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError, atomic::AtomicBool},
};

use gainsay::{Answers, Solver};
use gainsay_proof::endings::{Signature, Store, SyzygyError, SyzygyTables, Table, Tables};

use crate::{
    cache::{self, Verdicts},
    engine::Engine,
    memory::MemoryLimit,
};

/// Memory for tables of endings; the largest takes 17 MB.
pub(crate) const TABLE_MEMORY: usize = 48 << 20;

/// With a smaller budget no tables are built, for that takes as long as a search of
/// millions of nodes. The bound is one of nodes, so that verdicts depend on the budget
/// and never on what the cache folder holds.
pub(crate) const LEAST_NODES: u64 = 500_000;

/// No table is longer than this as a file.
const LONGEST_FILE: u64 = 32 << 20;

/// What all solvers of a run share.
#[derive(Debug, Default)]
pub(crate) struct Aids {
    tables: Option<Arc<Tables>>,
    syzygy: Option<Arc<SyzygyTables>>,
    engine: Option<Engine>,
    verdicts: Option<Arc<Verdicts>>,
    /// The memory of a solver, if it is known: verdicts depend on it.
    each: usize,
}

impl Aids {
    /// The tables of small endings, if a budget of `nodes` and the memory allow; with
    /// `cached`, those in the user's cache folder.
    pub(crate) fn new(nodes: u64, memory: MemoryLimit, cached: bool) -> Self {
        let room = memory.tables().filter(|_| nodes >= LEAST_NODES);
        Self {
            each: memory.solver(nodes),
            ..Self::with(room.map(|room| Arc::new(tables(room, cached))))
        }
    }

    /// These tables and no other aid.
    pub(crate) fn with(tables: Option<Arc<Tables>>) -> Self {
        Self {
            tables,
            ..Self::default()
        }
    }

    /// Remembers verdicts in the user's cache folder. To be called last: what was added
    /// before belongs to what verdicts depend on. An engine may judge otherwise tomorrow,
    /// so that with one nothing is remembered.
    pub(crate) fn remember_verdicts(&mut self, syzygy: Option<&Path>) {
        if self.engine.is_none() {
            self.verdicts = verdicts(self.each, syzygy).map(Arc::new);
        }
    }

    /// The verdicts that are remembered, if they are.
    pub(crate) fn verdicts(&self) -> Option<&Verdicts> {
        self.verdicts.as_deref()
    }

    /// Lets an engine make the judgements.
    pub(crate) fn use_engine(&mut self, engine: Engine) {
        self.engine = Some(engine);
    }

    /// Takes the Syzygy tables of a folder too.
    ///
    /// # Errors
    ///
    /// [`SyzygyError`] when the folder cannot be read.
    pub(crate) fn open_syzygy(&mut self, folder: &Path) -> Result<(), SyzygyError> {
        self.use_syzygy(Arc::new(SyzygyTables::open(folder)?));
        Ok(())
    }

    /// Takes Syzygy tables that are open.
    pub(crate) fn use_syzygy(&mut self, tables: Arc<SyzygyTables>) {
        self.syzygy = Some(tables);
    }

    /// One solver a thread: as many threads as asked for, or as there are cores, as far
    /// as there is room.
    pub(crate) fn solvers(
        &self,
        memory: MemoryLimit,
        threads: Option<usize>,
        nodes: u64,
    ) -> Vec<Solver> {
        let each = memory.solver(nodes);
        let answers = Answers::default();
        (0..memory.threads(threads, nodes))
            .map(|_| self.solver(each).sharing(answers.clone()))
            .collect()
    }

    /// A solver that uses about `memory` bytes of its own.
    pub(crate) fn solver(&self, memory: usize) -> Solver {
        let mut solver = Solver::new(memory);
        if let Some(tables) = &self.tables {
            solver = solver.with_tables(Arc::clone(tables));
        }
        if let Some(tables) = &self.syzygy {
            solver = solver.with_syzygy(Arc::clone(tables));
        }
        if let Some(engine) = &self.engine {
            solver = solver.with_judge(engine.judge());
        }
        if let Some(verdicts) = &self.verdicts {
            solver = solver.with_memory(Arc::<Verdicts>::clone(verdicts));
        }
        solver
    }
}

/// The verdicts in the user's cache folder of solvers that take `each` bytes and use the
/// Syzygy tables of a folder. Where the program or the tables cannot be told, nothing is
/// remembered.
pub(crate) fn verdicts(each: usize, syzygy: Option<&Path>) -> Option<Verdicts> {
    let circumstances = || {
        let mut hasher = blake3::Hasher::new();
        hasher.update(cache::program()?.as_bytes());
        hasher.update(&(each as u64).to_le_bytes());
        if let Some(folder) = syzygy {
            hasher.update(files_of(folder)?.as_bytes());
        }
        Ok::<_, io::Error>(hasher.finalize())
    };
    let folder = cache::folder("verdicts")?;
    Some(Verdicts::new(folder, circumstances().ok()?))
}

/// Which files a folder holds, with their sizes and times.
fn files_of(folder: &Path) -> io::Result<String> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let data = entry.metadata()?;
        files.push((entry.path(), data.len(), data.modified()?));
    }
    files.sort();
    Ok(format!("{files:?}"))
}

/// Tables of endings, at most so many bytes of them in memory; with `cached`, those in the
/// user's cache folder.
pub(crate) fn tables(memory: usize, cached: bool) -> Tables {
    let folder = cache::folder("endings").filter(|_| cached);
    Tables::new(memory).kept_by(Box::new(Folder::new(folder)))
}

/// A folder of tables, a file each. It may be deleted at any time; it holds 33 files at
/// most, about 100 MB together. Files are checked by their checksum, and a damaged one is
/// as good as none and written anew. Without a folder nothing is kept.
///
/// On a terminal it says which table is being built.
#[derive(Debug)]
struct Folder {
    path: Option<PathBuf>,
    building: Mutex<Option<indicatif::ProgressBar>>,
}

impl Folder {
    const fn new(path: Option<PathBuf>) -> Self {
        Self {
            path,
            building: Mutex::new(None),
        }
    }

    fn path(&self, signature: Signature) -> Option<PathBuf> {
        Some(self.path.as_ref()?.join(format!("{signature}.table")))
    }

    /// Writes beside the file and renames, so that no one ever reads half of a table.
    fn write(&self, table: &Table) -> io::Result<()> {
        let (Some(folder), Some(path)) = (&self.path, self.path(table.signature())) else {
            return Ok(());
        };
        fs::create_dir_all(folder)?;
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(&table.to_bytes())?;
        file.persist(path)?;
        Ok(())
    }

    /// Shows this progress instead of the one before.
    fn show(&self, bar: Option<indicatif::ProgressBar>) {
        let mut shown = self.building.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(before) = std::mem::replace(&mut *shown, bar) {
            before.finish_and_clear();
        }
    }
}

impl Store for Folder {
    fn load(&self, signature: Signature, _: &AtomicBool) -> Option<Arc<Table>> {
        let path = self.path(signature)?;
        let size = fs::metadata(&path).ok()?.len();
        let bytes = (size <= LONGEST_FILE).then(|| fs::read(&path).ok())??;
        Table::from_bytes(&bytes).ok().map(Arc::new)
    }

    /// A cache that cannot be written costs time and nothing else, so nothing is said.
    fn keep(&self, table: &Table) {
        let _ = self.write(table);
        self.show(None);
    }

    fn building(&self, signature: Signature) {
        let bar = indicatif::ProgressBar::new_spinner();
        bar.set_message(format!("building the endgame table {signature}"));
        bar.tick();
        self.show(Some(bar));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_keeps_tables_and_survives_damage() {
        let place = tempfile::tempdir().expect("a folder");
        let folder = || Folder::new(Some(place.path().join("deep").join("endings")));
        let signature: Signature = "KQK".parse().expect("a signature");
        let stop = AtomicBool::new(false);
        assert!(folder().load(signature, &stop).is_none());
        let built = Tables::new(usize::MAX)
            .kept_by(Box::new(folder()))
            .build(signature, &stop)
            .expect("a table");
        let read = folder().load(signature, &stop).expect("a kept table");
        assert_eq!(read.to_bytes(), built.to_bytes());

        // One bit, half of the file, nothing, another table's name: all as good as none.
        let path = folder().path(signature).expect("a path");
        let whole = fs::read(&path).expect("a file");
        let mut bent = whole.clone();
        bent[whole.len() / 2] ^= 1;
        for damaged in [&bent[..], &whole[..whole.len() / 2], &[]] {
            fs::write(&path, damaged).expect("written");
            assert!(folder().load(signature, &stop).is_none());
        }
        let other: Signature = "KRK".parse().expect("a signature");
        fs::write(folder().path(other).expect("a path"), &whole).expect("written");
        let tables = Tables::new(usize::MAX).kept_by(Box::new(folder()));
        let built = tables.build(other, &stop).expect("a table");
        assert_eq!(built.signature(), other);
        // What was damaged is written anew.
        tables.build(signature, &stop).expect("a table");
        assert_eq!(fs::read(&path).expect("a file"), whole);
        assert_eq!(
            folder().load(other, &stop).map(|table| table.signature()),
            Some(other)
        );

        // A folder that cannot be made is no trouble.
        let blocked = Folder::new(Some(path.join("below a file")));
        blocked.keep(&built);
        assert!(blocked.load(other, &stop).is_none());
    }
}
