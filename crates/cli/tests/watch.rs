//! `gainsay check --watch`: a file that is written is checked again.

mod common;

use std::{
    fs,
    io::{BufRead as _, BufReader},
    path::Path,
    process::{Child, Stdio},
    sync::mpsc::{self, Receiver},
    time::Duration,
};

use common::{check_input, command};
use tempfile::TempDir;

/// A run of `gainsay check --watch`.
struct Watch {
    child: Child,
    lines: Receiver<String>,
}

impl Watch {
    fn start(folder: &Path, arguments: &[&str]) -> Self {
        let mut child = command(folder)
            .args(["check", "--watch"])
            .args(arguments)
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
        Self { child, lines }
    }

    /// What the next round prints; its last line counts the games.
    fn round(&self) -> String {
        let mut seen = String::new();
        loop {
            let line = self
                .lines
                .recv_timeout(Duration::from_secs(60))
                .unwrap_or_else(|_| panic!("no more results after {seen:?}"));
            seen.push_str(&line);
            seen.push('\n');
            if line.contains(" game, ") || line.contains(" games, ") {
                return seen;
            }
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn a_written_file_is_checked_again() {
    let folder = TempDir::new().expect("a folder");
    let path = folder.path().join("lesson.pgn");
    fs::write(&path, "1. e4 e5 2. Ke3 *\n").expect("a file");
    let watch = Watch::start(folder.path(), &["lesson.pgn"]);
    let first = watch.round();
    assert!(first.contains("illegal-move"), "{first}");
    fs::write(folder.path().join("notes.log"), "not a game").expect("another file");
    fs::write(&path, "1. e4 e5 2. Ke2 *\n").expect("written");
    let second = watch.round();
    assert!(!second.contains("illegal-move"), "{second}");
    // Editors write beside a file and rename.
    let beside = folder.path().join("lesson.new");
    fs::write(&beside, "1. e4 e5 2. Qg5 *\n").expect("written");
    fs::rename(&beside, &path).expect("renamed");
    let third = watch.round();
    assert!(third.contains("illegal-move"), "{third}");
    // The settings matter, and may be new.
    let settings = "[rules]\nillegal-move = \"off\"\n";
    fs::write(folder.path().join("gainsay.toml"), settings).expect("written");
    let fourth = watch.round();
    assert!(!fourth.contains("illegal-move"), "{fourth}");
}

#[test]
fn nobody_writes_and_nothing_is_checked_again() {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("lesson.pgn"), "1. e4 e5 2. Ke3 *\n").expect("a file");
    fs::create_dir(folder.path().join("games")).expect("a folder");
    for name in ["a", "b", "c"] {
        let path = folder.path().join(format!("games/{name}.pgn"));
        fs::write(path, "1. d4 d5 *\n").expect("a file");
    }
    fs::write(folder.path().join("gainsay.toml"), "nodes = 1000\n").expect("a file");
    let watches = [
        Watch::start(folder.path(), &["lesson.pgn"]),
        Watch::start(folder.path(), &["."]),
    ];
    for watch in &watches {
        watch.round();
    }
    // Others may read the files too.
    for _ in 0..10 {
        std::thread::sleep(Duration::from_secs(1));
        fs::read(folder.path().join("lesson.pgn")).expect("a file");
    }
    for watch in &watches {
        let more: Vec<String> = watch.lines.try_iter().collect();
        assert_eq!(more, [""; 0]);
    }
}

#[cfg(unix)]
#[test]
fn what_a_link_leads_to_is_watched() {
    use std::os::unix::fs::symlink;

    let folder = TempDir::new().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    for name in ["here", "there", "elsewhere"] {
        fs::create_dir(at(name)).expect("a folder");
    }
    for name in ["there/book.pgn", "elsewhere/other.pgn"] {
        fs::write(at(name), "1. e4 e5 2. Ke3 *\n").expect("a file");
    }
    symlink("../there/link.pgn", at("here/lesson.pgn")).expect("a link");
    symlink("book.pgn", at("there/link.pgn")).expect("a link");
    let watch = Watch::start(folder.path(), &["here/lesson.pgn"]);
    assert!(watch.round().contains("illegal-move"));
    fs::write(at("there/book.pgn"), "1. e4 e5 2. Ke2 *\n").expect("written");
    assert!(!watch.round().contains("illegal-move"));
    // A link on the way is exchanged.
    symlink("../elsewhere/other.pgn", at("there/new.pgn")).expect("a link");
    fs::rename(at("there/new.pgn"), at("there/link.pgn")).expect("renamed");
    assert!(watch.round().contains("illegal-move"));
    fs::write(at("elsewhere/other.pgn"), "1. e4 e5 2. Ke2 *\n").expect("written");
    assert!(!watch.round().contains("illegal-move"));
}

#[test]
fn standard_input_cannot_be_watched() {
    let folder = TempDir::new().expect("a folder");
    let run = check_input(folder.path(), &["--watch", "-"], b"1. e4 *");
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("standard input"), "{}", run.err);
}
