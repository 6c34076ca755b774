//! The one task that owns all state.
//!
//! It takes events from a queue, in the order they came in, and never waits for
//! anybody: reading happens in slices between events, settling in the pool, and
//! whoever wants to look at a document gets a snapshot of it.

use std::{
    collections::{BTreeMap, VecDeque},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel},
    },
    thread,
    time::{Duration, Instant},
};

use gainsay_notation::{Columns, Format};

use crate::{
    aids::Aids,
    document::{Change, Document, Ids, SectionId, Snapshot},
    memory::Memory,
    options::Options,
    pool::{Job, Pool, Terms, Told},
};

/// How long reading may hold up the next event.
const SLICE: Duration = Duration::from_millis(3);

/// How long a burst of events may hold up what is to be shown.
const BURST: Duration = Duration::from_millis(5);

/// While a document is opened and read, what is known is shown after this long.
const FIRST_SHOWN: Duration = Duration::from_millis(150);

/// An edit touches no more sections than this.
const FEW: usize = 4;

/// While claims settle, verdicts are shown together, this far apart.
const SHOWN_APART: Duration = Duration::from_millis(100);

/// Gives the settings of the document at an address.
pub(crate) type Resolve = Arc<dyn Fn(&str) -> Arc<Options> + Send + Sync>;

/// What happens to the state.
pub(crate) enum Event {
    /// A document was opened.
    Open {
        uri: Arc<str>,
        version: i32,
        format: Format,
        text: String,
    },
    /// A document was changed.
    Change {
        uri: Arc<str>,
        version: i32,
        changes: Vec<Change>,
    },
    /// A document was closed.
    Close { uri: Arc<str> },
    /// A file was renamed, or a folder with all that is in it.
    Rename { old: Arc<str>, new: Arc<str> },
    /// A file was deleted, or a folder with all that is in it.
    Delete { uri: Arc<str> },
    /// The unit of columns was agreed upon.
    Columns(Columns),
    /// The settings of documents are these from now on.
    Options(Resolve),
    /// The claims of the game at an offset are to have ten times the budget.
    SettleAgain { uri: Arc<str>, offset: usize },
    /// The claims that wait are not to be settled.
    GiveUp,
    /// A worker tells.
    Told(Told),
    /// Somebody wants to know something.
    Ask(Box<dyn FnOnce(&View<'_>) + Send>),
    /// The session is over.
    End,
}

/// What those who ask may see.
pub(crate) struct View<'s> {
    state: &'s State,
}

impl View<'_> {
    /// A document as it is now.
    pub(crate) fn document(&self, uri: &str) -> Option<Snapshot> {
        let document = self.state.documents.get(uri)?;
        Some(document.document.snapshot(&document.options))
    }

    /// All open documents, by their address.
    pub(crate) fn documents(&self) -> Vec<(Arc<str>, Snapshot)> {
        self.state
            .documents
            .iter()
            .map(|(uri, open)| (Arc::clone(uri), open.document.snapshot(&open.options)))
            .collect()
    }
}

/// What is to be shown to the author.
#[derive(Debug)]
pub(crate) enum Shown {
    /// The findings of a document, as far as they are known.
    Findings(Snapshot),
    /// The document was closed.
    Closed,
}

/// Takes what is to be shown. It must not block.
pub(crate) trait Show: Send + 'static {
    /// A document's findings changed, or it was closed.
    fn show(&mut self, uri: &Arc<str>, shown: Shown);

    /// So many sections wait for their claims to be settled; 0 when all is done.
    fn settling(&mut self, waiting: usize);
}

/// Starts the task; events go into the queue that it gives back.
pub(crate) fn start(workers: usize, aids: &Arc<dyn Aids>, show: impl Show) -> Sender<Event> {
    let (sender, receiver) = channel();
    let told = sender.clone();
    let memory = Arc::new(Memory::default());
    let pool = Pool::start(workers, &memory, aids, move |message| {
        // The state outlives its workers but for the end of the session.
        let _ = told.send(Event::Told(message));
    });
    let started = thread::Builder::new()
        .name("gainsay-state".to_owned())
        .spawn(move || State::new(pool, Box::new(show)).run(&receiver));
    drop(started);
    sender
}

/// An open document with its work.
struct Open {
    document: Document,
    options: Arc<Options>,
    /// Sections whose claims wait for a worker, the most urgent first.
    queue: VecDeque<SectionId>,
    /// What was found that is not shown yet.
    unshown: Unshown,
    /// When it was last shown or, before that, opened.
    shown: Instant,
}

/// What waits to be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Unshown {
    Nothing,
    /// Verdicts only, which are shown a few at a time.
    Verdicts,
    /// Notation, which is shown at once.
    Notation,
}

/// What a worker is at.
struct Running {
    uri: Arc<str>,
    section: SectionId,
    stop: Arc<AtomicBool>,
}

struct State {
    documents: BTreeMap<Arc<str>, Open>,
    resolve: Resolve,
    columns: Columns,
    ids: Ids,
    pool: Pool,
    running: Vec<Option<Running>>,
    show: Box<dyn Show>,
    told_settling: usize,
}

impl State {
    fn new(pool: Pool, show: Box<dyn Show>) -> Self {
        Self {
            documents: BTreeMap::new(),
            resolve: Arc::new(|_| Arc::default()),
            columns: Columns::Utf16,
            ids: Ids::default(),
            running: (0..pool.len()).map(|_| None).collect(),
            pool,
            show,
            told_settling: 0,
        }
    }

    fn run(mut self, events: &Receiver<Event>) {
        'session: loop {
            let event = match self.next_event(events) {
                Next::Event(event) => event,
                Next::Idle => {
                    self.read_some();
                    self.show_due();
                    continue;
                }
                Next::Over => break,
            };
            // Events that wait already are taken in before anything is shown, so that a
            // question behind a burst of edits does not wait for what nobody will see.
            let end = Instant::now() + BURST;
            let mut next = Some(event);
            while let Some(event) = next {
                if let Event::End = event {
                    break 'session;
                }
                self.handle(event);
                self.hand_out();
                next = (Instant::now() < end)
                    .then(|| events.try_recv().ok())
                    .flatten();
            }
            self.show_due();
        }
        for running in self.running.iter().flatten() {
            running.stop.store(true, Ordering::Relaxed);
        }
    }

    fn next_event(&self, events: &Receiver<Event>) -> Next {
        if self
            .documents
            .values()
            .any(|open| open.document.is_unread())
        {
            return match events.try_recv() {
                Ok(event) => Next::Event(event),
                Err(TryRecvError::Empty) => Next::Idle,
                Err(TryRecvError::Disconnected) => Next::Over,
            };
        }
        let due = self
            .documents
            .values()
            .filter(|open| open.unshown != Unshown::Nothing)
            .map(|open| open.shown + SHOWN_APART)
            .min();
        match due {
            None => events.recv().map_or(Next::Over, Next::Event),
            Some(due) => match events.recv_timeout(due.saturating_duration_since(Instant::now())) {
                Ok(event) => Next::Event(event),
                Err(RecvTimeoutError::Timeout) => Next::Idle,
                Err(RecvTimeoutError::Disconnected) => Next::Over,
            },
        }
    }

    fn handle(&mut self, event: Event) {
        match event {
            Event::Open {
                uri,
                version,
                format,
                text,
            } => {
                let document = Document::new(version, format, text, &mut self.ids);
                self.open(uri, document);
            }
            Event::Change {
                uri,
                version,
                changes,
            } => self.change(&uri, version, &changes),
            Event::Close { uri } => self.close(&uri),
            Event::Rename { old, new } => self.rename(&old, &new),
            Event::Delete { uri } => {
                for uri in self.within(&uri) {
                    self.close(&uri);
                }
            }
            Event::Columns(columns) => self.columns = columns,
            Event::Options(resolve) => self.set(resolve),
            Event::SettleAgain { uri, offset } => self.settle_again(&uri, offset),
            Event::GiveUp => self.give_up(),
            Event::Told(told) => self.hear(told),
            Event::Ask(answer) => answer(&View { state: self }),
            Event::End => {}
        }
    }

    fn open(&mut self, uri: Arc<str>, document: Document) {
        self.close(&uri);
        let options = (self.resolve)(&uri);
        self.documents.insert(
            uri,
            Open {
                document,
                options,
                queue: VecDeque::new(),
                unshown: Unshown::Notation,
                shown: Instant::now(),
            },
        );
        self.read_some();
    }

    fn change(&mut self, uri: &Arc<str>, version: i32, changes: &[Change]) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        let mut gone = Vec::new();
        for change in changes {
            open.document
                .change(change, self.columns, &mut self.ids, &mut gone);
        }
        open.document.version = version;
        open.unshown = Unshown::Notation;
        self.stop(uri, &gone);
        // What was touched is read at once; only a long document that is still being
        // read takes more than one slice.
        self.read_some();
    }

    fn close(&mut self, uri: &Arc<str>) {
        let Some(open) = self.documents.remove(uri) else {
            return;
        };
        let gone: Vec<SectionId> = open
            .document
            .sections()
            .iter()
            .map(|section| section.id)
            .collect();
        self.stop(uri, &gone);
        self.show.show(uri, Shown::Closed);
    }

    /// The documents at an address: a file's, or those of all files in a folder.
    fn within(&self, uri: &str) -> Vec<Arc<str>> {
        let inside = |known: &str| {
            known
                .strip_prefix(uri)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('/') || uri.ends_with('/'))
        };
        self.documents
            .keys()
            .filter(|known| inside(known))
            .cloned()
            .collect()
    }

    /// What is known of a document goes along with it to its new address, unless the
    /// client has opened it there already.
    fn rename(&mut self, old: &str, new: &str) {
        for from in self.within(old) {
            let to: Arc<str> = format!("{new}{}", from.get(old.len()..).unwrap_or_default()).into();
            if self.documents.contains_key(&to) {
                self.close(&from);
                continue;
            }
            let Some(mut open) = self.documents.remove(&from) else {
                continue;
            };
            self.show.show(&from, Shown::Closed);
            for running in self.running.iter_mut().flatten() {
                if running.uri == from {
                    running.uri = Arc::clone(&to);
                }
            }
            open.unshown = Unshown::Notation;
            self.documents.insert(to, open);
        }
        // Another folder may have other settings.
        self.set(Arc::clone(&self.resolve));
    }

    fn set(&mut self, resolve: Resolve) {
        self.resolve = resolve;
        let uris: Vec<Arc<str>> = self.documents.keys().cloned().collect();
        for uri in uris {
            let options = (self.resolve)(&uri);
            let Some(open) = self.documents.get_mut(&uri) else {
                continue;
            };
            let old = std::mem::replace(&mut open.options, Arc::clone(&options));
            if old == options {
                continue;
            }
            open.unshown = Unshown::Notation;
            open.shown = Instant::now();
            // What only the editor shows in another way needs no new reading.
            if old.settings == options.settings && old.wanted == options.wanted {
                continue;
            }
            let mut gone = Vec::new();
            open.document.forget(&mut self.ids, &mut gone);
            open.queue.clear();
            self.stop(&uri, &gone);
        }
    }

    fn settle_again(&mut self, uri: &Arc<str>, offset: usize) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        if let Some(again) = open.document.settle_again(offset, &mut self.ids) {
            open.queue.push_front(again.new);
            open.unshown = open.unshown.max(Unshown::Verdicts);
            self.stop(uri, &[again.gone]);
        }
    }

    fn give_up(&mut self) {
        for open in self.documents.values_mut() {
            let mut gone = Vec::new();
            open.document.give_up(&mut gone);
            open.queue.clear();
            open.unshown = open.unshown.max(Unshown::Verdicts);
        }
        for running in self.running.iter().flatten() {
            running.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Stops the work on sections that are no more.
    fn stop(&self, uri: &Arc<str>, gone: &[SectionId]) {
        for running in self.running.iter().flatten() {
            if running.uri == *uri && gone.contains(&running.section) {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    fn hear(&mut self, told: Told) {
        let Some(place) = self.running.get_mut(told.worker) else {
            return;
        };
        let Some(uri) = place.as_ref().map(|running| Arc::clone(&running.uri)) else {
            return;
        };
        if told.done {
            *place = None;
        }
        if told.stopped {
            return;
        }
        if let Some(open) = self.documents.get_mut(&uri)
            && open
                .document
                .settle(told.section, told.settlement, told.done)
        {
            open.unshown = open.unshown.max(Unshown::Verdicts);
        }
    }

    /// Reads for one slice of time, so that typing need not wait.
    fn read_some(&mut self) {
        let end = Instant::now() + SLICE;
        for open in self.documents.values_mut() {
            // While a long document is read, claims settle in the order of the text;
            // after an edit, what was edited comes first.
            let mut waiting = Vec::new();
            let mut read = 0_usize;
            while let Some((id, waits)) = open.document.read_next(&open.options.settings) {
                open.unshown = Unshown::Notation;
                read += 1;
                if waits {
                    waiting.push(id);
                }
                if Instant::now() >= end {
                    break;
                }
            }
            if read <= FEW {
                for id in waiting.into_iter().rev() {
                    open.queue.push_front(id);
                }
            } else {
                open.queue.extend(waiting);
            }
            if Instant::now() >= end {
                break;
            }
        }
        self.hand_out();
    }

    /// Gives work to idle workers.
    fn hand_out(&mut self) {
        for worker in 0..self.running.len() {
            if self.running.get(worker).is_some_and(Option::is_some) {
                continue;
            }
            let Some((job, running)) = self.next_job() else {
                break;
            };
            if let Some(place) = self.running.get_mut(worker) {
                *place = Some(running);
            }
            self.pool.give(worker, job);
        }
        let waiting = self.documents.values().map(|open| open.queue.len()).sum();
        let waiting: usize = waiting;
        let waiting = waiting + self.running.iter().flatten().count();
        if waiting != self.told_settling {
            self.told_settling = waiting;
            self.show.settling(waiting);
        }
    }

    fn next_job(&mut self) -> Option<(Job, Running)> {
        for (uri, open) in &mut self.documents {
            while let Some(id) = open.queue.pop_front() {
                let Some(section) = open
                    .document
                    .sections()
                    .iter()
                    .find(|section| section.id == id)
                else {
                    continue;
                };
                if !section.claims.is_waiting() {
                    continue;
                }
                let stop = Arc::new(AtomicBool::new(false));
                let mut terms = Terms {
                    settings: open.options.settings.clone(),
                    wanted: open.options.wanted.clone(),
                };
                terms.settings.nodes = terms.settings.nodes.saturating_mul(section.budget.into());
                let job = Job {
                    section: id,
                    kind: section.kind,
                    text: open.document.text().of(section.range()).to_vec(),
                    terms,
                    stop: Arc::clone(&stop),
                };
                let running = Running {
                    uri: Arc::clone(uri),
                    section: id,
                    stop,
                };
                return Some((job, running));
            }
        }
        None
    }

    /// Shows what is due to be shown.
    fn show_due(&mut self) {
        let now = Instant::now();
        for (uri, open) in &mut self.documents {
            let apart = match open.unshown {
                Unshown::Nothing => continue,
                Unshown::Notation if open.document.is_unread() => FIRST_SHOWN,
                Unshown::Notation => Duration::ZERO,
                Unshown::Verdicts => {
                    let busy = !open.queue.is_empty()
                        || self
                            .running
                            .iter()
                            .flatten()
                            .any(|running| running.uri == *uri);
                    if busy { SHOWN_APART } else { Duration::ZERO }
                }
            };
            if now.saturating_duration_since(open.shown) >= apart {
                open.unshown = Unshown::Nothing;
                open.shown = now;
                let snapshot = open.document.snapshot(&open.options);
                self.show.show(uri, Shown::Findings(snapshot));
            }
        }
    }
}

enum Next {
    Event(Event),
    /// Nothing came in, and there is reading or showing to do.
    Idle,
    Over,
}
