//! `gainsay uci`: the move search and the mate prover behind the UCI protocol, so that
//! boards can use them, and so that the part that drives engines has one to drive.
//!
//! Budgets are nodes here as everywhere: the same commands get the same answers on every
//! machine. Where the other side speaks of time, a millisecond counts as [`RATE`] nodes,
//! whatever the clock says; a move on a clock takes a thirtieth of what is left, or an
//! even share until the next time control, and most of the increment. Pondering searches as
//! many nodes as the move itself would, and the move waits for `ponderhit`. `stop` ends any
//! search at once.
//!
//! `go mate N` asks the mate prover. It answers with the whole line, or says that there
//! is no such mate (`info string`), and a short search then names a move all the same.

mod command;
mod say;
mod worker;

use std::{
    io::{self, BufRead},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    thread::JoinHandle,
};

use shakmaty::{CastlingMode, Chess, Color, Position, uci::UciMove};

use self::{
    command::{Command, Go, Where},
    say::say,
    worker::{Provers, Task},
};
use crate::{exit::CLEAN, print::line};

/// So many nodes are searched for a millisecond.
const RATE: u64 = 300;

/// The budget of `go mate` when no nodes are named.
const MATE_NODES: u64 = 10_000_000;

/// A move takes so many nodes at least where time is named, however little: the first that
/// comes along would be a blunder.
const LEAST: u64 = 1000;

/// How many lines can be asked for: the least, the default, the most.
const LINES: [usize; 3] = [1, 1, 64];

/// The memory for tables in megabytes: the least, the default, the most.
const HASH: [usize; 3] = [1, 64, 4096];

/// Threads. One, so that the same question gets the same answer.
const THREADS: [usize; 3] = [1, 1, 1];

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

/// A search under way.
struct Running {
    thread: JoinHandle<Provers>,
    stop: Arc<AtomicBool>,
    /// Whether the move may not be named yet.
    waits: Arc<AtomicBool>,
    ponders: bool,
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
            lines: LINES[1],
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
            Command::PonderHit => {
                if let Some(running) = self.running.as_ref().filter(|running| running.ponders) {
                    running.waits.store(false, Ordering::Relaxed);
                    running.thread.thread().unpark();
                }
                Ok(())
            }
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
        match name.to_ascii_lowercase().as_str() {
            "hash" => {
                if let Some(megabytes) = spin("Hash", value, HASH)? {
                    self.megabytes = megabytes;
                    self.provers = None;
                }
                Ok(())
            }
            "multipv" => {
                self.lines = spin("MultiPV", value, LINES)?.unwrap_or(self.lines);
                Ok(())
            }
            "threads" => spin("Threads", value, THREADS).map(|_| ()),
            // What is pondered on is for the board to say.
            "ponder" => check("Ponder", value).map(|_| ()),
            "uci_chess960" => {
                if let Some(on) = check("UCI_Chess960", value)? {
                    self.mode = CastlingMode::from_chess960(on);
                }
                Ok(())
            }
            _ => say(&format!(
                "info string there is no option \"{}\"",
                line(name)
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
                let told = format!("info string {}", line(&error.to_string()));
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
                None => say(&format!(
                    "info string the move \"{}\" is not legal",
                    line(word)
                ))?,
            }
        }
        for word in &go.unread {
            say(&format!(
                "info string no number that can be read behind {word}"
            ))?;
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
        };
        let mut provers = self
            .provers
            .take()
            .unwrap_or_else(|| Provers::new(self.megabytes << 20));
        let stop = Arc::new(AtomicBool::new(false));
        let flag = Arc::clone(&stop);
        let waits = Arc::new(AtomicBool::new(go.infinite || go.ponder));
        let waiting = Arc::clone(&waits);
        let thread = std::thread::Builder::new()
            .name("gainsay-search".to_owned())
            .spawn(move || {
                // When nobody listens, the main thread learns it by its own writing.
                let _ = provers.work(&task, &flag, &waiting);
                provers
            })?;
        self.running = Some(Running {
            thread,
            stop,
            waits,
            ponders: go.ponder && !go.infinite,
        });
        Ok(())
    }
}

/// The value of an option that is a number, brought within its bounds; a value that is not
/// taken as it stands is told.
fn spin(name: &str, value: &str, bounds: [usize; 3]) -> io::Result<Option<usize>> {
    let [least, _, most] = bounds;
    let Ok(wanted) = value.parse::<i128>() else {
        say(&format!(
            "info string {name} is a number from {least} to {most}, not \"{}\"",
            line(value)
        ))?;
        return Ok(None);
    };
    let taken = usize::try_from(wanted.max(0)).unwrap_or(usize::MAX);
    let taken = taken.clamp(least, most);
    if i128::try_from(taken) != Ok(wanted) {
        say(&format!(
            "info string {name} goes from {least} to {most}: {taken} is taken for {wanted}"
        ))?;
    }
    Ok(Some(taken))
}

/// The value of an option that is on or off; another value is told.
fn check(name: &str, value: &str) -> io::Result<Option<bool>> {
    let taken = match value.to_ascii_lowercase().as_str() {
        "true" => Some(true),
        "false" => Some(false),
        _ => None,
    };
    if taken.is_none() {
        say(&format!(
            "info string {name} is true or false, not \"{}\"",
            line(value)
        ))?;
    }
    Ok(taken)
}

fn introduce() -> io::Result<()> {
    let spin = |name: &str, [least, usual, most]: [usize; 3]| {
        format!("option name {name} type spin default {usual} min {least} max {most}")
    };
    say(&format!(
        "id name gainsay {}\n\
         id author the gainsay developers\n\
         {}\n{}\n{}\n\
         option name Ponder type check default false\n\
         option name UCI_Chess960 type check default false\n\
         uciok",
        env!("CARGO_PKG_VERSION"),
        spin("Hash", HASH),
        spin("Threads", THREADS),
        spin("MultiPV", LINES)
    ))
}

/// The budget in nodes: the least of all bounds.
fn budget(go: &Go, turn: Color) -> u64 {
    let own = turn.fold_wb(0, 1);
    // A board that names one clock only means both.
    let left = go.clock.get(own).copied().flatten();
    let left = left.or_else(|| go.clock.into_iter().flatten().next());
    let on_clock = left.map(|left| {
        let share = left / go.moves_to_go.unwrap_or(30).clamp(1, 30);
        let gain = go.gain.get(own).copied().unwrap_or(0) / 4 * 3;
        share.saturating_add(gain).min(left / 2)
    });
    let times = [go.movetime, on_clock]
        .into_iter()
        .flatten()
        .map(|time| time.saturating_mul(RATE).max(LEAST));
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
        assert_eq!(nodes("go wtime -1 btime 0"), [LEAST; 2]);
        assert_eq!(nodes("go movetime 0"), [LEAST; 2]);
        assert_eq!(nodes("go movetime soon"), [LEAST; 2]);
        assert_eq!(nodes("go wtime 60000"), [2000 * RATE; 2]);
        assert_eq!(
            nodes("go wtime 60000 btime 60000 winc -5 binc -5"),
            [2000 * RATE; 2]
        );
        assert_eq!(nodes("go ponder wtime 60000 btime 60000"), [2000 * RATE; 2]);
        assert_eq!(nodes("go mate 3"), [MATE_NODES; 2]);
        assert_eq!(nodes("go infinite"), [u64::MAX; 2]);
        assert_eq!(nodes("go depth 3"), [u64::MAX; 2]);
    }
}
