//! What goes wrong around the command: disks, caches, pipes and files that others write.
//! Closed pipes and full devices are in `printing.rs`, broken frames and fast edits in the
//! tests of the server, a save while mending and a mending that is broken off in `mend.rs`.
#![cfg(unix)]

mod common;

use std::{
    fs::{self, OpenOptions, Permissions},
    io::Write as _,
    os::unix::{
        fs::{MetadataExt as _, PermissionsExt as _},
        process::CommandExt as _,
    },
    path::Path,
    process::{Command, Stdio},
    time::Duration,
};

use common::{Run, command};
use serde_json::Value;
use tempfile::TempDir;

/// Games with claims of every verdict, and findings.
fn games() -> String {
    let fens = [
        "7k/8/1R6/R7/8/8/8/K5n1 w - - 0 1",
        "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 w - - 0 1",
        "r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/1PN1PN2/PB3PPP/R2QKB1R w KQ - 0 9",
    ];
    let game = |number: usize| {
        let fen = fens[number % fens.len()];
        format!(
            "[Event \"Game {number}\"]\n[Result \"*\"]\n[SetUp \"1\"]\n[FEN \"{fen}\"]\n\n\
             {{White mates in two. The knight on g1 is pinned. Move {number}.}} 1. Kb9 *\n\n"
        )
    };
    (0..30).map(game).collect()
}

fn folder() -> TempDir {
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("book.pgn"), games()).expect("written");
    folder
}

/// The usual check, with a cache in the folder.
fn ready(folder: &Path, more: &[&str]) -> Command {
    let mut command = command(folder);
    command
        .env("XDG_CACHE_HOME", folder.join("cache"))
        .args(["check", "--nodes", "3000", "--format", "json"])
        .args(more)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

fn ended(command: &mut Command) -> Run {
    Run::from(command.output().expect("the command runs"))
}

/// What a check without any cache gives.
fn wanted(folder: &Path) -> Run {
    let run = ended(&mut ready(folder, &["--no-cache", "book.pgn"]));
    assert_eq!(run.code, Some(1), "{}", run.err);
    run
}

#[test]
fn processes_that_share_a_cache_all_give_the_same() {
    let folder = folder();
    let wanted = wanted(folder.path());
    for _ in 0..3 {
        let running: Vec<_> = (0..4)
            .map(|_| {
                let mut command = ready(folder.path(), &["book.pgn"]);
                command.spawn().expect("it runs")
            })
            .collect();
        // One that is killed leaves nothing that the others stumble over.
        let mut killed = ready(folder.path(), &["book.pgn"])
            .spawn()
            .expect("it runs");
        std::thread::sleep(Duration::from_millis(20));
        let _ = killed.kill();
        killed.wait().expect("it ends");
        for child in running {
            let run = Run::from(child.wait_with_output().expect("it ends"));
            assert_eq!(run, wanted);
        }
    }
    assert_eq!(ended(&mut ready(folder.path(), &["book.pgn"])), wanted);
}

/// The command under a limit on the size of the files that it writes, in units of 512 or
/// 1,024 bytes: every write beyond it fails, as it does on a full disk. Source: the POSIX
/// standard, "ulimit" and "write" (EFBIG).
fn limited(folder: &Path, blocks: u32, arguments: &[&str]) -> Command {
    let mut shell = Command::new("sh");
    shell
        .current_dir(folder)
        .env("XDG_CACHE_HOME", folder.join("cache"))
        .args(["-c", "trap '' XFSZ; ulimit -f $0; exec \"$@\""])
        .arg(blocks.to_string())
        .arg(env!("CARGO_BIN_EXE_gainsay"))
        .args(arguments)
        .stdin(Stdio::null());
    shell
}

#[test]
fn a_full_disk_costs_nothing_but_what_was_to_be_written() {
    let folder = folder();
    let wanted = wanted(folder.path());
    let path = folder.path().join("book.pgn");
    // The cache is an aid: without room for it the results are the same.
    let check = ["check", "--nodes", "3000", "--format", "json", "book.pgn"];
    let run = ended(&mut limited(folder.path(), 0, &check));
    assert_eq!(run, wanted);
    // And what was half written is not read.
    assert_eq!(ended(&mut ready(folder.path(), &["book.pgn"])), wanted);

    // Results.
    let out = fs::File::create(folder.path().join("out.json")).expect("a file");
    let mut command = limited(folder.path(), 1, &check);
    let run = command.stdout(out).stderr(Stdio::piped()).output();
    let run = Run::from(run.expect("it runs"));
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("cannot write the results"), "{}", run.err);

    // Proofs.
    let prove = ["prove", "--proof", "proofs.txt", "book.pgn"];
    let run = ended(&mut limited(folder.path(), 1, &prove));
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("cannot write the proofs"), "{}", run.err);

    // A file that is to be mended is as it was, and nothing is left beside it.
    let text = format!("1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7 *\n\n{}", games());
    fs::write(&path, &text).expect("written");
    let before = fs::read_dir(folder.path()).expect("a folder").count();
    let mend = ["check", "--mend", "--no-claims", "book.pgn"];
    let run = ended(&mut limited(folder.path(), 1, &mend));
    assert_eq!(run.code, Some(2), "{}", run.err);
    assert!(run.err.contains("book.pgn"), "{}", run.err);
    assert_eq!(fs::read_to_string(&path).expect("a file"), text);
    assert_eq!(
        fs::read_dir(folder.path()).expect("a folder").count(),
        before
    );
    // With room it is mended.
    let run = ended(&mut limited(folder.path(), 1000, &mend));
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(fs::read_to_string(&path).expect("a file").contains("Qxf7#"));
}

#[test]
fn a_cache_that_may_only_be_read_changes_nothing() {
    let folder = folder();
    let wanted = wanted(folder.path());
    let mode = |path: &Path, mode: u32| {
        fs::set_permissions(path, Permissions::from_mode(mode)).expect("a mode");
    };
    mode(folder.path(), 0o755);
    // A copy, since the folders above the built command may be closed to others.
    let copy = folder.path().join("gainsay");
    fs::copy(env!("CARGO_BIN_EXE_gainsay"), &copy).expect("a copy");
    let cache = folder.path().join("cache");
    let root = folder.path().metadata().expect("metadata").uid() == 0;
    let run = || {
        let mut command = Command::new(&copy);
        command
            .current_dir(folder.path())
            .env("XDG_CACHE_HOME", &cache)
            .args(["check", "--nodes", "3000", "--format", "json", "book.pgn"])
            .stdin(Stdio::null());
        if root {
            // Root may write everywhere, so the command runs as nobody.
            command.uid(65_534).gid(65_534);
        }
        ended(&mut command)
    };
    // Empty, and full of what somebody else wrote.
    fs::create_dir(&cache).expect("a folder");
    mode(&cache, 0o555);
    assert_eq!(run(), wanted);
    mode(&cache, 0o755);
    ended(&mut ready(folder.path(), &["book.pgn"]));
    let gainsay = cache.join("gainsay");
    for place in [gainsay.join("verdicts"), gainsay, cache.clone()] {
        mode(&place, 0o555);
    }
    assert_eq!(run(), wanted);
    // A file where the folder should be.
    mode(&cache, 0o755);
    for place in ["gainsay/verdicts", "gainsay"] {
        mode(&cache.join(place), 0o755);
    }
    fs::remove_dir_all(&cache).expect("removed");
    fs::write(&cache, "no folder").expect("written");
    assert_eq!(run(), wanted);
}

#[test]
fn a_pipe_with_a_name_is_read_to_its_end() {
    let folder = folder();
    let wanted = wanted(folder.path());
    let pipe = folder.path().join("pipe.pgn");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("mkfifo runs").success());
    let child = ready(folder.path(), &["pipe.pgn"])
        .spawn()
        .expect("it runs");
    let mut to = OpenOptions::new().write(true).open(&pipe).expect("a pipe");
    for part in games().as_bytes().chunks(700) {
        to.write_all(part).expect("it reads");
        std::thread::sleep(Duration::from_millis(1));
    }
    drop(to);
    let run = Run::from(child.wait_with_output().expect("it ends"));
    assert_eq!(run.code, wanted.code);
    assert_eq!(run.out.replace("pipe.pgn", "book.pgn"), wanted.out);
    // A pipe cannot be mended, and nobody waits for a writer to learn that.
    let run = ended(&mut ready(folder.path(), &["--mend", "pipe.pgn"]));
    assert_eq!(run.code, Some(2));
    assert!(run.err.contains("pipe.pgn"), "{}", run.err);
}

#[test]
fn a_file_that_grows_is_read_up_to_some_point() {
    let folder = folder();
    let path = folder.path().join("growing.pgn");
    fs::write(&path, games()).expect("written");
    let (stop, stopped) = std::sync::mpsc::channel::<()>();
    let writer = std::thread::spawn(move || {
        let mut file = OpenOptions::new().append(true).open(path).expect("a file");
        // In parts of games, so that the end is anywhere.
        for part in games().repeat(100).as_bytes().chunks(333) {
            if stopped.try_recv().is_ok() {
                break;
            }
            file.write_all(part).expect("written");
        }
    });
    for _ in 0..5 {
        let run = ended(&mut ready(folder.path(), &["--no-claims", "growing.pgn"]));
        assert_eq!(run.code, Some(1), "{}", run.err);
        let json: Value = serde_json::from_str(&run.out).expect("JSON");
        let games = json["files"][0]["games"].as_u64().expect("a number");
        let findings = json["files"][0]["findings"].as_array().expect("a list");
        let illegal = |finding: &&Value| {
            finding["rule"] == "unreadable-move" || finding["rule"] == "illegal-move"
        };
        let wrong = findings.iter().filter(illegal).count() as u64;
        assert!(games >= 30 && wrong + 1 >= games, "{games} {wrong}");
    }
    let _ = stop.send(());
    writer.join().expect("it ends");
}

#[test]
fn bytes_of_any_kind_give_sound_output() {
    let folder = TempDir::new().expect("a folder");
    // xorshift64*, Vigna 2014.
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut below = move |most: usize| {
        state ^= state >> 12;
        state ^= state << 25;
        state ^= state >> 27;
        (state.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % most
    };
    let good = games();
    for round in 0..12 {
        let mut bytes = good.clone().into_bytes();
        for _ in 0..=round * 8 {
            let at = below(bytes.len());
            // Halves of characters, surrogates in UTF-8, bytes that are never UTF-8.
            let bad: &[u8] = [
                &b"\xe9"[..],
                b"\xc3",
                b"\xed\xa0\x80",
                b"\xff\xfe",
                b"\xf0\x9f",
                b"\x00",
            ][below(6)];
            bytes.splice(at..at, bad.iter().copied());
        }
        for name in ["bad.pgn", "bad.md", "bad.epd", "bad.txt"] {
            fs::write(folder.path().join(name), &bytes).expect("written");
        }
        for format in ["text", "lines", "json", "sarif", "junit", "github"] {
            let mut command = command(folder.path());
            command
                .args(["check", "--no-cache", "--nodes", "500", "--claims"])
                .args(["--show", "hint", "--format", format])
                .args(["bad.pgn", "bad.md", "bad.epd", "bad.txt"]);
            // Output that is no UTF-8 stops the test here.
            let run = ended(&mut command);
            assert!(run.code.is_some_and(|code| code <= 2), "{format} {run:?}");
            match format {
                "json" | "sarif" => {
                    serde_json::from_str::<Value>(&run.out).expect("JSON");
                }
                "junit" => {
                    let mut reader = quick_xml::Reader::from_str(&run.out);
                    while reader.read_event().expect("XML") != quick_xml::events::Event::Eof {}
                }
                _ => {}
            }
        }
    }
}
