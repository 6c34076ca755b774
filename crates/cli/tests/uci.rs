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
    for option in ["Hash", "Threads", "MultiPV", "Ponder", "UCI_Chess960"] {
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

/// How many nodes the last line of information tells.
fn nodes(lines: &[String]) -> u64 {
    let told = lines.iter().rev().find_map(|line| {
        let (_, rest) = line.split_once(" nodes ")?;
        rest.split(' ').next()?.parse().ok()
    });
    told.expect("nodes are told")
}

#[test]
fn a_mate_that_is_not_there_is_told_and_a_move_soon_named() {
    let mut board = Board::new();
    for (go, told) in [
        ("go mate 2", "info string there is no mate in 2"),
        ("go mate 0", "info string there is no mate in 0"),
        (
            "go mate 2 searchmoves a2a3 h2h4",
            "info string there is no mate in 2",
        ),
    ] {
        let lines = board.ask("position startpos", go);
        assert_eq!(lines[0], told, "{go}");
        assert_ne!(last(&lines), "bestmove 0000");
        // Twenty million would take a minute; naming a move takes little.
        assert!(nodes(&lines) < 200_000, "{go} {lines:?}");
    }
    // Two first moves mate in two, one of those that may be played does not.
    let rooks = "position fen 7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1";
    let lines = board.ask(rooks, "go mate 2 searchmoves a5a4 b6b7");
    assert!(lines[0].contains(" score mate 2 ") && lines[0].ends_with(" pv b6b7"));
    assert_eq!(last(&lines), "bestmove b6b7");
}

#[test]
fn little_time_none_and_less_get_a_move_of_some_worth() {
    let mut board = Board::new();
    // The queen hangs, and White sees it.
    let queen = "position fen 4k3/8/8/3q4/4P3/8/8/4K3 w - - 0 1";
    for go in [
        "go movetime 0",
        "go movetime -5",
        "go wtime 0 btime 0",
        "go wtime -200 btime 1000 winc -1",
        "go wtime 10",
        "go btime 10",
        "go movetime 0.5",
        "go movetime soon",
        "go movetime 99999999999999999999999 nodes 2000",
        "go wtime 9223372036854775807 btime 1 winc 9223372036854775807 nodes 2000",
    ] {
        let lines = board.ask(queen, go);
        assert!(last(&lines).starts_with("bestmove e4d5"), "{go} {lines:?}");
        assert!(nodes(&lines) < 10_000, "{go}");
    }
}

#[test]
fn options_out_of_range_are_clamped_and_told() {
    let mut board = Board::new();
    for (name, value, told) in [
        ("Hash", "99999999999999999999", Some("4096 is taken")),
        ("Hash", "-3", Some("1 is taken for -3")),
        ("Hash", "many", Some("a number from 1 to 4096")),
        ("Hash", "16", None),
        ("MultiPV", "0", Some("1 is taken for 0")),
        ("MultiPV", "1000", Some("64 is taken for 1000")),
        ("Threads", "8", Some("1 is taken for 8")),
        ("Threads", "1", None),
        ("Ponder", "true", None),
        ("Ponder", "perhaps", Some("true or false")),
        ("UCI_Chess960", "", Some("true or false")),
        ("MultiPV", "1", None),
        ("Contempt", "3", Some("there is no option \"Contempt\"")),
    ] {
        board.say(&format!("setoption name {name} value {value}"));
        board.say("isready");
        let lines = board.until("readyok");
        match told {
            Some(words) => {
                assert_eq!(lines.len(), 2, "{name} {value} {lines:?}");
                assert!(
                    lines[0].starts_with("info string ") && lines[0].contains(words),
                    "{lines:?}"
                );
            }
            None => assert_eq!(lines.len(), 1, "{name} {value} {lines:?}"),
        }
    }
}

#[test]
fn pondering_waits_for_the_move_that_is_pondered_on() {
    let mut board = Board::new();
    let position = "position startpos moves e2e4 e7e5 g1f3";
    let go = "wtime 1000 btime 1000 winc 0 binc 0";
    let asked = board.ask(position, &format!("go {go}"));
    // The same search, held back until the move is played.
    board.say(position);
    board.say(&format!("go ponder {go}"));
    std::thread::sleep(Duration::from_millis(300));
    let mut pondered: Vec<String> = board.lines.try_iter().collect();
    assert!(!pondered.iter().any(|line| line.starts_with("bestmove")));
    board.say("ponderhit");
    pondered.extend(board.until("bestmove"));
    assert_eq!(pondered, asked);
    // Played before the search is over.
    board.say(position);
    board.say(&format!("go ponder {go}"));
    board.say("ponderhit");
    assert_eq!(board.until("bestmove"), asked);
    // Another move is played.
    board.say("position startpos");
    board.say("go ponder wtime 600000 btime 600000");
    board.until("info");
    board.say("stop");
    assert!(last(&board.until("bestmove")).starts_with("bestmove "));
    // No search, and one that waits for stop alone.
    board.say("ponderhit");
    board.say("go infinite");
    board.until("info");
    board.say("ponderhit");
    board.say("isready");
    assert!(
        !board
            .until("readyok")
            .iter()
            .any(|line| line.starts_with("bestmove"))
    );
    board.say("stop");
    board.until("bestmove");
}
