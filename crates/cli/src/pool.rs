//! Working on many things at once, with the results in order.

use std::{
    collections::BTreeMap,
    sync::{
        atomic::{AtomicUsize, Ordering},
        mpsc,
    },
};

/// Does `work` on every item, on a thread a worker, and hands each result to `each` as
/// soon as all earlier ones have been handed over.
///
/// # Errors
///
/// The first error of `each`, which ends the work.
pub(crate) fn in_order<'i, T: Sync, W: Send, R: Send, E>(
    items: &'i [T],
    workers: &mut [W],
    work: impl Fn(&'i T, &mut W) -> R + Sync,
    mut each: impl FnMut(R) -> Result<(), E>,
) -> Result<(), E> {
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        let (sender, receiver) = mpsc::channel();
        for worker in workers {
            let sender = sender.clone();
            let (next, work) = (&next, &work);
            scope.spawn(move || {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(item) = items.get(at) else {
                        break;
                    };
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
                due += 1;
                if let Err(error) = each(result) {
                    next.store(items.len(), Ordering::Relaxed);
                    return Err(error);
                }
            }
        }
        Ok(())
    })
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
