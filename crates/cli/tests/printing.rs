//! Nobody listens, or the disk is full: the command ends with the right exit code and
//! never panics.
#![cfg(unix)]

mod common;

use std::{
    fs::{self, File, OpenOptions},
    io::Read as _,
    path::Path,
    process::{Command, Stdio},
};

use common::command;
use tempfile::TempDir;

/// Long enough for several buffers, with proofs, findings and claims.
fn folder() -> TempDir {
    let folder = TempDir::new().expect("a folder");
    let exercise = "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n\
        [FEN \"7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1\"]\n\n{White mates in two.} 1. Ra9 *\n\n";
    fs::write(folder.path().join("a.pgn"), exercise.repeat(400)).expect("written");
    let positions = "7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1\n".repeat(400);
    fs::write(folder.path().join("a.epd"), positions).expect("written");
    let made = command(folder.path())
        .args(["prove", "--proof", "proofs.txt", "a.epd"])
        .stdout(Stdio::null())
        .status();
    assert!(made.expect("it runs").success());
    folder
}

/// Every way of printing.
const WAYS: [&[&str]; 20] = [
    &["check", "a.pgn"],
    &["check", "--claims", "--boards", "a.pgn"],
    &["check", "--format", "json", "a.pgn"],
    &["check", "--format", "ndjson", "a.pgn"],
    &["check", "--format", "sarif", "a.pgn"],
    &["check", "--format", "junit", "a.pgn"],
    &["check", "--format", "github", "a.pgn"],
    &["prove", "a.epd"],
    &["prove", "--format", "json", "a.epd"],
    &["prove", "--format", "pgn", "a.epd"],
    &["verify", "proofs.txt"],
    &["rules", "--markdown"],
    &["rules"],
    &["explain", "illegal-move"],
    &["explain"],
    &["schema", "report"],
    &["completions", "bash"],
    &["manual"],
    &["hook"],
    &["help"],
];

fn full() -> File {
    let file = OpenOptions::new().write(true).open("/dev/full");
    file.expect("Linux has a device that is always full")
}

fn ready(folder: &Path, way: &[&str]) -> Command {
    let mut command = command(folder);
    command.args(way).stderr(Stdio::piped());
    command
}

#[test]
fn a_closed_pipe_is_no_error() {
    let folder = folder();
    for way in WAYS {
        let mut child = ready(folder.path(), way)
            .stdout(Stdio::piped())
            .spawn()
            .expect("it runs");
        let mut out = child.stdout.take().expect("a pipe");
        // Its reader has seen enough after a few bytes.
        let mut some = [0; 10];
        out.read_exact(&mut some).expect("it prints");
        drop(out);
        let ended = child.wait_with_output().expect("it ends");
        let said = String::from_utf8_lossy(&ended.stderr);
        // What was found before the pipe closed may be told by the exit code.
        assert!(
            ended.status.code().is_some_and(|code| code < 2),
            "{way:?} {said}"
        );
        assert_eq!(said, "", "{way:?}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_is_trouble_and_told() {
    let folder = folder();
    for way in WAYS {
        let child = ready(folder.path(), way).stdout(full()).output();
        let ended = child.expect("it runs");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{way:?} {said}");
        assert!(said.starts_with("gainsay: cannot write "), "{way:?} {said}");
        assert_eq!(said.lines().count(), 1, "{way:?} {said}");
    }
    let proofs = ["--proof", "/dev/full"];
    for way in [["check", "a.pgn"], ["prove", "a.epd"]] {
        let ended = ready(folder.path(), &[&way[..1], &proofs, &way[1..]].concat())
            .stdout(Stdio::null())
            .output()
            .expect("it runs");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{way:?} {said}");
        assert!(said.contains("cannot write the proofs"), "{way:?} {said}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn complaints_that_nobody_hears_change_nothing() {
    let folder = folder();
    let code = |way: &[&str]| {
        let ended = command(folder.path())
            .args(way)
            .stdout(Stdio::null())
            .stderr(full())
            .status();
        ended.expect("it runs").code()
    };
    assert_eq!(code(&["check", "missing.pgn"]), Some(2));
    assert_eq!(code(&["check", "missing.pgn", "a.pgn"]), Some(2));
    assert_eq!(code(&["check", "--format", "tea", "a.pgn"]), Some(2));
    assert_eq!(code(&["prove", "nonsense"]), Some(2));
    assert_eq!(code(&["verify", "a.pgn"]), Some(1));
    assert_eq!(code(&["explain", "nonsense"]), Some(2));
    assert_eq!(code(&["check", "--verbose", "a.pgn"]), Some(1));
}
