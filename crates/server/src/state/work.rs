//! The state's dealings with the workers.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use gainsay_notation::SectionKind;

use super::{At, Running, State, Unshown};
use crate::{
    document::{SectionId, Taken},
    pool::{Job, JobText, Settled, Task, Terms, Told, What},
};

impl State {
    pub(super) fn settle_again(&mut self, uri: &Arc<str>, offset: usize) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        if let Some(again) = open.document.settle_again(offset, &mut self.ids) {
            open.queue.push_front(again.new);
            open.unshown = open.unshown.max(Unshown::Verdicts);
            self.stop(&[again.gone]);
        }
    }

    pub(super) fn give_up(&mut self) {
        for open in self.documents.values_mut() {
            let mut gone = Vec::new();
            open.document.give_up(&mut gone);
            open.queue.clear();
            open.unshown = open.unshown.max(Unshown::Verdicts);
        }
        for running in self.running.iter().flatten() {
            if matches!(running.at, At::Section { .. }) {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    /// Stops the work on sections that are no more.
    pub(super) fn stop(&self, gone: &[SectionId]) {
        for running in self.running.iter().flatten() {
            if let At::Section { section, .. } = &running.at
                && gone.contains(section)
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
            What::Section(settled) => {
                let Some(At::Section { uri, .. }) = place.as_ref().map(|running| &running.at)
                else {
                    return;
                };
                let uri = Arc::clone(uri);
                if settled.done {
                    *place = None;
                }
                self.take_section(&uri, settled);
            }
            What::File(outcome) => {
                let Some(At::File(path)) = place.take().map(|running| running.at) else {
                    return;
                };
                self.closed.take(&path, outcome);
            }
        }
    }

    fn take_section(&mut self, uri: &Arc<str>, settled: Settled) {
        if settled.stopped {
            return;
        }
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        let (section, depends) = (settled.section, settled.depends);
        let document = &mut open.document;
        match document.settle(section, settled.settlement, settled.done, depends) {
            Taken::New => open.unshown = open.unshown.max(Unshown::Verdicts),
            Taken::Gone => {}
            Taken::Outdated => open.queue.push_back(section),
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
        let settling = |running: &&Running| matches!(running.at, At::Section { .. });
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
            (_, At::Section { uri, section }) => {
                if let Some(open) = self.documents.get_mut(uri) {
                    open.queue.push_front(*section);
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
                if section.points && open.document.is_unread() {
                    later.push(id);
                    continue;
                }
                let whole = section.points || section.kind == SectionKind::Prose;
                let (kind, range) = (section.kind, section.range());
                let (points, budget) = (section.points, section.budget);
                let text = if whole {
                    JobText::Whole(open.document.whole())
                } else {
                    JobText::Section(open.document.text().of(range.clone()).to_vec())
                };
                let stop = Arc::new(AtomicBool::new(false));
                let mut terms = Terms::of(&open.options);
                let times = u64::from(budget);
                terms.settings.nodes = terms.settings.nodes.saturating_mul(times);
                let of_a_game = &mut terms.settings.game_nodes;
                *of_a_game = of_a_game.map(|nodes| nodes.saturating_mul(times));
                let job = Job {
                    section: id,
                    kind,
                    text,
                    range: if whole { range } else { 0..range.len() },
                    format: open.document.format(),
                    sections: points.then(|| open.document.shared_sections()),
                    index: if points { open.document.index() } else { 0 },
                    terms,
                    stop: Arc::clone(&stop),
                };
                let at = At::Section {
                    uri: Arc::clone(uri),
                    section: id,
                };
                found = Some((Task::Section(job), Running { at, stop }));
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
