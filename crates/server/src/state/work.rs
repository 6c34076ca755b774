//! The state's dealings with the workers.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use gainsay_notation::SectionKind;

use super::{Running, State, Unshown};
use crate::{
    document::SectionId,
    pool::{Job, Terms, Told},
};

impl State {
    pub(super) fn settle_again(&mut self, uri: &Arc<str>, offset: usize) {
        let Some(open) = self.documents.get_mut(uri) else {
            return;
        };
        if let Some(again) = open.document.settle_again(offset, &mut self.ids) {
            open.queue.push_front(again.new);
            open.unshown = open.unshown.max(Unshown::Verdicts);
            self.stop(uri, &[again.gone]);
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
            running.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Stops the work on sections that are no more.
    pub(super) fn stop(&self, uri: &Arc<str>, gone: &[SectionId]) {
        for running in self.running.iter().flatten() {
            if running.uri == *uri && gone.contains(&running.section) {
                running.stop.store(true, Ordering::Relaxed);
            }
        }
    }

    pub(super) fn hear(&mut self, told: Told) {
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

    /// Gives work to idle workers.
    pub(super) fn hand_out(&mut self) {
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

    pub(super) fn next_job(&mut self) -> Option<(Job, Running)> {
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
                    text: match section.kind {
                        SectionKind::Prose => open.document.text().bytes().to_vec(),
                        _ => open.document.text().of(section.range()).to_vec(),
                    },
                    start: section.start,
                    format: open.document.format(),
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
}
