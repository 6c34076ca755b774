//! An engine that the author owns, driven over the UCI protocol, for judgements.
//!
//! It gets one thread and so many nodes, and is told of a new game before every question,
//! so that its answers depend on the question alone as far as it can be had. An engine
//! that does not start, dies, hangs or talks nonsense is told once on standard error, and
//! our own search judges in its place.

use std::{
    io::{self, BufRead, BufReader, Read, Write},
    process::{Child, ChildStdin, Command, Stdio},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{Receiver, RecvTimeoutError, sync_channel},
    },
    time::{Duration, Instant},
};

use gainsay::{Judge, show};
use gainsay_proof::search::{Value, Variation};
use shakmaty::{Chess, Position, uci::UciMove};

use crate::print::complain;

/// An engine that is silent for so long hangs. No verdict depends on it: what hangs is
/// not asked again.
const PATIENCE: Duration = Duration::from_secs(60);

/// How often the stop flag is looked at.
const POLL: Duration = Duration::from_millis(1);

/// No line of an engine is longer, and no more lines wait to be read.
const LONGEST_LINE: u64 = 1 << 16;
const LINES: usize = 256;

/// What goes wrong with an engine.
#[derive(Debug, thiserror::Error)]
enum EngineError {
    #[error("it cannot be started: {0}")]
    Start(io::Error),
    #[error("it ended or closed its pipes")]
    Gone,
    #[error("it did not answer \"{0}\" in time")]
    Silent(&'static str),
    #[error("it named no line of legal moves")]
    NoLine,
}

/// How an engine is started.
#[derive(Clone, Debug)]
pub(crate) struct Engine {
    program: String,
    arguments: Vec<String>,
    patience: Duration,
    /// Whether its failure was told, by whichever thread met it first.
    told: Arc<AtomicBool>,
}

impl Engine {
    /// The engine of a command line in words; `None` when there are no words.
    pub(crate) fn new(words: Vec<String>) -> Option<Self> {
        let mut words = words.into_iter();
        Some(Self {
            program: words.next().filter(|word| !word.is_empty())?,
            arguments: words.collect(),
            patience: PATIENCE,
            told: Arc::default(),
        })
    }

    /// A judge that starts the engine when it is first asked.
    pub(crate) fn judge(&self) -> Box<dyn Judge> {
        let words = [&self.program].into_iter().chain(&self.arguments);
        Box::new(Driver {
            name: words.map(String::as_str).collect::<Vec<_>>().join(" "),
            engine: self.clone(),
            process: None,
        })
    }
}

#[derive(Debug)]
struct Driver {
    name: String,
    engine: Engine,
    process: Option<Process>,
}

impl Judge for Driver {
    fn name(&self) -> &str {
        &self.name
    }

    fn best(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
        stop: &AtomicBool,
    ) -> Option<Vec<Variation>> {
        if position.legal_moves().is_empty() || nodes == 0 {
            return Some(Vec::new());
        }
        match self.ask(position, lines, nodes, stop) {
            Ok(found) => Some(found),
            Err(error) => {
                self.process = None;
                if !self.engine.told.swap(true, Ordering::Relaxed) {
                    complain(&format!(
                        "the engine \"{}\" does not work ({error}); gainsay judges itself",
                        self.name
                    ));
                }
                None
            }
        }
    }
}

impl Driver {
    fn ask(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
        stop: &AtomicBool,
    ) -> Result<Vec<Variation>, EngineError> {
        let process = match &mut self.process {
            Some(process) => process,
            empty => empty.insert(Process::start(&self.engine)?),
        };
        process.ask(position, lines, nodes, stop)
    }
}

/// A running engine.
#[derive(Debug)]
struct Process {
    child: Child,
    input: ChildStdin,
    lines: Receiver<String>,
    patience: Duration,
    has_lines: bool,
}

impl Process {
    fn start(engine: &Engine) -> Result<Self, EngineError> {
        let mut child = Command::new(&engine.program)
            .args(&engine.arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(EngineError::Start)?;
        let (Some(input), Some(output)) = (child.stdin.take(), child.stdout.take()) else {
            return Err(EngineError::Gone);
        };
        // The thread ends when the engine or the receiver goes. A full channel makes an
        // engine that floods us wait.
        let (sender, lines) = sync_channel(LINES);
        std::thread::Builder::new()
            .name("gainsay-engine".to_owned())
            .spawn(move || {
                let mut output = BufReader::new(output);
                let mut line = Vec::new();
                loop {
                    line.clear();
                    let mut some = output.by_ref().take(LONGEST_LINE);
                    match some.read_until(b'\n', &mut line) {
                        Ok(1..) => {}
                        _ => break,
                    }
                    let text = String::from_utf8_lossy(&line).trim().to_owned();
                    if sender.send(text).is_err() {
                        break;
                    }
                }
            })
            .map_err(EngineError::Start)?;
        let mut process = Self {
            child,
            input,
            lines,
            patience: engine.patience,
            has_lines: false,
        };
        process.say("uci")?;
        let mut has_threads = false;
        let mut has_lines = false;
        process.until("uciok", None, |line| {
            has_threads |= line.starts_with("option name Threads ");
            has_lines |= line.starts_with("option name MultiPV ");
        })?;
        process.has_lines = has_lines;
        if has_threads {
            process.say("setoption name Threads value 1")?;
        }
        Ok(process)
    }

    fn say(&mut self, text: &str) -> Result<(), EngineError> {
        writeln!(self.input, "{text}")
            .and_then(|()| self.input.flush())
            .map_err(|_| EngineError::Gone)
    }

    /// Hands lines to `each` until one begins with `word`. A raised flag makes the engine
    /// stop, which ends its search early.
    fn until(
        &mut self,
        word: &'static str,
        stop: Option<&AtomicBool>,
        mut each: impl FnMut(&str),
    ) -> Result<(), EngineError> {
        let mut since = Instant::now();
        let mut stopping = false;
        loop {
            match self.lines.recv_timeout(POLL) {
                Ok(line) if line.split(' ').next() == Some(word) => return Ok(()),
                Ok(line) => each(&line),
                Err(RecvTimeoutError::Disconnected) => return Err(EngineError::Gone),
                Err(RecvTimeoutError::Timeout) => {}
            }
            if !stopping && stop.is_some_and(|stop| stop.load(Ordering::Relaxed)) {
                stopping = true;
                since = Instant::now();
                self.say("stop")?;
            }
            if since.elapsed() > self.patience {
                return Err(EngineError::Silent(word));
            }
        }
    }

    fn ask(
        &mut self,
        position: &Chess,
        lines: usize,
        nodes: u64,
        stop: &AtomicBool,
    ) -> Result<Vec<Variation>, EngineError> {
        self.say("ucinewgame")?;
        if self.has_lines {
            self.say(&format!("setoption name MultiPV value {lines}"))?;
        }
        self.say("isready")?;
        self.until("readyok", None, |_| {})?;
        self.say(&format!("position fen {}", show::fen(position)))?;
        self.say(&format!("go nodes {nodes}"))?;
        let mut found: Vec<Option<Variation>> = vec![None; lines];
        self.until("bestmove", Some(stop), |line| {
            if let Some((rank, line)) = information(line, position)
                && let Some(place) = found.get_mut(rank)
            {
                *place = Some(line);
            }
        })?;
        let found: Vec<Variation> = found.into_iter().map_while(|line| line).collect();
        if found.is_empty() && !stop.load(Ordering::Relaxed) {
            return Err(EngineError::NoLine);
        }
        Ok(found)
    }
}

impl Drop for Process {
    /// Asks the engine to go, and does not wait for long.
    fn drop(&mut self) {
        let _ = self.say("quit");
        for _ in 0..50 {
            if !matches!(self.child.try_wait(), Ok(None)) {
                return;
            }
            std::thread::sleep(Duration::from_millis(2));
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Reads a line of information that has an exact score and a line of moves: its rank,
/// from 0, and the line.
fn information(text: &str, position: &Chess) -> Option<(usize, Variation)> {
    let mut words = text.strip_prefix("info ")?.split_ascii_whitespace();
    let (mut rank, mut depth, mut value) = (1_usize, 0, None);
    while let Some(word) = words.next() {
        match word {
            "depth" => depth = words.next()?.parse().ok()?,
            "multipv" => rank = words.next()?.parse().ok()?,
            "score" => {
                let kind = words.next()?;
                let number: i32 = words.next()?.parse().ok()?;
                value = match kind {
                    "cp" => Some(Value::Centipawns(number)),
                    "mate" if number > 0 => Some(Value::Mates(number.unsigned_abs())),
                    "mate" => Some(Value::Mated(number.unsigned_abs())),
                    _ => None,
                };
            }
            "lowerbound" | "upperbound" | "string" => return None,
            "pv" => break,
            _ => {}
        }
    }
    let mut moves = Vec::new();
    let mut at = position.clone();
    // What cannot be played ends the line.
    for word in words {
        let Some(m) = word
            .parse::<UciMove>()
            .ok()
            .and_then(|m| m.to_move(&at).ok())
        else {
            break;
        };
        at.play_unchecked(m);
        moves.push(m);
    }
    let line = Variation {
        value: value?,
        moves,
        depth,
    };
    (!line.moves.is_empty()).then_some((rank.checked_sub(1)?, line))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn information_is_read() {
        let start = Chess::default();
        let read = |text| information(text, &start);
        let (rank, line) =
            read("info depth 7 seldepth 9 multipv 2 score cp -13 nodes 5 time 1 pv e2e4 e7e5 e4e5")
                .expect("a line");
        assert_eq!((rank, line.depth, line.moves.len()), (1, 7, 2));
        assert_eq!(line.value, Value::Centipawns(-13));
        let (rank, line) = read("info score mate -3 pv g1f3").expect("a line");
        assert_eq!((rank, line.value), (0, Value::Mated(3)));
        for nothing in [
            "info string score cp 3 pv e2e4",
            "info depth 3 score cp 3 upperbound pv e2e4",
            "info depth 3 score cp 3",
            "info score cp x pv e2e4",
            "info multipv 0 score cp 3 pv e2e4",
            "info depth 3 pv e2e4",
            "info score cp 3 pv e2e5",
            "bestmove e2e4",
            "",
        ] {
            assert!(read(nothing).is_none(), "{nothing}");
        }
    }

    /// Whether an engine that a shell plays is found broken, and how long that took.
    #[cfg(unix)]
    fn fails(script: &str) -> Duration {
        let words = ["sh", "-c", script].map(str::to_owned).to_vec();
        let mut engine = Engine::new(words).expect("words");
        engine.patience = Duration::from_millis(300);
        let since = Instant::now();
        let mut judge = engine.judge();
        let found = judge.best(&Chess::default(), 1, 100, &AtomicBool::new(false));
        assert_eq!(found, None, "{script}");
        assert!(engine.told.load(Ordering::Relaxed), "{script}");
        drop(judge);
        since.elapsed()
    }

    #[cfg(unix)]
    #[test]
    fn broken_engines_are_given_up() {
        let greets = "read a; echo uciok; read b; read c; echo readyok";
        for script in [
            // It ends at once, never speaks, floods, falls silent, says nothing of use.
            "exit 3",
            "exec sleep 60",
            "while :; do echo x; done",
            &format!("{greets}; exec sleep 60"),
            &format!("{greets}; echo bestmove e2e4; exec sleep 60"),
            &format!("{greets}; exit 0"),
        ] {
            assert!(fails(script) < Duration::from_secs(20), "{script}");
        }
        let missing = Engine::new(vec!["/no/such/engine".to_owned()]).expect("a word");
        let stop = AtomicBool::new(false);
        let mut judge = missing.judge();
        assert_eq!(judge.best(&Chess::default(), 1, 100, &stop), None);
        assert!(Engine::new(Vec::new()).is_none());
    }

    #[cfg(unix)]
    #[test]
    fn a_raised_flag_stops_the_engine() {
        let script = "read a; echo uciok; read b; read c; echo readyok; read d; read e; \
                      echo info score cp 1 pv e2e4; read f; [ \"$f\" = stop ] && echo bestmove e2e4; \
                      read g";
        let words = ["sh", "-c", script].map(str::to_owned).to_vec();
        let mut engine = Engine::new(words).expect("words");
        engine.patience = Duration::from_secs(20);
        let stop = AtomicBool::new(true);
        let found = engine.judge().best(&Chess::default(), 1, 100, &stop);
        assert!(found.is_some());
        assert!(!engine.told.load(Ordering::Relaxed));
    }
}
