//! The threads that settle claims, each with its own solver.
//!
//! A worker gets one piece of a document, or one file that is not open, at a time, with a
//! text that stays as it is, so that nothing it does can hold up the document.

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{Receiver, Sender, channel},
    },
    thread,
    time::{Duration, Instant},
};

use gainsay::{Edition, Looks, PieceId, Solver};
use gainsay_notation::SectionKind;

use crate::{
    aids::{Aids, Wanted},
    closed::{self, FileJob, Outcome},
    document::Settlement,
    options::Terms,
    remembered::{Answered, Remembered},
};

/// After so long a worker tells what it has so far.
const TELL_AFTER: Duration = Duration::from_millis(50);

/// A piece whose claims are to be settled.
#[derive(Debug)]
pub(crate) struct Job {
    pub(crate) piece: PieceId,
    /// The text, or the piece by itself where it speaks of nothing else.
    pub(crate) edition: Arc<Edition<'static>>,
    /// The place of the piece in it.
    pub(crate) at: usize,
    /// What the games of the document were called by then, if the piece may point at them.
    pub(crate) index: Option<u64>,
    pub(crate) terms: Terms,
    /// Raised when the answer is no longer wanted.
    pub(crate) stop: Arc<AtomicBool>,
}

/// What a worker is given to do.
#[derive(Debug)]
pub(crate) enum Task {
    Piece(Job),
    File(FileJob),
    /// To give its solver's memory back.
    Rest,
}

/// What a worker tells.
#[derive(Debug)]
pub(crate) struct Told {
    pub(crate) worker: usize,
    pub(crate) what: What,
}

/// What it tells about.
#[derive(Debug)]
pub(crate) enum What {
    Piece(Settled),
    /// Told exactly once a job; `None` where the check broke off.
    File(Option<Outcome>),
}

/// What was settled of a piece.
#[derive(Debug)]
pub(crate) struct Settled {
    pub(crate) piece: PieceId,
    pub(crate) settlement: Settlement,
    /// Whether the worker is done with the piece. Told exactly once a job, and
    /// also when the job was stopped.
    pub(crate) done: bool,
    /// Whether it was stopped; the settlement is then incomplete.
    pub(crate) stopped: bool,
    /// What it depends on in other games.
    pub(crate) looks: Option<Looks>,
}

impl Task {
    /// How its claims are settled.
    fn terms(&self) -> Option<&Terms> {
        match self {
            Self::Piece(job) => Some(&job.terms),
            Self::File(job) => Some(&job.terms),
            Self::Rest => None,
        }
    }
}

/// The workers.
pub(crate) struct Pool {
    jobs: Vec<Sender<Task>>,
    /// What the solver of each takes, in bytes.
    taken: Vec<usize>,
    aids: Arc<dyn Aids>,
}

impl Pool {
    /// Starts `workers` threads that tell what they settle through `tell`.
    pub(crate) fn start<F>(workers: usize, aids: &Arc<dyn Aids>, tell: F) -> Self
    where
        F: Fn(Told) + Clone + Send + 'static,
    {
        let shop = Shop {
            answered: Arc::default(),
            aids: Arc::clone(aids),
        };
        let jobs: Vec<Sender<Task>> = (0..workers.max(1))
            .filter_map(|worker| {
                let (sender, receiver) = channel();
                let tell = tell.clone();
                let shop = shop.clone();
                thread::Builder::new()
                    .name(format!("gainsay-settle-{worker}"))
                    .spawn(move || work(worker, &receiver, &shop, &tell))
                    .ok()
                    .map(|_| sender)
            })
            .collect();
        Self {
            taken: vec![0; jobs.len()],
            jobs,
            aids: Arc::clone(aids),
        }
    }

    /// The number of workers.
    pub(crate) fn len(&self) -> usize {
        self.jobs.len()
    }

    /// Gives a task to a worker, which must be idle, if there is memory for its solver;
    /// otherwise gives the task back. Workers that `idle` says are idle give back theirs
    /// first.
    pub(crate) fn give(
        &mut self,
        worker: usize,
        task: Task,
        idle: impl Fn(usize) -> bool,
    ) -> Result<(), Box<Task>> {
        if let Some(terms) = task.terms() {
            let share = self.aids.share(&terms.wanted, terms.settings.nodes);
            for other in (0..self.len()).filter(|&other| other != worker) {
                if self.without(worker) + share.each <= share.all {
                    break;
                }
                if idle(other) {
                    self.rest(other);
                }
            }
            if self.without(worker) + share.each > share.all {
                return Err(Box::new(task));
            }
            if let Some(taken) = self.taken.get_mut(worker) {
                *taken = share.each;
            }
        }
        self.send(worker, task);
        Ok(())
    }

    /// What the solvers of all other workers take.
    fn without(&self, worker: usize) -> usize {
        let others = self.taken.iter().enumerate();
        let others = others.filter(|(other, _)| *other != worker);
        others.map(|(_, taken)| taken).sum()
    }

    /// Makes an idle worker give its memory back.
    pub(crate) fn rest(&mut self, worker: usize) {
        if let Some(taken) = self.taken.get_mut(worker)
            && std::mem::take(taken) > 0
        {
            self.send(worker, Task::Rest);
        }
    }

    fn send(&self, worker: usize, task: Task) {
        if let Some(sender) = self.jobs.get(worker) {
            // A worker ends only when the pool is dropped.
            let _ = sender.send(task);
        }
    }
}

fn work(worker: usize, tasks: &Receiver<Task>, shop: &Shop, tell: &impl Fn(Told)) {
    let tell = |what| tell(Told { worker, what });
    let mut kept = None;
    while let Ok(task) = tasks.recv() {
        // The library promises not to panic; if it does, the author loses the claims
        // of one piece or the findings of one file, and not the session.
        match task {
            Task::Rest => kept = None,
            Task::Piece(job) => {
                let told = |settlement: Settlement, done: bool, looks: Option<Looks>| {
                    What::Piece(Settled {
                        piece: job.piece,
                        settlement,
                        done,
                        stopped: job.stop.load(Ordering::Relaxed),
                        looks,
                    })
                };
                let settlement = catch_unwind(AssertUnwindSafe(|| {
                    let kept = shop.kept(&mut kept, &job.terms, false);
                    settle(&job, &mut kept.solver, |part| {
                        tell(told(part, false, None));
                    })
                }));
                if settlement.is_err() {
                    kept = None;
                }
                let (settlement, looks) = settlement.unwrap_or_default();
                tell(told(settlement, true, looks));
            }
            Task::File(job) => {
                let outcome = catch_unwind(AssertUnwindSafe(|| {
                    let kept = shop.kept(&mut kept, &job.terms, true);
                    closed::check(job, &mut kept.solver)
                }));
                if outcome.is_err() {
                    kept = None;
                }
                tell(What::File(outcome.ok()));
            }
        }
    }
}

/// What the workers share.
#[derive(Clone)]
struct Shop {
    answered: Arc<Answered>,
    aids: Arc<dyn Aids>,
}

/// The solver of a worker, with what it was made for.
struct Kept {
    wanted: Wanted,
    nodes: u64,
    remembered: Arc<Remembered>,
    solver: Solver,
}

impl Shop {
    /// The solver for claims on these terms, of a file or of an open document.
    fn kept<'k>(&self, kept: &'k mut Option<Kept>, terms: &Terms, at_file: bool) -> &'k mut Kept {
        let Terms { settings, wanted } = terms;
        let nodes = settings.nodes;
        // The old one goes before there is a new one.
        *kept = kept
            .take()
            .filter(|kept| kept.wanted == *wanted && kept.nodes == nodes);
        let kept = kept.get_or_insert_with(|| {
            let lasting = self.aids.memory(wanted, nodes);
            let answered = Arc::clone(&self.answered);
            let remembered = Remembered::new(answered, wanted.clone(), lasting);
            let remembered = Arc::new(remembered);
            let solver = self.aids.solver(wanted, nodes);
            Kept {
                wanted: wanted.clone(),
                nodes,
                solver: solver.with_memory(Arc::<Remembered>::clone(&remembered)),
                remembered,
            }
        });
        kept.remembered.at_file(at_file);
        kept
    }
}

/// Settles the claims of a piece until all are settled or the job is stopped.
fn settle(
    job: &Job,
    solver: &mut Solver,
    mut tell: impl FnMut(Settlement),
) -> (Settlement, Option<Looks>) {
    let settings = &job.terms.settings;
    let questions = job.edition.questions(job.at, settings);
    let looks = job.index.map(|index| Looks {
        index,
        pieces: job.edition.looked_at(&questions),
    });
    let kind = job.edition.pieces().get(job.at).map(|piece| piece.kind);
    let prose = kind == Some(SectionKind::Prose);
    solver.stop_on(Arc::clone(&job.stop));
    let mut told = Instant::now();
    let of = questions.len();
    let so_far = |settled: &gainsay::Settlement| Settlement {
        of,
        claims: settled.claims.clone(),
        findings: settled.findings.clone(),
        unread: settled.unread.clone(),
    };
    let settled = questions.settle(solver, settings, |settled| {
        // The claims of prose hang together.
        if !prose && told.elapsed() >= TELL_AFTER {
            told = Instant::now();
            tell(so_far(settled));
        }
    });
    let of = if prose { settled.claims.len() } else { of };
    let settlement = Settlement {
        of,
        claims: settled.claims,
        findings: settled.findings,
        unread: settled.unread,
    };
    (settlement, looks)
}
