//! Working on many things at once, with the results in order.

use std::{
    collections::BTreeMap,
    sync::{Condvar, Mutex, MutexGuard, PoisonError, mpsc},
};

/// Does `work` on every item, on a thread a worker, and hands each result to `each` as
/// soon as all earlier ones have been handed over.
///
/// Items that are in work, or whose results wait, weigh `most` together at most, unless it is
/// a single one: a slow item must not let the results of all others pile up.
///
/// # Errors
///
/// The first error of `each`, which ends the work.
pub(crate) fn in_order<'i, T: Sync, W: Send, R: Send, E>(
    items: &'i [T],
    workers: &mut [W],
    (weight, most): (impl Fn(&T) -> usize + Sync, usize),
    work: impl Fn(&'i T, &mut W) -> R + Sync,
    mut each: impl FnMut(R) -> Result<(), E>,
) -> Result<(), E> {
    let gate = Gate::default();
    std::thread::scope(|scope| {
        let (sender, receiver) = mpsc::channel();
        for worker in workers {
            let sender = sender.clone();
            let (gate, work, weight) = (&gate, &work, &weight);
            scope.spawn(move || {
                while let Some((at, item)) = gate.take(items, weight, most) {
                    // The receiver has gone when the work is to end early.
                    if sender.send((at, work(item, worker))).is_err() {
                        break;
                    }
                }
            });
        }
        drop(sender);
        let mut early = BTreeMap::new();
        let mut due = 0;
        for (at, result) in receiver {
            early.insert(at, result);
            while let Some(result) = early.remove(&due) {
                let done = each(result);
                gate.leave(items.get(due).map_or(0, &weight), done.is_err());
                due += 1;
                done?;
            }
        }
        Ok(())
    })
}

/// Where the threads get their items from.
#[derive(Debug, Default)]
struct Gate {
    inside: Mutex<Inside>,
    left: Condvar,
}

#[derive(Debug, Default)]
struct Inside {
    next: usize,
    weight: usize,
    closed: bool,
}

impl Gate {
    fn inside(&self) -> MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The next item with its number, once there is room for it.
    fn take<'i, T>(
        &self,
        items: &'i [T],
        weight: impl Fn(&T) -> usize,
        most: usize,
    ) -> Option<(usize, &'i T)> {
        let mut inside = self.inside();
        loop {
            let at = inside.next;
            let item = items.get(at).filter(|_| !inside.closed)?;
            let weight = weight(item);
            if inside.weight == 0 || inside.weight.saturating_add(weight) <= most {
                inside.next += 1;
                // What weighs nothing holds its place too.
                inside.weight += weight.max(1);
                return Some((at, item));
            }
            inside = self
                .left
                .wait(inside)
                .unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// An item of this weight is done with; `last` lets no other in.
    fn leave(&self, weight: usize, last: bool) {
        let mut inside = self.inside();
        inside.weight = inside.weight.saturating_sub(weight.max(1));
        inside.closed |= last;
        self.left.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_and_an_error_ends_the_work() {
        let items: Vec<u64> = (0..500).collect();
        let mut workers = vec![(), ()];
        let mut seen = Vec::new();
        let done: Result<(), ()> = in_order(
            &items,
            &mut workers,
            (|_: &u64| 1, 3),
            |&item, ()| item * 2,
            |result| {
                seen.push(result);
                Ok(())
            },
        );
        assert_eq!(done, Ok(()));
        assert_eq!(seen, (0..500).map(|item| item * 2).collect::<Vec<_>>());

        let mut count = 0;
        let done = in_order(
            &items,
            &mut workers,
            (|_: &u64| 1, 3),
            |&item, ()| item,
            |_| {
                count += 1;
                if count == 3 { Err("enough") } else { Ok(()) }
            },
        );
        assert_eq!(done, Err("enough"));
        assert_eq!(count, 3);
    }
}
