//! `--changed-since`: five pull requests to a repository of a course, one after the other.

mod common;

use std::{fs, path::Path, process::Command};

use common::{Run, check};
use tempfile::TempDir;

fn git(folder: &Path, words: &[&str]) -> String {
    let run = Command::new("git")
        .current_dir(folder)
        .args([
            "-c",
            "user.name=Tilda Osk",
            "-c",
            "user.email=osk@example.org",
        ])
        .args(["-c", "init.defaultBranch=main"])
        .args(words)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .expect("git is there");
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "git {words:?}: {said}");
    String::from_utf8(run.stdout).expect("UTF-8")
}

const GAMES: &str = "[Event \"Lesson one\"]\n[White \"Osk\"]\n\n1. e4 e5 2. Ke3 *\n\n\
                     [Event \"Lesson two\"]\n[White \"Lind\"]\n\n1. f3 e5 2. g4 {Black mates in one.} *\n\n\
                     [Event \"Lesson three\"]\n[White \"Brandt\"]\n\n1. d4 d5 2. Ke3 *\n";
const CHAPTER: &str = "# Back ranks\n\n```fen\n6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1\n```\n\n\
                       Black mates in one.\n\nThe rook stands on a1.\n";

/// A repository with a course in which there are findings.
fn course() -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    let at = folder.path();
    git(at, &["init", "--quiet"]);
    fs::create_dir(at.join("part")).expect("a folder");
    fs::write(at.join("part/games.pgn"), GAMES).expect("written");
    fs::write(at.join("part/chapter.md"), CHAPTER).expect("written");
    fs::write(at.join("old.epd"), "6k1/5ppp/8/8/8/8/8/R3K3 w - - dm 2;\n").expect("written");
    git(at, &["add", "."]);
    git(at, &["commit", "--quiet", "-m", "A course"]);
    folder
}

/// Writes a file on a branch of its own, and checks what the branch changes.
fn request(folder: &Path, branch: &str, edit: impl Fn(&Path)) -> Vec<String> {
    git(folder, &["checkout", "--quiet", "-b", branch, "main"]);
    edit(folder);
    git(folder, &["add", "."]);
    git(folder, &["commit", "--quiet", "-m", branch]);
    let run = since(folder, "main");
    assert_ne!(run.code, Some(2), "{}", run.err);
    let rule = |line: &str| {
        let file = line.split(':').next().unwrap_or_default();
        let rule = line.rsplit('[').next().unwrap_or_default();
        format!("{file} {}", rule.trim_end_matches(']'))
    };
    run.out.lines().map(rule).collect()
}

fn since(folder: &Path, revision: &str) -> Run {
    check(
        folder,
        &[
            ".",
            "--changed-since",
            revision,
            "--format",
            "lines",
            "--without",
            "missing-roster-tag",
        ],
    )
}

fn replace(folder: &Path, file: &str, old: &str, new: &str) {
    let path = folder.join(file);
    let text = fs::read_to_string(&path).expect("a text");
    assert!(text.contains(old), "{file} has {old}");
    fs::write(path, text.replacen(old, new, 1)).expect("written");
}

#[test]
fn five_pull_requests() {
    let course = course();
    let folder = course.path();
    assert_eq!(since(folder, "main").out, "");

    // Mending one game is not asked about the faults of the others.
    let mended = request(folder, "mended", |at| {
        replace(at, "part/games.pgn", "2. Ke3", "2. Nf3")
    });
    assert_eq!(mended, Vec::<String>::new());

    // A new game with a fault, in a file that had faults before.
    let added = request(folder, "added", |at| {
        replace(
            at,
            "part/games.pgn",
            "[Event \"Lesson two\"]",
            "[Event \"Lesson four\"]\n\n1. e4+ *\n\n[Event \"Lesson two\"]",
        );
    });
    assert_eq!(added, ["part/games.pgn false-check-sign"]);

    // Games that change places and a file that is renamed are as they were.
    let moved = request(folder, "moved", |at| {
        let mut games: Vec<&str> = GAMES.trim_end().split("\n\n[Event").collect();
        games.swap(1, 2);
        fs::write(
            at.join("part/games.pgn"),
            format!("{}\n", games.join("\n\n[Event")),
        )
        .expect("written");
        fs::rename(at.join("part/chapter.md"), at.join("chapter-1.md")).expect("renamed");
    });
    assert_eq!(moved, Vec::<String>::new());

    // A paragraph that is edited, and not the one beside it.
    let reworded = request(folder, "reworded", |at| {
        replace(
            at,
            "part/chapter.md",
            "The rook stands on a1.",
            "The rook stands on a2.",
        );
    });
    assert_eq!(reworded, ["part/chapter.md false-piece"]);

    // A position that is edited: what is said of it is asked again.
    let replaced = request(folder, "replaced", |at| {
        replace(at, "part/chapter.md", "R3K3 w", "R2K4 w");
        fs::remove_file(at.join("old.epd")).expect("removed");
    });
    assert_eq!(replaced, ["part/chapter.md false-mate"]);

    // The main branch goes on: a pull request is asked about its own work only.
    git(folder, &["checkout", "--quiet", "main"]);
    replace(folder, "old.epd", "dm 2", "dm 3");
    git(folder, &["commit", "--quiet", "-am", "On"]);
    git(folder, &["checkout", "--quiet", "added"]);
    let run = since(folder, "main");
    assert_eq!(run.out.lines().count(), 1, "{}", run.out);
    assert!(run.out.contains("[false-check-sign]") && run.code == Some(1));
    // A file that the commit has not may have any name: this one reads like an answer of git.
    let odd = folder.join("a 5 7 b.pgn");
    fs::write(&odd, "1. e4 e5 2. Nf3 *\n").expect("written");
    git(folder, &["add", "."]);
    assert_eq!(since(folder, "main").out.lines().count(), 1);
    // What is not committed yet counts as well.
    fs::write(folder.join("new.pgn"), "1. e4 e5 2. Ke3 *\n").expect("written");
    assert_eq!(since(folder, "main").out.lines().count(), 2);
}

#[test]
fn what_cannot_be_compared_is_told() {
    let course = course();
    let told = since(course.path(), "nowhere");
    assert_eq!((told.code, told.out.as_str()), (Some(2), ""));
    assert!(
        told.err.contains("there is no revision \"nowhere\" here"),
        "{}",
        told.err
    );
    let told = since(course.path(), "--upload-pack=x");
    assert_eq!(told.code, Some(2), "{}", told.err);
    let lone = TempDir::new().expect("a temporary folder");
    fs::write(lone.path().join("a.pgn"), "1. e4 *\n").expect("written");
    let told = since(lone.path(), "main");
    assert_eq!(told.code, Some(2));
    assert!(told.err.contains("is in no Git repository"), "{}", told.err);
    let nothing = check(course.path(), &[".", "--changed-since", "HEAD"]);
    assert_eq!((nothing.code, nothing.out.as_str()), (Some(0), ""));
    assert!(
        nothing.err.contains("nothing has changed since HEAD"),
        "{}",
        nothing.err
    );
}
