//! The tables at hand, and what they tell.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock, TryLockError};
use std::time::Duration;

use shakmaty::{Chess, Move, Position};

use super::distance::{TableError, plies};
use super::layout::Layout;
use super::signature::Signature;
use super::table::Table;

/// How an ending ends when both sides play best, seen by the side to move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Wdl {
    /// The side to move forces mate.
    Win,
    /// Neither side can.
    Draw,
    /// The other side forces mate.
    Loss,
}

impl Wdl {
    /// The same ending as the other side sees it.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Win => Self::Loss,
            Self::Draw => Self::Draw,
            Self::Loss => Self::Win,
        }
    }
}

/// What a table says of a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ending {
    /// Who wins, the fifty-move rule left aside.
    pub outcome: Wdl,
    /// Plies to mate with best play of both; `None` when drawn, 0 when mated.
    pub dtm_plies: Option<u8>,
}

impl Ending {
    const DRAW: Self = Self {
        outcome: Wdl::Draw,
        dtm_plies: None,
    };

    const fn from_value(value: u8) -> Self {
        match plies(value) {
            None => Self::DRAW,
            Some(ply) => Self {
                outcome: if ply.is_multiple_of(2) {
                    Wdl::Loss
                } else {
                    Wdl::Win
                },
                dtm_plies: Some(ply),
            },
        }
    }

    /// The moves of the mating side until mate, the last one included.
    #[must_use]
    pub fn moves(self) -> Option<u32> {
        self.dtm_plies.map(|ply| u32::from(ply.div_ceil(2)))
    }

    /// Whether the win comes before fifty moves of each side have passed without capture
    /// or pawn move (FIDE Laws 9.3), `halfmoves` of them being made already: `Some(true)`
    /// when mate follows in time even if nothing is captured or pushed, `None` when the
    /// distance to mate alone does not tell, `Some(false)` for a draw.
    #[must_use]
    pub fn beats_fifty(self, halfmoves: u32) -> Option<bool> {
        match self.dtm_plies {
            None => Some(false),
            Some(ply) if u32::from(ply) + halfmoves <= 100 => Some(true),
            Some(_) => None,
        }
    }
}

/// Where tables are kept beyond the end of the program, for example a folder.
pub trait Store: std::fmt::Debug + Send + Sync {
    /// The table of that signature, if it is there and sound. `None` too soon after
    /// `stop` was raised, where getting it takes long.
    fn load(&self, signature: Signature, stop: &AtomicBool) -> Option<Arc<Table>>;

    /// Keeps a table that was built. Whether it succeeds must not matter.
    fn keep(&self, table: &Table);

    /// The table of that signature is about to be built, which may take a second; somebody may
    /// want to be told. It is followed by [`Store::keep`], unless the work is stopped.
    fn building(&self, _: Signature) {}
}

/// Tables by signature, at most so many bytes of them.
///
/// May be shared between threads: one builds while others probe. Whether a table is
/// there never changes what is true of a position, only whether it is known.
#[derive(Debug)]
pub struct Tables {
    memory: usize,
    held: RwLock<Held>,
    /// Held while building, so that two threads never build the same table at once.
    building: Mutex<()>,
    store: Option<Box<dyn Store>>,
}

#[derive(Debug, Default)]
struct Held {
    tables: BTreeMap<Signature, (u64, Arc<Table>)>,
    clock: u64,
}

impl Held {
    /// The bytes of the tables that are not among `others`.
    fn memory(&self, others: &BTreeMap<Signature, Arc<Table>>) -> usize {
        let own = self.tables.iter();
        own.filter(|(signature, _)| !others.contains_key(signature))
            .map(|(_, (_, table))| table.memory())
            .sum()
    }

    fn drop_oldest(&mut self) {
        let oldest = self.tables.iter().min_by_key(|(_, (since, _))| *since);
        if let Some((&signature, _)) = oldest {
            self.tables.remove(&signature);
        }
    }
}

/// The order in which tables are built for one another, and those at hand.
struct Work<T> {
    /// What is left to do, the last first: a signature, and whether what it needs has
    /// been put above it.
    open: Vec<(Signature, bool)>,
    /// Tables that something further down needs. They are kept here, so that the memory
    /// bound may not drop one before it is used.
    ready: BTreeMap<Signature, T>,
}

impl<T> Work<T> {
    fn new(signature: Signature) -> Self {
        Self {
            open: vec![(signature, false)],
            ready: BTreeMap::new(),
        }
    }

    /// The next signature to build, everything that it needs being at hand. What `fetch`
    /// gives need not be built.
    fn next(&mut self, mut fetch: impl FnMut(Signature) -> Option<T>) -> Option<Signature> {
        while let Some((next, expanded)) = self.open.pop() {
            if next.is_bare() || self.ready.contains_key(&next) {
                continue;
            }
            if expanded {
                return Some(next);
            }
            if let Some(table) = fetch(next) {
                self.ready.insert(next, table);
                continue;
            }
            self.open.push((next, true));
            let exits = next.exits().into_iter().map(|exit| (exit, false));
            self.open.extend(exits);
        }
        None
    }

    /// Takes the table that was asked for, and lets go of those that only it needed.
    fn done(&mut self, built: Signature, table: T) {
        self.ready.insert(built, table);
        let begun = self.open.iter().filter(|(_, expanded)| *expanded);
        let needed: BTreeSet<Signature> = begun.flat_map(|(next, _)| next.exits()).collect();
        self.ready
            .retain(|ready, _| *ready == built || needed.contains(ready));
    }

    /// The bytes of the tables at hand and of the work on the next.
    fn memory(&self, next: Signature) -> usize {
        let bytes = |signature| Layout::new(signature).len();
        let ready: usize = self.ready.keys().map(|&ready| bytes(ready)).sum();
        // A byte a position for what is known and one for what is left to look at.
        ready + 2 * bytes(next)
    }
}

impl Tables {
    /// The most men that a table tells of.
    pub const MEN: usize = 4;

    /// The most bytes that the tables take which are needed to build one, itself and what
    /// the work on it needs included.
    pub const BUILDING: usize = 113 << 20;

    /// No tables yet; as many are kept as fit `memory` bytes, the longest held leaving
    /// first, but always the newest. A table takes up to 17 MB, and while one is built,
    /// those that it needs may take [`Tables::BUILDING`] bytes with it, whatever
    /// `memory` says.
    #[must_use]
    pub fn new(memory: usize) -> Self {
        Self {
            memory,
            held: RwLock::new(Held::default()),
            building: Mutex::new(()),
            store: None,
        }
    }

    /// The same, which takes tables from `store` before it builds them, and gives those
    /// that it built to it.
    #[must_use]
    pub fn kept_by(mut self, store: Box<dyn Store>) -> Self {
        self.store = Some(store);
        self
    }

    /// Whether the ending of `position` is one that a table can tell: at most four men,
    /// no castling rights. `None` otherwise, and for bare kings or a lone minor piece,
    /// which need no table.
    #[must_use]
    pub fn needs(position: &Chess) -> Option<Signature> {
        let (signature, _) = Signature::of(position.board())?;
        (!signature.is_bare() && !position.castles().any()).then_some(signature)
    }

    /// The table of that signature, if it is there.
    #[must_use]
    pub fn get(&self, signature: Signature) -> Option<Arc<Table>> {
        let held = self.held.read().unwrap_or_else(PoisonError::into_inner);
        held.tables
            .get(&signature)
            .map(|(_, table)| Arc::clone(table))
    }

    /// Adds a table, for example one read from a file.
    pub fn insert(&self, table: Arc<Table>) {
        let mut held = self.held.write().unwrap_or_else(PoisonError::into_inner);
        held.clock += 1;
        let now = held.clock;
        held.tables.insert(table.signature(), (now, table));
        while held.tables.len() > 1 && held.memory(&BTreeMap::new()) > self.memory {
            held.drop_oldest();
        }
    }

    /// Drops tables until those that are not among `others` take at most `memory` bytes.
    fn shrink(&self, memory: usize, others: &BTreeMap<Signature, Arc<Table>>) {
        let mut held = self.held.write().unwrap_or_else(PoisonError::into_inner);
        while held.memory(others) > memory {
            held.drop_oldest();
        }
    }

    /// Gives the table of that signature, building it, and those it needs, if need be.
    /// To be called from a thread that may work for seconds.
    ///
    /// # Errors
    ///
    /// [`TableError::Stopped`] soon after `stop` was raised.
    pub fn build(&self, signature: Signature, stop: &AtomicBool) -> Result<Arc<Table>, TableError> {
        if let Some(table) = self.get(signature) {
            return Ok(table);
        }
        let _building = self.turn(stop)?;
        if let Some(table) = self.fetch(signature, stop) {
            return Ok(table);
        }
        let mut work = Work::new(signature);
        while let Some(step) = work.next(|needed| self.fetch(needed, stop)) {
            let taken = work.memory(step);
            self.shrink(self.memory.saturating_sub(taken), &work.ready);
            let lookup = |wanted: Signature| work.ready.get(&wanted).cloned();
            if let Some(store) = &self.store {
                store.building(step);
            }
            let table = Arc::new(Table::build(step, &lookup, stop)?);
            if let Some(store) = &self.store {
                store.keep(&table);
            }
            work.done(step, Arc::clone(&table));
            self.insert(table);
        }
        work.ready
            .remove(&signature)
            .ok_or_else(|| TableError::Missing(signature.to_string()))
    }

    /// Waits until nobody else builds.
    fn turn(&self, stop: &AtomicBool) -> Result<MutexGuard<'_, ()>, TableError> {
        loop {
            match self.building.try_lock() {
                Ok(turn) => return Ok(turn),
                Err(TryLockError::Poisoned(turn)) => return Ok(turn.into_inner()),
                Err(TryLockError::WouldBlock) if stop.load(Ordering::Relaxed) => {
                    return Err(TableError::Stopped);
                }
                Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_micros(200)),
            }
        }
    }

    /// The table of that signature from memory or from the store.
    fn fetch(&self, signature: Signature, stop: &AtomicBool) -> Option<Arc<Table>> {
        self.get(signature).or_else(|| {
            let table = self.store.as_ref()?.load(signature, stop)?;
            if table.signature() != signature {
                return None;
            }
            self.insert(Arc::clone(&table));
            Some(table)
        })
    }

    /// What is known of the position; `None` when it has more than four men or castling
    /// rights, or its table is not there.
    #[must_use]
    pub fn probe(&self, position: &Chess) -> Option<Ending> {
        probe_by(position, |signature| self.get(signature))
    }

    /// As [`Tables::probe`], the table made ready first if need be, so that the answer
    /// does not depend on what was asked before. `None` also soon after `stop` was raised.
    #[must_use]
    pub fn settle(&self, position: &Chess, stop: &AtomicBool) -> Option<Ending> {
        probe_by(position, |signature| self.build(signature, stop).ok())
    }

    /// Every legal move with what the position after it is for the side that moved, in
    /// the order of move generation; `None` when one of them is not known.
    #[must_use]
    pub fn moves(&self, position: &Chess) -> Option<Vec<(Move, Ending)>> {
        moves_by(position, &|position| self.probe(position))
    }

    /// A line to mate in which the winning side mates soonest and the other holds out
    /// longest, the first such move in the order of generation each time. Empty when the
    /// position is drawn; `None` when it is not known.
    #[must_use]
    pub fn line(&self, position: &Chess) -> Option<Vec<Move>> {
        let left = self.probe(position)?.dtm_plies.unwrap_or(0);
        best_line(position, u32::from(left), &|position| self.probe(position))
    }

    /// The first `plies` plies of best play from a position, as in [`Tables::line`], but
    /// of a drawn one too (the first move that keeps the draw each time), the tables made
    /// ready first if need be. Shorter where the game ends; `None` where something is not
    /// known, and soon after `stop` was raised.
    #[must_use]
    pub fn best_play(&self, position: &Chess, plies: u32, stop: &AtomicBool) -> Option<Vec<Move>> {
        best_line(position, plies, &|position| self.settle(position, stop))
    }
}

fn probe_by(position: &Chess, table: impl Fn(Signature) -> Option<Arc<Table>>) -> Option<Ending> {
    let (signature, _) = Signature::of(position.board())?;
    if signature.is_bare() {
        return Some(Ending::DRAW);
    }
    if position.castles().any() {
        return None;
    }
    let value = table(signature)?.look_up(position)?;
    Some(Ending::from_value(value))
}

fn moves_by(
    position: &Chess,
    probe: &dyn Fn(&Chess) -> Option<Ending>,
) -> Option<Vec<(Move, Ending)>> {
    position
        .legal_moves()
        .into_iter()
        .map(|m| {
            let mut next = position.clone();
            next.play_unchecked(m);
            let after = probe(&next)?;
            let outcome = after.outcome.reversed();
            let dtm_plies = after.dtm_plies.map(|ply| ply.saturating_add(1));
            Some((m, Ending { outcome, dtm_plies }))
        })
        .collect()
}

fn best_line(
    position: &Chess,
    plies: u32,
    probe: &dyn Fn(&Chess) -> Option<Ending>,
) -> Option<Vec<Move>> {
    let mut line = Vec::new();
    let mut position = position.clone();
    let mut here = probe(&position)?;
    for _ in 0..plies {
        let moves = moves_by(&position, probe)?;
        if moves.is_empty() {
            break;
        }
        let (m, ending) = moves.into_iter().find(|(_, ending)| *ending == here)?;
        position.play_unchecked(m);
        line.push(m);
        here = Ending {
            outcome: ending.outcome.reversed(),
            dtm_plies: ending.dtm_plies.map(|ply| ply.saturating_sub(1)),
        };
    }
    Some(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every table is built after those that it needs, and they take no more memory
    /// together than is promised.
    #[test]
    fn work_is_ordered_and_takes_little_memory() {
        let mut most = 0;
        for signature in Signature::all() {
            let mut work = Work::<()>::new(signature);
            while let Some(step) = work.next(|_| None) {
                most = most.max(work.memory(step));
                for exit in step.exits() {
                    assert!(
                        exit.is_bare() || work.ready.contains_key(&exit),
                        "{step} needs {exit}"
                    );
                }
                work.done(step, ());
            }
            assert!(work.ready.contains_key(&signature), "{signature}");
        }
        assert!(
            most <= Tables::BUILDING && most > Tables::BUILDING / 2,
            "{most}"
        );
    }
}
