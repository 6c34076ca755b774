//! `gainsay uci` over pipes, as a board would use it.

#[allow(dead_code, reason = "only the command is needed here")]
mod common;

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, ChildStdin, Stdio},
    sync::mpsc::{Receiver, channel},
    time::{Duration, Instant},
};

/// Nothing that is asked here takes so long, even on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

struct Board {
    child: Child,
    input: Option<ChildStdin>,
    lines: Receiver<String>,
}

impl Board {
    fn new() -> Self {
        let mut child = common::command(Path::new("."))
            .arg("uci")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the command runs");
        let output = child.stdout.take().expect("a pipe");
        let (sender, lines) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(output).lines().map_while(Result::ok) {
                if sender.send(line).is_err() {
                    break;
                }
            }
        });
        Self {
            input: child.stdin.take(),
            child,
            lines,
        }
    }

    fn say(&mut self, text: &str) {
        let input = self.input.as_mut().expect("it listens");
        writeln!(input, "{text}").expect("it listens");
    }

    /// All lines up to the one that begins with `word`.
    fn until(&self, word: &str) -> Vec<String> {
        let mut all = Vec::new();
        loop {
            let line = self.lines.recv_timeout(PATIENCE).expect("an answer");
            let last = line.split(' ').next() == Some(word);
            all.push(line);
            if last {
                return all;
            }
        }
    }

    /// What it says to a position and a `go`.
    fn ask(&mut self, position: &str, go: &str) -> Vec<String> {
        self.say(position);
        self.say(go);
        self.until("bestmove")
    }

    /// Whether it ends by itself, and how.
    fn ends(mut self) -> bool {
        drop(self.input.take());
        let since = Instant::now();
        while since.elapsed() < PATIENCE {
            if let Some(status) = self.child.try_wait().expect("a child") {
                return status.success();
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        let _ = self.child.kill();
        false
    }
}

fn last(lines: &[String]) -> &str {
    lines.last().map(String::as_str).unwrap_or_default()
}

#[test]
fn it_introduces_itself() {
    let mut board = Board::new();
    board.say("uci");
    let lines = board.until("uciok");
    assert!(lines.iter().any(|line| line.starts_with("id name gainsay")));
    for option in ["Hash", "MultiPV", "UCI_Chess960"] {
        let start = format!("option name {option} type ");
        assert!(
            lines.iter().any(|line| line.starts_with(&start)),
            "{option}"
        );
    }
    board.say("setoption name Hash value 8\nucinewgame\nnonsense\nisready");
    assert_eq!(board.until("readyok"), ["readyok"]);
    board.say("quit");
    assert!(board.ends());
}

#[test]
fn it_finds_mates_and_lines() {
    let mut board = Board::new();
    // Two rooks drive the king.
    let rooks = "position fen 7k/8/8/8/8/8/R7/1R4K1 w - - 0 1";
    let lines = board.ask(rooks, "go nodes 20000");
    assert!(last(&lines).starts_with("bestmove "));
    let before = &lines[lines.len() - 2];
    assert!(before.contains(" score mate 2 "), "{before}");
    assert!(before.contains(" multipv 1 ") && before.contains(" nodes "));

    // The prover answers for mates in so many moves, and the search when there is none.
    let lines = board.ask(rooks, "go mate 2");
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!(lines[0].contains(" score mate 2 "), "{lines:?}");
    let lines = board.ask(rooks, "go mate 1 nodes 5000");
    assert_eq!(lines[0], "info string there is no mate in 1");
    assert!(last(&lines).starts_with("bestmove "));

    // The side that is mated says so.
    let lines = board.ask(
        "position fen k7/8/8/8/8/8/1R6/2R3K1 b - - 0 1",
        "go depth 4",
    );
    assert!(lines.iter().any(|line| line.contains(" score mate -1 ")));
    assert_eq!(last(&lines), "bestmove a8a7 ponder c1a1");
}

#[test]
fn lines_and_moves_can_be_chosen() {
    let mut board = Board::new();
    board.say("setoption name MultiPV value 3");
    let lines = board.ask("position startpos moves e2e4", "go depth 3");
    for rank in 1..=3 {
        let wanted = format!("info depth 3 multipv {rank} ");
        assert!(lines.iter().any(|line| line.starts_with(&wanted)));
    }
    board.say("setoption name MultiPV value 1");
    let lines = board.ask(
        "position startpos",
        "go depth 2 searchmoves a2a3 h2h4 e2e5 nodes 1000",
    );
    assert_eq!(lines[0], "info string the move \"e2e5\" is not legal");
    let chosen = last(&lines);
    assert!(
        chosen.starts_with("bestmove a2a3") || chosen.starts_with("bestmove h2h4"),
        "{chosen}"
    );
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let answer =
        |board: &mut Board| board.ask("position startpos moves d2d4 g8f6", "go nodes 20000");
    let mut board = Board::new();
    let first = answer(&mut board);
    board.ask("position startpos moves e2e4", "go movetime 20");
    assert_eq!(answer(&mut board), first);
    assert_eq!(answer(&mut Board::new()), first);
}

#[test]
fn stop_ends_a_search_without_end() {
    let mut board = Board::new();
    board.say("position startpos");
    board.say("go infinite");
    board.until("info");
    board.say("isready");
    board.until("readyok");
    board.say("stop");
    let since = Instant::now();
    let lines = board.until("bestmove");
    assert_ne!(last(&lines), "bestmove 0000");
    assert!(since.elapsed() < Duration::from_secs(2));

    // Nothing is left to find here, and yet the move waits for the stop.
    board.say("position fen 7k/8/8/8/8/8/R7/1R4K1 w - - 0 1");
    board.say("go infinite");
    std::thread::sleep(Duration::from_millis(300));
    let early: Vec<String> = board.lines.try_iter().collect();
    assert!(!early.is_empty() && early.iter().all(|line| line.starts_with("info ")));
    board.say("stop");
    assert!(last(&board.until("bestmove")).starts_with("bestmove "));

    // The end of the input ends the search too.
    board.say("go infinite");
    assert!(board.ends());
}

#[test]
fn bad_input_is_survived() {
    let mut board = Board::new();
    for position in [
        "position fen 8/8/8/8/8/8/8/8 w - - 0 1",
        "position fen \u{1F680} \0 x",
        "position startpos moves e2e5",
    ] {
        let lines = board.ask(position, "go nodes 10");
        assert!(lines[0].starts_with("info string "), "{lines:?}");
        assert_eq!(last(&lines), "bestmove 0000");
    }
    // Mate and stalemate leave no move to name.
    let lines = board.ask("position fen 7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", "go nodes 10");
    assert_eq!(lines, ["bestmove 0000"]);
    let lines = board.ask("position startpos", "go nodes 0");
    assert!(last(&lines).starts_with("bestmove ") && last(&lines) != "bestmove 0000");
    board.say("setoption name Hash value many");
    board.say("setoption");
    board.say("go depth");
    board.say("stop");
    board.until("bestmove");
    board.say("isready");
    board.until("readyok");
    assert!(board.ends());
}

#[test]
fn castling_of_shuffled_positions_is_written_their_way() {
    let mut board = Board::new();
    board.say("setoption name UCI_Chess960 value true");
    let lines = board.ask(
        "position fen 4k3/8/8/8/8/8/8/1R2K2R w H - 0 1",
        "go depth 1 searchmoves e1h1",
    );
    assert!(last(&lines).starts_with("bestmove e1h1"), "{lines:?}");
}
