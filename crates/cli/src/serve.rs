//! `gainsay serve`: the language server, with what its solvers are given.

use std::{
    collections::{BTreeSet, HashMap},
    path::PathBuf,
    sync::{
        Arc, Condvar, Mutex, MutexGuard, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
    time::Duration,
};

use gainsay::Solver;
use gainsay_proof::endings::{Signature, Store, SyzygyError, SyzygyTables, Table, Tables};
use gainsay_server::{Ended, Share, Wanted};

use crate::{
    aids::{Aids, LEAST_NODES, TABLE_MEMORY, tables, verdicts},
    cache::Verdicts,
    engine::Engine,
    exit::TROUBLE,
    memory::MemoryLimit,
    print::complain,
};

/// Runs the server. The exit code of one that ended without being shut down is the
/// protocol's.
pub(crate) fn run() -> u8 {
    let shop = Arc::new(Shop::new());
    let ended = gainsay_server::serve(Arc::<Shop>::clone(&shop));
    shop.tidy();
    match ended {
        Ok(Ended::Properly) => 0,
        Ok(Ended::Abruptly) => 1,
        Err(error) => {
            complain(&error.to_string());
            TROUBLE
        }
    }
}

/// What the solvers of all workers share.
#[derive(Debug)]
struct Shop {
    tables: Arc<Tables>,
    syzygy: Mutex<HashMap<PathBuf, Arc<SyzygyTables>>>,
    engines: Mutex<HashMap<Vec<String>, Engine>>,
    verdicts: Mutex<HashMap<Circumstances, Option<Arc<Verdicts>>>>,
}

/// What verdicts depend on beyond text, settings and program: the memory of a solver, and
/// a folder of Syzygy tables.
type Circumstances = (usize, Option<PathBuf>);

impl Shop {
    fn new() -> Self {
        let made = Arc::new(tables(TABLE_MEMORY / 2, true));
        let held = Tables::new(TABLE_MEMORY / 2).kept_by(Box::new(Background::new(made)));
        Self {
            tables: Arc::new(held),
            syzygy: Mutex::default(),
            engines: Mutex::default(),
            verdicts: Mutex::default(),
        }
    }

    /// The tables of a folder, opened once.
    fn syzygy(&self, folder: &PathBuf) -> Result<Arc<SyzygyTables>, SyzygyError> {
        let mut open = held(&self.syzygy);
        if let Some(tables) = open.get(folder) {
            return Ok(Arc::clone(tables));
        }
        let tables = Arc::new(SyzygyTables::open(folder)?);
        open.insert(folder.clone(), Arc::clone(&tables));
        Ok(tables)
    }

    /// Keeps the cache of verdicts below its limit.
    fn tidy(&self) {
        for verdicts in held(&self.verdicts).values().flatten() {
            verdicts.tidy();
        }
    }

    /// The engine of a command line, which is told to be broken once.
    fn engine(&self, words: &[String]) -> Option<Engine> {
        let mut known = held(&self.engines);
        if let Some(engine) = known.get(words) {
            return Some(engine.clone());
        }
        let engine = Engine::new(words.to_vec())?;
        known.insert(words.to_vec(), engine.clone());
        Some(engine)
    }
}

/// The memory that the settings name, whose reader has refused too little.
fn memory(wanted: &Wanted) -> MemoryLimit {
    MemoryLimit::megabytes(wanted.memory).unwrap_or_default()
}

impl gainsay_server::Aids for Shop {
    fn share(&self, wanted: &Wanted, nodes: u64) -> Share {
        let memory = memory(wanted);
        Share {
            each: memory.solver(nodes),
            all: memory.solvers(),
        }
    }

    fn solver(&self, wanted: &Wanted, nodes: u64) -> Solver {
        let has_tables = nodes >= LEAST_NODES && memory(wanted).tables().is_some();
        let mut aids = Aids::with(has_tables.then(|| Arc::clone(&self.tables)));
        let folder = wanted.syzygy.as_ref();
        if let Some(tables) = folder.and_then(|folder| self.syzygy(folder).ok()) {
            aids.use_syzygy(tables);
        }
        if let Some(engine) = wanted.engine.as_ref().and_then(|words| self.engine(words)) {
            aids.use_engine(engine);
        }
        aids.solver(memory(wanted).solver(nodes))
    }

    fn memory(&self, wanted: &Wanted, nodes: u64) -> Option<Arc<dyn gainsay::Memory>> {
        if wanted.forgetful || wanted.engine.is_some() {
            return None;
        }
        let each = memory(wanted).solver(nodes);
        let mut known = held(&self.verdicts);
        let known = known
            .entry((each, wanted.syzygy.clone()))
            .or_insert_with(|| verdicts(each, wanted.syzygy.as_deref()).map(Arc::new));
        known
            .clone()
            .map(|verdicts| verdicts as Arc<dyn gainsay::Memory>)
    }

    fn troubles(&self, wanted: &Wanted) -> Vec<String> {
        let folder = wanted.syzygy.as_ref();
        let syzygy = folder.and_then(|folder| self.syzygy(folder).err());
        syzygy.iter().map(ToString::to_string).collect()
    }
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Tables that are made on threads of their own. Whoever needs one waits for it, but can
/// be told to stop at any time; the table is made all the same, so that an author who
/// goes on typing gets the verdict once it is there.
#[derive(Debug)]
struct Background {
    made: Arc<Tables>,
    making: Arc<(Mutex<BTreeSet<Signature>>, Condvar)>,
}

impl Background {
    fn new(made: Arc<Tables>) -> Self {
        Self {
            made,
            making: Arc::default(),
        }
    }

    /// Starts a thread that makes the table. Whatever becomes of it, it is taken off the
    /// list of those that are being made.
    fn make(&self, signature: Signature) {
        struct Done(Arc<(Mutex<BTreeSet<Signature>>, Condvar)>, Signature);
        impl Drop for Done {
            fn drop(&mut self) {
                let (making, changed) = &*self.0;
                held(making).remove(&self.1);
                changed.notify_all();
            }
        }
        let done = Done(Arc::clone(&self.making), signature);
        let made = Arc::clone(&self.made);
        // Without a thread the table is made by the one who waits.
        let _ = std::thread::Builder::new()
            .name(format!("gainsay-{signature}"))
            .spawn(move || {
                let _done = done;
                // What is built is kept, and taken from there.
                let _ = made.build(signature, &AtomicBool::new(false));
            });
    }
}

impl Store for Background {
    fn load(&self, signature: Signature, stop: &AtomicBool) -> Option<Arc<Table>> {
        /// How often the stop flag is looked at.
        const POLL: Duration = Duration::from_micros(200);
        if let Some(table) = self.made.get(signature) {
            return Some(table);
        }
        let (making, changed) = &*self.making;
        if held(making).insert(signature) {
            self.make(signature);
        }
        let mut open = held(making);
        while open.contains(&signature) {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            open = changed
                .wait_timeout(open, POLL)
                .unwrap_or_else(PoisonError::into_inner)
                .0;
        }
        drop(open);
        self.made.build(signature, stop).ok()
    }

    /// It is kept where it was made.
    fn keep(&self, _: &Table) {}
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_waits_for_a_table_can_be_stopped_and_it_is_made_all_the_same() {
        let made = Arc::new(Tables::new(usize::MAX));
        let store = Background::new(Arc::clone(&made));
        // It takes long enough to be seen waiting for.
        let signature: Signature = "KQKR".parse().expect("a signature");
        let stopped = AtomicBool::new(true);
        assert!(store.load(signature, &stopped).is_none());
        assert!(made.get(signature).is_none(), "it was waited for");
        // The thread that was started goes on; nobody starts a second one.
        let table = store.load(signature, &AtomicBool::new(false));
        assert_eq!(table.map(|table| table.signature()), Some(signature));
        assert!(made.get(signature).is_some());
    }

    #[test]
    fn a_folder_that_is_not_there_is_told() {
        let shop = Shop::new();
        let wanted = Wanted {
            syzygy: Some(PathBuf::from("/no/such/folder")),
            ..Wanted::default()
        };
        let troubles = gainsay_server::Aids::troubles(&shop, &wanted);
        assert!(troubles[0].contains("/no/such/folder"), "{troubles:?}");
        assert!(gainsay_server::Aids::troubles(&shop, &Wanted::default()).is_empty());
    }
}
