//! 100,000 findings, in each format that goes out as it comes: none piles up. In a process of
//! its own, since what a child took at most counts from that of its parent on.
#![cfg(unix)]

mod common;

use std::{
    fs::{self, File},
    process::Stdio,
};

use wait4::Wait4 as _;

const FINDINGS: usize = 100_000;
const MOST: u64 = 100 << 20;

#[test]
fn a_hundred_thousand_findings_do_not_pile_up() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("many.pgn");
    fs::write(
        path,
        "[Event \"?\"]\n\n1. e4 e5 2. Ke3 *\n\n".repeat(FINDINGS),
    )
    .expect("written");
    for (format, mark) in [
        ("sarif", "\"ruleId\":\"illegal-move\""),
        ("json", "\"rule\":\"illegal-move\""),
        ("ndjson", "\"rule\":\"illegal-move\""),
        ("lines", "[illegal-move]"),
        ("github", "title=illegal-move"),
    ] {
        let out = folder.path().join("out");
        let child = common::command(folder.path())
            .args(["check", "--no-cache", "--only", "illegal-move"])
            .args(["--format", format, "many.pgn"])
            .stdout(File::create(&out).expect("a file"))
            .stderr(Stdio::null())
            .spawn()
            .expect("the command runs");
        let used = { child }.wait4().expect("it ends");
        assert_eq!(used.status.code(), Some(1), "{format}");
        let taken = used.rusage.maxrss;
        assert!(taken < MOST, "{format}: {taken}");
        // Looked at last, so that the text is held by nobody while a child begins.
        let found = fs::read_to_string(&out)
            .expect("text")
            .matches(mark)
            .count();
        assert_eq!(found, FINDINGS, "{format}");
    }
}
