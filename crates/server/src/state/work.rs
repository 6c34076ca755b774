//! The state's dealings with the workers.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use gainsay::PieceId;

use super::parts::{At, Running, State, Unshown};
use crate::{
    document::Taken,
    options::Terms,
    pool::{Job, Settled, Task, Told, What},
};

impl State {
    pub(super) fn settle_again(&mut self, uri: &Arc<str>, offset: usize) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        if let Some(piece) = open.document.settle_again(offset) {
            open.queue.push_front(piece);
            open.unshown = open.unshown.max(Unshown::Verdicts);
            self.stop(uri, &[piece]);
        }
    }

    pub(super) fn give_up(&mut self) {
        for open in self.documents.values_mut() {
            open.document.give_up();
            open.queue.clear();
            open.unshown = open.unshown.max(Unshown::Verdicts);
        }
        for running in self.running.iter().flatten() {
            if matches!(running.at, At::Piece { .. }) {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    /// Stops the work on pieces of a document that are no more, or are others now.
    pub(super) fn stop(&self, of: &Arc<str>, gone: &[PieceId]) {
        for running in self.running.iter().flatten() {
            if let At::Piece { uri, piece } = &running.at
                && uri == of
                && gone.contains(piece)
            {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    pub(super) fn hear(&mut self, told: Told) {
        let Some(place) = self.running.get_mut(told.worker) else {
            return;
        };
        match told.what {
            What::Piece(settled) => {
                let Some(Running {
                    at: At::Piece { uri, .. },
                    stop,
                }) = place
                else {
                    return;
                };
                let uri = Arc::clone(uri);
                // The worker may have told before it was stopped.
                let wanted = !settled.stopped && !stop.load(Ordering::Relaxed);
                if settled.done {
                    *place = None;
                }
                if wanted {
                    self.take_piece(&uri, settled);
                }
            }
            What::File(outcome) => {
                let Some(At::File(path)) = place.take().map(|running| running.at) else {
                    return;
                };
                self.closed.take(&path, outcome);
            }
        }
    }

    fn take_piece(&mut self, uri: &Arc<str>, settled: Settled) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        let (piece, looks) = (settled.piece, settled.looks);
        let document = &mut open.document;
        match document.settle(piece, settled.settlement, settled.done, looks) {
            Taken::New => open.unshown = open.unshown.max(Unshown::Verdicts),
            Taken::Gone => {}
            Taken::Outdated => open.queue.push_back(piece),
        }
    }

    /// Gives work to idle workers: open documents first, then files.
    pub(super) fn hand_out(&mut self) {
        for worker in 0..self.running.len() {
            if self.running.get(worker).is_some_and(Option::is_some) {
                continue;
            }
            let next = self.next_job().or_else(|| self.next_file());
            let Some((task, running)) = next else {
                break;
            };
            let all = &self.running;
            let idle = |other: usize| all.get(other).is_some_and(Option::is_none);
            if let Err(task) = self.pool.give(worker, task, idle) {
                self.put_back(*task, &running);
                break;
            }
            if let Some(place) = self.running.get_mut(worker) {
                *place = Some(running);
            }
        }
        let waiting: usize = self.documents.values().map(|open| open.queue.len()).sum();
        if waiting > 0 {
            self.make_room();
        }
        let settling = |running: &&Running| matches!(running.at, At::Piece { .. });
        let waiting = waiting + self.running.iter().flatten().filter(settling).count();
        if waiting != self.told_settling {
            self.told_settling = waiting;
            self.show.settling(waiting);
        }
    }

    /// Keeps a task for later.
    fn put_back(&mut self, task: Task, running: &Running) {
        match (task, &running.at) {
            (Task::File(job), _) => self.closed.put_back(job),
            (_, At::Piece { uri, piece }) => {
                if let Some(open) = self.documents.get_mut(uri) {
                    open.queue.push_front(*piece);
                }
            }
            (_, At::File(_)) => {}
        }
    }

    /// Takes a worker off a file, since an open document needs it.
    fn make_room(&self) {
        let mut at_files = self
            .running
            .iter()
            .flatten()
            .filter(|running| matches!(running.at, At::File(_)));
        if let Some(running) = at_files.next() {
            running.stop.store(true, Ordering::Relaxed);
        }
    }

    /// A file to check, if no document is being read.
    fn next_file(&mut self) -> Option<(Task, Running)> {
        let stop = Arc::new(AtomicBool::new(false));
        let job = self.closed.next(self.columns, &stop)?;
        let at = At::File(Arc::clone(&job.path));
        Some((Task::File(job), Running { at, stop }))
    }

    fn next_job(&mut self) -> Option<(Task, Running)> {
        for (uri, open) in &mut self.documents {
            // What points at other games waits until these are read.
            let mut later = Vec::new();
            let mut found = None;
            while let Some(id) = open.queue.pop_front() {
                let Some(piece) = open.document.waiting(id) else {
                    continue;
                };
                if piece.points && open.document.is_unread() {
                    later.push(id);
                    continue;
                }
                let at_work = |running: &Running| {
                    matches!(&running.at, At::Piece { uri: of, piece } if of == uri && *piece == id)
                        && !running.stop.load(Ordering::Relaxed)
                };
                if self.running.iter().flatten().any(at_work) {
                    continue;
                }
                let edition = open.document.text().edition;
                // A document whose text nobody holds is edited without a copy.
                let alone = match piece.looks {
                    true => None,
                    false => edition.alone(piece.at),
                };
                let (edition, at) = match alone {
                    Some(alone) => (Arc::new(alone), 0),
                    None => (edition, piece.at),
                };
                let stop = Arc::new(AtomicBool::new(false));
                let mut terms = Terms::of(&open.options);
                let times = u64::from(piece.budget);
                terms.settings.nodes = terms.settings.nodes.saturating_mul(times);
                let of_a_game = &mut terms.settings.game_nodes;
                *of_a_game = of_a_game.map(|nodes| nodes.saturating_mul(times));
                let job = Job {
                    piece: id,
                    edition,
                    at,
                    index: piece.points.then(|| open.document.index()),
                    terms,
                    stop: Arc::clone(&stop),
                };
                let at = At::Piece {
                    uri: Arc::clone(uri),
                    piece: id,
                };
                found = Some((Task::Piece(job), Running { at, stop }));
                break;
            }
            for id in later.into_iter().rev() {
                open.queue.push_front(id);
            }
            if found.is_some() {
                return found;
            }
        }
        None
    }
}
