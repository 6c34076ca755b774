//! Files that nobody wrote, in which each byte costs as much memory as it can: the command
//! keeps to what is promised. In a process of its own that holds none of the texts: what a
//! child took at most counts from that of its parent on.
#![cfg(unix)]

mod common;

use std::{
    fs::File,
    io::{BufWriter, Write as _},
    path::Path,
    process::Stdio,
};

use wait4::Wait4 as _;

const MB: usize = 1 << 20;

/// A text that is the same all through.
struct Text {
    name: &'static str,
    start: &'static str,
    words: &'static str,
    size: usize,
    end: &'static str,
}

const fn text(
    name: &'static str,
    start: &'static str,
    words: &'static str,
    size: usize,
    end: &'static str,
) -> Text {
    Text {
        name,
        start,
        words,
        size,
        end,
    }
}

const TEXTS: [Text; 12] = [
    text("numbers.pgn", "", "7. Nf3 Nf6 9. Ng1 Ng8 ", 10 * MB, "*\n"),
    text("open-tags.pgn", "", "[A \"", 2 * MB, ""),
    text("one-tag.pgn", "", "[Event \"x\"]\n", 4 * MB, "\n1. e4 *\n"),
    text("deep.pgn", "1. e4 ", "(1. d4 ", 4 * MB, ""),
    text(
        "comment.pgn",
        "1. e4 {",
        "White mates in two, and e5 is pinned. ",
        4 * MB,
        "} *\n",
    ),
    text(
        "claims.pgn",
        "",
        "1. Nf3 {mate in two} Nf6 $1 2. Ng1 Ng8 $2 ",
        4 * MB,
        "*\n",
    ),
    text("blank.epd", "", "\n", MB, ""),
    text(
        "games.pgn",
        "",
        "[Event \"?\"]\n\n1. e5 e4 3. Ke3 Kh9 {mate in two} *\n\n",
        MB,
        "",
    ),
    text(
        "prose.md",
        "",
        "White mates in two after 3. Qh5. ",
        4 * MB,
        "\n",
    ),
    text(
        "blocks.md",
        "",
        "```pgn\n1. e4 *\n```\nThe knight is pinned.\n\n",
        2 * MB,
        "",
    ),
    text(
        "line.epd",
        "8/8/8/8/8/8/8/8 w - - ",
        "bm Qh5; c0 \"x\"; ",
        4 * MB,
        "\n",
    ),
    text("brackets.pgn", "", "()[]{}<>", 4 * MB, ""),
];

impl Text {
    fn write(&self, folder: &Path) {
        let file = File::create(folder.join(self.name)).expect("made");
        let mut file = BufWriter::new(file);
        let mut put = |text: &str| file.write_all(text.as_bytes()).expect("written");
        put(self.start);
        for _ in 0..self.size / self.words.len() {
            put(self.words);
        }
        put(self.end);
        file.flush().expect("written");
    }
}

/// The most that a check takes, in bytes.
fn peak(folder: &Path, name: &str, megabytes: &str, format: &str) -> u64 {
    let child = common::command(folder)
        .args(["check", "--no-cache", "--nodes", "1000", "--threads", "2"])
        .args(["--show", "hint", "--memory", megabytes])
        .args(["--format", format, name])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the command runs");
    let used = child.wait4().expect("it ends");
    assert!(used.status.code().is_some(), "{name} {megabytes} {format}");
    used.rusage.maxrss
}

#[test]
fn nasty_files_keep_to_the_memory_that_is_promised() {
    let folder = tempfile::tempdir().expect("a folder");
    for text in TEXTS {
        text.write(folder.path());
        let keeps = |megabytes: &str, format: &str| {
            let taken = peak(folder.path(), text.name, megabytes, format);
            let most = megabytes.parse::<u64>().expect("a number") << 20;
            assert!(taken < most, "{} {megabytes} {format}: {taken}", text.name);
        };
        keeps("64", "text");
        keeps("256", "text");
        // The formats differ where there is much to print.
        if text.name == "games.pgn" {
            keeps("64", "sarif");
            keeps("64", "junit");
            keeps("64", "json");
        }
    }
}
