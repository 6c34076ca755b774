//! Verdicts that are remembered from one run to the next.

#[allow(dead_code, reason = "not all of it is needed here")]
mod common;

use std::{
    fs,
    path::{Path, PathBuf},
};

use common::Run;

/// Four games with claims, two of them false, and one game without.
const BOOK: &str = "[Event \"A\"]\n\n1. f3 e5 2. g4 {Black mates in one.} Qh4# 0-1\n\n\
    [Event \"B\"]\n\n1. e4 e5 2. Bc4 Nc6 3. Qh5 {White threatens mate.} Nf6 {White mates in one.} \
    4. Qxf7# 1-0\n\n\
    [Event \"C\"]\n\n1. e4 e5 {White mates in one.} 2. Nf3 *\n\n\
    [Event \"D\"]\n\n1. d4 d5 2. c4 {The knight on f3 is well placed.} e6 *\n\n\
    [Event \"E\"]\n\n1. e4 c5 {Played after lunch.} *\n";

/// A folder with a book, whose cache is its own.
struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        let desk = Self(tempfile::tempdir().expect("a folder"));
        desk.write("book.pgn", BOOK);
        desk.write("gainsay.toml", "nodes = 20000\n");
        desk
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path().join(name), text).expect("written");
    }

    fn check(&self, options: &[&str]) -> Run {
        common::command(self.path())
            .env("XDG_CACHE_HOME", self.path().join("cache"))
            .args(["check", "--format", "json", "--verbose"])
            .args(options)
            .arg("book.pgn")
            .output()
            .expect("the command runs")
            .into()
    }

    /// Checks the book; how many games were remembered, how many settled.
    fn counts(&self, options: &[&str]) -> (String, (u32, u32)) {
        let run = self.check(options);
        assert_eq!(run.code, Some(1), "{}", run.err);
        let numbers: Vec<u32> = run
            .err
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|digits| digits.parse().ok())
            .collect();
        let [remembered, settled] = numbers[..] else {
            panic!("no counts in {}", run.err);
        };
        (run.out, (remembered, settled))
    }

    /// The files of verdicts.
    fn files(&self) -> Vec<PathBuf> {
        let shards = fs::read_dir(self.path().join("cache/gainsay/verdicts"));
        let mut files: Vec<PathBuf> = shards
            .into_iter()
            .flatten()
            .flat_map(|shard| fs::read_dir(shard.expect("a shard").path()).expect("readable"))
            .map(|file| file.expect("a file").path())
            .collect();
        files.sort();
        files
    }
}

#[test]
fn an_unchanged_book_is_not_settled_again() {
    let desk = Desk::new();
    let (first, counts) = desk.counts(&[]);
    assert_eq!(counts, (0, 4));
    assert_eq!(desk.files().len(), 4);
    let (second, counts) = desk.counts(&[]);
    assert_eq!(counts, (4, 0));
    assert_eq!(first, second);
    // The same as without any cache.
    let bare = desk.check(&["--no-cache"]);
    assert_eq!((bare.out, bare.err.as_str()), (first, ""));
    assert_eq!(desk.files().len(), 4);
}

#[test]
fn only_the_game_that_was_edited_is_settled_again() {
    let desk = Desk::new();
    desk.counts(&[]);
    let edited = BOOK.replace("1. d4 d5 2. c4", "1. d4 d5 2. c4 {White is better.}");
    desk.write("book.pgn", &format!("[Event \"New\"]\n\n*\n\n{edited}"));
    let (warm, counts) = desk.counts(&[]);
    assert_eq!(counts, (3, 1));
    assert_eq!(desk.check(&["--no-cache"]).out, warm);
}

#[test]
fn another_budget_is_another_question_and_other_rules_are_none() {
    let desk = Desk::new();
    desk.counts(&[]);
    desk.write("gainsay.toml", "nodes = 20001\n");
    assert_eq!(desk.counts(&[]).1, (0, 4));
    desk.write(
        "gainsay.toml",
        "nodes = 20000\n[rules]\nfalse-mate = \"warning\"\n",
    );
    // How a finding is shown is no part of the question.
    assert_eq!(desk.counts(&["--fail-on", "warning"]).1, (4, 0));
    assert_eq!(desk.counts(&["--without", "false-mate"]).1, (4, 0));
    // An option that says the same as the file is the same question.
    desk.write("gainsay.toml", "nodes = 5\n");
    assert_eq!(desk.counts(&["--nodes", "20000"]).1, (4, 0));
    desk.write("gainsay.toml", "cache = false\n");
    assert_eq!(desk.check(&[]).err, "");
    assert_eq!(desk.files().len(), 8);
}

#[test]
fn what_is_damaged_is_settled_and_written_anew() {
    let desk = Desk::new();
    let (first, _) = desk.counts(&[]);
    let files = desk.files();
    let whole: Vec<Vec<u8>> = files
        .iter()
        .map(|file| fs::read(file).expect("a file"))
        .collect();
    // One bit, half of the file, nothing, and the contents of another.
    let mut bent = whole[0].clone();
    let middle = bent.len() / 2;
    bent[middle] ^= 1;
    fs::write(&files[0], bent).expect("written");
    fs::write(&files[1], &whole[1][..whole[1].len() / 2]).expect("written");
    fs::write(&files[2], []).expect("written");
    fs::write(&files[3], &whole[0]).expect("written");
    assert_eq!(desk.counts(&[]), (first.clone(), (0, 4)));
    let again: Vec<Vec<u8>> = files
        .iter()
        .map(|file| fs::read(file).expect("a file"))
        .collect();
    assert!(whole == again);
    assert_eq!(desk.counts(&[]), (first.clone(), (4, 0)));
    // A whole cache that is gone, and one that cannot be made, cost time and nothing else.
    fs::remove_dir_all(desk.path().join("cache")).expect("deleted");
    assert_eq!(desk.counts(&[]), (first.clone(), (0, 4)));
    fs::remove_dir_all(desk.path().join("cache")).expect("deleted");
    desk.write("cache", "no folder");
    assert_eq!(desk.counts(&[]), (first, (0, 4)));
}

#[cfg(unix)]
#[test]
fn a_cache_that_cannot_be_written_is_still_read() {
    use std::os::unix::fs::PermissionsExt as _;
    let desk = Desk::new();
    let (first, _) = desk.counts(&[]);
    let files = desk.files();
    let gone = files.first().expect("a file");
    fs::remove_file(gone).expect("deleted");
    let folders: Vec<&Path> = files.iter().filter_map(|file| file.parent()).collect();
    let mode = |mode: u32| {
        for folder in &folders {
            fs::set_permissions(folder, fs::Permissions::from_mode(mode)).expect("allowed");
        }
    };
    mode(0o500);
    let again = desk.counts(&[]);
    mode(0o700);
    assert_eq!(again, (first, (3, 1)));
}

#[test]
fn a_book_that_is_checked_twice_at_once_gives_the_same() {
    let desk = Desk::new();
    let both = std::thread::scope(|scope| {
        let other = scope.spawn(|| desk.check(&[]));
        let one = desk.check(&[]);
        [one, other.join().expect("it ends")]
    });
    assert_eq!(both[0].out, both[1].out);
    assert_eq!(desk.files().len(), 4);
    assert_eq!(desk.counts(&[]), (both[0].out.clone(), (4, 0)));
}

#[test]
fn a_game_that_points_at_another_is_settled_again_with_it() {
    let desk = Desk::new();
    let book = "[Event \"Game 1\"]\n\n1. f3 e5 2. g4 Qh4# 0-1\n\n\
        [Event \"Game 2\"]\n\n1. e4 {In game 1 Black mated on move 2.} e5 *\n\n\
        [Event \"Game 3\"]\n\n1. d4 {White mates in one.} d5 *\n";
    desk.write("book.pgn", book);
    let (first, counts) = desk.counts(&[]);
    assert_eq!(counts, (0, 2));
    assert!(!first.contains("false-reference"), "{first}");
    assert_eq!(desk.counts(&[]), (first, (2, 0)));
    desk.write("book.pgn", &book.replace("e5 2. g4", "e5 2. a3 d6 3. g4"));
    let (second, counts) = desk.counts(&[]);
    assert_eq!(counts, (1, 1));
    assert!(
        second.contains("In game 1 Black mated by 3... Qh4#."),
        "{second}"
    );
    // The pieces that threads share are cut in other places without a cache.
    assert_eq!(desk.check(&["--no-cache"]).out, second);
}
