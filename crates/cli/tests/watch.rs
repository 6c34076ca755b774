//! `gainsay check --watch`: a file that is written is checked again.

mod common;

use std::{
    fs,
    io::{BufRead as _, BufReader},
    process::Stdio,
    sync::mpsc,
    time::Duration,
};

use common::{check_input, command};
use tempfile::TempDir;

#[test]
fn a_written_file_is_checked_again() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, "1. e4 e5 2. Ke3 *\n").expect("a file");
    let mut child = command(folder.path())
        .args(["check", "--watch", "lesson.pgn"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the command runs");
    let out = BufReader::new(child.stdout.take().expect("a pipe"));
    let (sender, lines) = mpsc::channel();
    std::thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            if sender.send(line).is_err() {
                break;
            }
        }
    });
    // The last line of a round counts the games.
    let round = || {
        let mut seen = String::new();
        loop {
            let line = lines
                .recv_timeout(Duration::from_secs(60))
                .unwrap_or_else(|_| panic!("no more results after {seen:?}"));
            seen.push_str(&line);
            seen.push('\n');
            if line.starts_with("1 game,") {
                return seen;
            }
        }
    };
    let first = round();
    assert!(first.contains("illegal-move"), "{first}");
    fs::write(folder.path().join("notes.log"), "not a game").expect("another file");
    fs::write(&path, "1. e4 e5 2. Ke2 *\n").expect("written");
    let second = round();
    assert!(!second.contains("illegal-move"), "{second}");
    // Editors write beside a file and rename.
    let beside = folder.path().join("lesson.new");
    fs::write(&beside, "1. e4 e5 2. Qg5 *\n").expect("written");
    fs::rename(&beside, &path).expect("renamed");
    let third = round();
    assert!(third.contains("illegal-move"), "{third}");
    child.kill().expect("it was running");
    child.wait().expect("it ends");
}

#[test]
fn standard_input_cannot_be_watched() {
    let folder = TempDir::new().expect("a folder");
    let run = check_input(folder.path(), &["--watch", "-"], b"1. e4 *");
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("standard input"), "{}", run.err);
}
