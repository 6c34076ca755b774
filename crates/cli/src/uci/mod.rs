//! `gainsay uci`: the move search and the mate prover behind the UCI protocol, so that
//! boards can use them, and so that the part that drives engines has one to drive.
//!
//! Budgets are nodes here as everywhere: the same commands get the same answers on every
//! machine. Where the other side speaks of time, a millisecond counts as [`RATE`] nodes,
//! whatever the clock says; a move on a clock takes a thirtieth of what is left, or an
//! even share until the next time control, and most of the increment. `stop` ends any
//! search at once.
//!
//! `go mate N` asks the mate prover. It answers with the whole line, or says that there
//! is no such mate (`info string`), and the search then names a move all the same.

mod command;
mod worker;

use std::{
    io::{self, BufRead, Write},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    thread::JoinHandle,
};

use shakmaty::{CastlingMode, Chess, Color, Position, uci::UciMove};

use self::{
    command::{Command, Go, Where},
    worker::{Provers, Task},
};
use crate::CLEAN;

/// So many nodes are searched for a millisecond.
const RATE: u64 = 300;

/// The budget of `go mate` when no nodes are named.
const MATE_NODES: u64 = 10_000_000;

/// The most lines that can be asked for.
const MOST_LINES: usize = 64;

/// The memory for tables in megabytes: the least, the default, the most.
const HASH: [usize; 3] = [1, 64, 4096];

/// Talks until `quit` or the end of the input.
pub(crate) fn run() -> u8 {
    let mut talk = Talk::default();
    for line in io::stdin().lock().split(b'\n') {
        let Ok(line) = line else { break };
        match Command::read(&String::from_utf8_lossy(&line)) {
            Command::Quit => break,
            // An output that is closed is no error; nobody listens any more.
            command => {
                if talk.answer(command).is_err() {
                    break;
                }
            }
        }
    }
    talk.end_search();
    CLEAN
}

/// Writes lines that no other thread may come between.
fn say(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.write_all(b"\n")?;
    out.flush()
}

/// A search under way.
struct Running {
    thread: JoinHandle<Provers>,
    stop: Arc<AtomicBool>,
}

/// The state of the conversation.
struct Talk {
    position: Chess,
    past: Vec<Chess>,
    /// Why the last position could not be taken.
    trouble: Option<String>,
    mode: CastlingMode,
    lines: usize,
    megabytes: usize,
    /// `None` while a search has them, and until they are first needed.
    provers: Option<Provers>,
    running: Option<Running>,
}

impl Default for Talk {
    fn default() -> Self {
        Self {
            position: Chess::default(),
            past: Vec::new(),
            trouble: None,
            mode: CastlingMode::Standard,
            lines: 1,
            megabytes: HASH[1],
            provers: None,
            running: None,
        }
    }
}

impl Talk {
    fn answer(&mut self, command: Command) -> io::Result<()> {
        match command {
            Command::Uci => introduce(),
            Command::IsReady => say("readyok"),
            Command::Option { name, value } => self.set(&name, &value),
            Command::Position(place) => self.take(&place),
            Command::Go(go) => self.go(go),
            Command::Stop => {
                self.end_search();
                Ok(())
            }
            // Nothing is remembered between searches.
            Command::NewGame | Command::Nothing | Command::Quit => Ok(()),
        }
    }

    /// Ends the search under way, if any, once it has named its move.
    fn end_search(&mut self) {
        if let Some(running) = self.running.take() {
            running.stop.store(true, Ordering::Relaxed);
            running.thread.thread().unpark();
            self.provers = running.thread.join().ok();
        }
    }

    fn set(&mut self, name: &str, value: &str) -> io::Result<()> {
        self.end_search();
        let number = value.parse::<usize>().ok();
        match (name.to_ascii_lowercase().as_str(), number) {
            ("hash", Some(megabytes)) => {
                self.megabytes = megabytes.clamp(HASH[0], HASH[2]);
                self.provers = None;
                Ok(())
            }
            ("multipv", Some(lines)) => {
                self.lines = lines.clamp(1, MOST_LINES);
                Ok(())
            }
            ("uci_chess960", _) => {
                self.mode = CastlingMode::from_chess960(value.eq_ignore_ascii_case("true"));
                Ok(())
            }
            _ => say(&format!(
                "info string the option \"{name}\" cannot be set to \"{value}\""
            )),
        }
    }

    fn take(&mut self, place: &Where) -> io::Result<()> {
        self.end_search();
        match place.resolve(self.mode) {
            Ok((position, past)) => {
                self.position = position;
                self.past = past;
                self.trouble = None;
                Ok(())
            }
            Err(error) => {
                let told = format!("info string {error}");
                self.trouble = Some(told.clone());
                say(&told)
            }
        }
    }

    fn go(&mut self, go: Go) -> io::Result<()> {
        self.end_search();
        if let Some(trouble) = &self.trouble {
            say(trouble)?;
            return say("bestmove 0000");
        }
        let mut only = Vec::new();
        for word in &go.only {
            match word
                .parse::<UciMove>()
                .ok()
                .and_then(|m| m.to_move(&self.position).ok())
            {
                Some(m) => only.push(m),
                None => say(&format!("info string the move \"{word}\" is not legal"))?,
            }
        }
        let task = Task {
            nodes: budget(&go, self.position.turn()),
            position: self.position.clone(),
            past: self.past.clone(),
            mode: self.mode,
            lines: self.lines,
            depth: go.depth.unwrap_or(u32::MAX).max(1),
            mate: go.mate,
            only,
            waits: go.infinite,
        };
        let mut provers = self
            .provers
            .take()
            .unwrap_or_else(|| Provers::new(self.megabytes << 20));
        let stop = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stop);
        let thread = std::thread::Builder::new()
            .name("gainsay-search".to_owned())
            .spawn(move || {
                // When nobody listens, the main thread learns it by its own writing.
                let _ = provers.work(&task, &flag);
                provers
            })?;
        self.running = Some(Running { thread, stop });
        Ok(())
    }
}

fn introduce() -> io::Result<()> {
    let [least, usual, most] = HASH;
    say(&format!(
        "id name gainsay {}\n\
         id author the gainsay developers\n\
         option name Hash type spin default {usual} min {least} max {most}\n\
         option name MultiPV type spin default 1 min 1 max {MOST_LINES}\n\
         option name UCI_Chess960 type check default false\n\
         uciok",
        env!("CARGO_PKG_VERSION")
    ))
}

/// The budget in nodes: the least of all bounds.
fn budget(go: &Go, turn: Color) -> u64 {
    let own = turn.fold_wb(0, 1);
    let on_clock = go.clock.get(own).copied().flatten().map(|left| {
        let share = left / go.moves_to_go.unwrap_or(30).clamp(1, 30);
        let gain = go.gain.get(own).copied().unwrap_or(0) * 3 / 4;
        share.saturating_add(gain).min(left / 2)
    });
    let times = [go.movetime, on_clock]
        .into_iter()
        .flatten()
        .map(|time| time.saturating_mul(RATE).max(1));
    let bound = times.chain(go.nodes).min();
    match (bound, go.mate) {
        (Some(nodes), _) => nodes,
        (None, Some(_)) if !go.infinite => MATE_NODES,
        (None, _) => u64::MAX,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_become_nodes() {
        let nodes = |line: &str| match Command::read(line) {
            Command::Go(go) => [budget(&go, Color::White), budget(&go, Color::Black)],
            other => panic!("{other:?}"),
        };
        assert_eq!(nodes("go nodes 77"), [77, 77]);
        assert_eq!(nodes("go movetime 10"), [10 * RATE; 2]);
        assert_eq!(nodes("go movetime 10 nodes 5"), [5, 5]);
        assert_eq!(
            nodes("go wtime 60000 btime 30000 winc 1000 binc 0"),
            [2750 * RATE, 1000 * RATE]
        );
        assert_eq!(
            nodes("go wtime 1000 btime 9000 movestogo 1"),
            [500 * RATE, 4500 * RATE]
        );
        assert_eq!(nodes("go wtime -1 btime 0"), [1, 1]);
        assert_eq!(nodes("go mate 3"), [MATE_NODES; 2]);
        assert_eq!(nodes("go infinite"), [u64::MAX; 2]);
        assert_eq!(nodes("go depth 3"), [u64::MAX; 2]);
    }
}
