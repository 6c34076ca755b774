//! What prose and whole files came to, remembered for the solvers.

use std::{
    collections::{HashMap, VecDeque},
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, Ordering},
    },
};

use gainsay::{Key, Memory, Settlement};

use crate::aids::Wanted;

/// So many passages are remembered; the oldest are forgotten first.
const MOST: usize = 2_000;

/// The passages of open documents, shared by the workers: an edit elsewhere, or one that is
/// undone, settles nothing twice. They are not kept for the next session, since most are
/// never seen again: while an author types, every keystroke makes another.
#[derive(Debug, Default)]
pub(crate) struct Passages(Mutex<Held>);

#[derive(Debug, Default)]
struct Held {
    known: HashMap<(Wanted, Key), Settlement>,
    order: VecDeque<(Wanted, Key)>,
}

/// The memory of one worker's solver.
#[derive(Debug)]
pub(crate) struct Remembered {
    passages: Arc<Passages>,
    wanted: Wanted,
    /// What is kept from one session to the next.
    lasting: Option<Arc<dyn Memory>>,
    /// Whether the solver is at a file that is not open, whose text will last.
    at_file: AtomicBool,
}

impl Remembered {
    pub(crate) fn new(
        passages: Arc<Passages>,
        wanted: Wanted,
        lasting: Option<Arc<dyn Memory>>,
    ) -> Self {
        Self {
            passages,
            wanted,
            lasting,
            at_file: AtomicBool::new(false),
        }
    }

    pub(crate) fn at_file(&self, at_file: bool) {
        self.at_file.store(at_file, Ordering::Relaxed);
    }
}

impl Memory for Remembered {
    fn recall(&self, key: &Key) -> Option<Settlement> {
        let held = &self.passages.0;
        let held = held.lock().unwrap_or_else(PoisonError::into_inner);
        let known = held.known.get(&(self.wanted.clone(), *key)).cloned();
        drop(held);
        known.or_else(|| self.lasting.as_ref()?.recall(key))
    }

    fn keep(&self, key: &Key, settlement: &Settlement) {
        if self.at_file.load(Ordering::Relaxed) {
            if let Some(lasting) = &self.lasting {
                lasting.keep(key, settlement);
            }
            return;
        }
        let held = &self.passages.0;
        let mut held = held.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (self.wanted.clone(), *key);
        if held.known.insert(key.clone(), settlement.clone()).is_none() {
            held.order.push_back(key);
        }
        while held.order.len() > MOST {
            if let Some(oldest) = held.order.pop_front() {
                held.known.remove(&oldest);
            }
        }
    }
}
