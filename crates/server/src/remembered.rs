//! What questions came to, remembered for the solvers.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use gainsay::{Digest, Memory, outcome::Judged};
use quick_cache::sync::Cache;

use crate::aids::Wanted;

/// So many questions are remembered.
const MOST: usize = 12_000;

/// What the questions of open documents came to, shared by the workers: an edit elsewhere, or
/// one that is undone, settles nothing twice. It is not kept for the next session, since most
/// is never seen again: while an author types, every keystroke makes another question.
#[derive(Debug)]
pub(crate) struct Answered(Cache<(Wanted, Digest), Arc<Judged>>);

impl Default for Answered {
    fn default() -> Self {
        Self(Cache::new(MOST))
    }
}

/// The memory of one worker's solver.
#[derive(Debug)]
pub(crate) struct Remembered {
    answered: Arc<Answered>,
    wanted: Wanted,
    /// What is kept from one session to the next.
    lasting: Option<Arc<dyn Memory>>,
    /// Whether the solver is at a file that is not open, whose text will last.
    at_file: AtomicBool,
}

impl Remembered {
    pub(crate) fn new(
        answered: Arc<Answered>,
        wanted: Wanted,
        lasting: Option<Arc<dyn Memory>>,
    ) -> Self {
        Self {
            answered,
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
    fn recall(&self, questions: &[Digest]) -> Vec<Option<Judged>> {
        let mut known: Vec<Option<Judged>> = (questions.iter())
            .map(|question| {
                let found = self.answered.0.get(&(self.wanted.clone(), *question));
                found.map(|judged| Judged::clone(&judged))
            })
            .collect();
        if let Some(lasting) = &self.lasting
            && known.iter().any(Option::is_none)
        {
            let recalled = lasting.recall(questions);
            for (known, recalled) in known.iter_mut().zip(recalled) {
                *known = known.take().or(recalled);
            }
        }
        known
    }

    fn keep(&self, questions: &[Digest], judged: &[Judged]) {
        if self.at_file.load(Ordering::Relaxed) {
            if let Some(lasting) = &self.lasting {
                lasting.keep(questions, judged);
            }
            return;
        }
        for (question, judged) in questions.iter().zip(judged) {
            let key = (self.wanted.clone(), *question);
            // After an edit most of a game's questions are the same as before.
            if !self.answered.0.contains_key(&key) {
                self.answered.0.insert(key, Arc::new(judged.clone()));
            }
        }
    }

    fn holds_judgements(&self) -> bool {
        !self.at_file.load(Ordering::Relaxed)
    }
}
