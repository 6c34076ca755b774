//! The memory that the command takes, as the system measured it.

#![cfg(unix)]

mod common;

use std::{fs, path::Path, process::Stdio};

use wait4::Wait4;

/// What the README promises, in bytes.
const PROMISED: u64 = 256 << 20;

/// Runs the command on two threads in a folder whose cache is its own, and gives the
/// most memory that it ever took, in bytes.
fn peak(folder: &Path, arguments: &[&str]) -> u64 {
    let child = common::command(folder)
        .env("XDG_CACHE_HOME", folder.join("cache"))
        .args(arguments)
        .args(["--threads", "2"])
        .stdout(Stdio::null())
        .spawn()
        .expect("the command runs");
    let used = child.wait4().expect("it ends");
    assert!(used.status.code().is_some_and(|code| code < 2));
    used.rusage.maxrss
}

/// Invented middlegames and a maze of an ending, none of them soon settled.
const HARD: &str = "\
r2q1rk1/1b2bppp/p1nppn2/1p6/3NPP2/1BN1B3/PPP3PP/R2Q1R1K w - - 0 13
2r2rk1/pp1bqpp1/2n1pn1p/3p4/3P4/2PBPN2/PP1N1PPP/R2QR1K1 w - - 0 14
8/5pk1/3r2p1/1p1P3p/1P2K2P/4R1P1/5P2/8 w - - 0 40
r1bqk2r/ppp2ppp/2np1n2/2b1p3/2B1P3/2PP1N2/PP3PPP/RNBQ1RK1 b kq - 0 6
";

#[test]
fn a_long_search_keeps_to_the_memory_that_is_promised() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("hard.epd"), HARD).expect("written");
    let prove = |more: &[&str]| {
        let arguments = [&["prove", "hard.epd", "--nodes", "3000000"], more].concat();
        peak(folder.path(), &arguments)
    };
    let usual = prove(&[]);
    assert!(usual < PROMISED, "{usual}");
    // The setting is more than a promise: less is taken where less is given.
    let little = prove(&["--memory", "64"]);
    assert!(little < 64 << 20, "{little}");
    assert!(little < usual, "{little} {usual}");
}

/// Lends the tables that other tests have built to the folder's own cache, but for that of
/// `missing`: building it is what is measured, not how long the others take.
fn lend_tables(folder: &Path, missing: &str) {
    let built = Path::new(env!("CARGO_TARGET_TMPDIR")).join("gainsay/endings");
    let lent = folder.join("cache/gainsay/endings");
    fs::create_dir_all(&lent).expect("made");
    for table in fs::read_dir(built).into_iter().flatten().flatten() {
        let name = table.file_name();
        if name.to_string_lossy().ends_with(".table") && name != missing {
            // One that has just gone is built again.
            let _ = fs::copy(table.path(), lent.join(name));
        }
    }
}

#[test]
fn tables_with_pawns_keep_to_the_memory_that_is_promised() {
    let folder = tempfile::tempdir().expect("a folder");
    // One thread searches while the other builds.
    let games: String = HARD
        .lines()
        .take(1)
        .chain(["8/8/4k3/4p3/8/4P3/4K3/8 w - - 0 1"])
        .map(|fen| {
            format!(
                "[Event \"Exercise\"]\n[Result \"*\"]\n[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n\
                 {{White mates in eight. Black is winning.}} *\n\n"
            )
        })
        .collect();
    fs::write(folder.path().join("games.pgn"), games).expect("written");
    lend_tables(folder.path(), "KPKP.table");
    let table = folder.path().join("cache/gainsay/endings/KPKP.table");
    assert!(!table.exists());
    let taken = peak(folder.path(), &["check", "games.pgn"]);
    assert!(table.exists());
    assert!(taken < PROMISED, "{taken}");
}
