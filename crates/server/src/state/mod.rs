//! The one task that owns all state.
//!
//! It takes events from a queue, in the order they came in, and never waits for
//! anybody: reading happens in slices between events, settling in the pool, and
//! whoever wants to look at a document gets a snapshot of it.

mod events;
mod files;
mod parts;
mod show;
mod surveying;
mod view;
mod work;

use std::{
    collections::{BTreeMap, VecDeque},
    sync::{
        Arc,
        atomic::Ordering,
        mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel},
    },
    thread,
    time::{Duration, Instant},
};

use gainsay::NotationReader;
use gainsay_notation::Columns;

use crate::{
    aids::Aids,
    document::{Change, Document},
    pool::Pool,
};

pub(crate) use events::Event;
use files::Files;
pub(crate) use files::{Known, Survey};
use parts::{At, Open, State, Unshown};
pub(crate) use show::{Resolve, Show, Shown};
pub(crate) use view::View;

/// How long reading may hold up the next event.
const SLICE: Duration = Duration::from_millis(3);

/// How long a burst of events may hold up what is to be shown.
const BURST: Duration = Duration::from_millis(5);

/// While a document is opened and read, what is known is shown after this long.
const FIRST_SHOWN: Duration = Duration::from_millis(150);

/// An edit touches no more pieces than this.
const FEW: usize = 4;

/// Starts the task; events go into the queue that it gives back.
pub(crate) fn start(workers: usize, aids: &Arc<dyn Aids>, show: impl Show) -> Sender<Event> {
    let (sender, receiver) = channel();
    let told = sender.clone();
    let pool = Pool::start(workers, aids, move |message| {
        // The state outlives its workers but for the end of the session.
        let _ = told.send(Event::Told(message));
    });
    let started = thread::Builder::new()
        .name("gainsay-state".to_owned())
        .spawn(move || State::new(pool, Box::new(show)).run(&receiver));
    drop(started);
    sender
}

impl State {
    fn new(pool: Pool, show: Box<dyn Show>) -> Self {
        Self {
            documents: BTreeMap::new(),
            resolve: Arc::new(|_| Arc::default()),
            columns: Columns::Utf16,
            running: (0..pool.len()).map(|_| None).collect(),
            pool,
            reader: NotationReader::default(),
            closed: Files::default(),
            show,
            told_settling: 0,
            told_surveying: 0,
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
            .map(|open| open.shown + open.apart())
            .chain(self.files_due())
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
                let document = Document::new(version, format, text);
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
            Event::Walk => self.walk(),
            Event::Walked(files) => self.walked(files),
            Event::LeaveFiles => self.leave_files(),
            Event::TakeUpFiles => self.take_up_files(),
            Event::Told(told) => self.hear(told),
            Event::Ask(answer) => answer(&View { state: self }),
            Event::End => {}
        }
    }

    fn open(&mut self, uri: Arc<str>, document: Document) {
        self.close(&uri);
        self.file_opened(&uri);
        let options = (self.resolve)(&uri);
        self.documents.insert(
            uri,
            Open {
                document,
                options,
                queue: VecDeque::new(),
                unshown: Unshown::Notation,
                shown: Instant::now(),
                cost: Duration::ZERO,
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
            open.document.change(change, self.columns, &mut gone);
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
        self.stop(uri, &open.document.ids());
        self.file_closed(uri);
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
            self.file_closed(&from);
            self.file_opened(&to);
            self.show.show(&from, Shown::Closed);
            for running in self.running.iter_mut().flatten() {
                if let At::Piece { uri, .. } = &mut running.at
                    && *uri == from
                {
                    *uri = Arc::clone(&to);
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
        // There may be less memory now.
        for (worker, running) in self.running.iter().enumerate() {
            if running.is_none() {
                self.pool.rest(worker);
            }
        }
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
            open.document.forget(&mut gone);
            open.queue.clear();
            self.stop(&uri, &gone);
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
            while let Some((id, waits)) = open
                .document
                .read_next(&open.options.settings, &mut self.reader)
            {
                open.unshown = Unshown::Notation;
                read += 1;
                if waits {
                    waiting.push(id);
                }
                if Instant::now() >= end {
                    break;
                }
            }
            // Others that point at what was edited come last.
            if !open.document.is_unread() {
                open.queue.extend(open.document.outdated());
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
                        || self.running.iter().flatten().any(
                            |running| matches!(&running.at, At::Piece { uri: at, .. } if at == uri),
                        );
                    if busy { open.apart() } else { Duration::ZERO }
                }
            };
            if now.saturating_duration_since(open.shown) >= apart {
                open.unshown = Unshown::Nothing;
                open.shown = now;
                let snapshot = open.document.snapshot(&open.options);
                self.show.show(uri, Shown::Findings(snapshot));
                open.cost = now.elapsed();
            }
        }
        self.show_files();
    }
}

enum Next {
    Event(Event),
    /// Nothing came in, and there is reading or showing to do.
    Idle,
    Over,
}
