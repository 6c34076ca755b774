//! Bad input: one clear sentence, the right exit code, other files still checked,
//! nothing written.

mod common;

use std::{
    collections::BTreeMap,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::Stdio,
    time::SystemTime,
};

use common::{Run, check, command};
use serde_json::Value;
use tempfile::TempDir;

const WRONG: &str = "1. e4 e5 2. Ke3 *\n";

fn folder() -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    write(folder.path(), "wrong.pgn", WRONG);
    folder
}

fn write(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) {
    std::fs::write(folder.join(name), bytes).expect("a file");
}

/// Every file and folder below `folder` with its length and time of change.
fn state(folder: &Path) -> BTreeMap<PathBuf, (u64, Option<SystemTime>)> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).into_iter().flatten().flatten() {
            let data = entry.metadata().expect("metadata");
            if data.is_dir() {
                open.push(entry.path());
            }
            found.insert(entry.path(), (data.len(), data.modified().ok()));
        }
    }
    found
}

/// Checks `arguments` and makes sure that nothing was written.
fn run(folder: &Path, arguments: &[&str]) -> Run {
    let before = state(folder);
    let run = check(folder, arguments);
    assert_eq!(state(folder), before, "{arguments:?} wrote something");
    run
}

/// The rules of the findings of one file, from a run with `--format json`.
fn rules(run: &Run) -> Vec<String> {
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    json["files"]
        .as_array()
        .expect("files")
        .iter()
        .flat_map(|file| file["findings"].as_array().expect("findings"))
        .map(|finding| finding["rule"].as_str().expect("a rule").to_owned())
        .collect()
}

/// One sentence on standard error that names `path`.
fn one_sentence(run: &Run, path: &str) {
    assert_eq!(run.err.lines().count(), 1, "{}", run.err);
    assert!(
        run.err.starts_with("gainsay: ") && run.err.contains(path),
        "{}",
        run.err
    );
}

#[test]
fn an_empty_file_holds_no_game() {
    let folder = folder();
    for text in ["", "\n\n", "\u{feff}", "  \r\n\t"] {
        write(folder.path(), "empty.pgn", text);
        let run = run(folder.path(), &["empty.pgn"]);
        assert_eq!(run.code, Some(0), "{text:?}");
        one_sentence(&run, "empty.pgn");
    }
}

#[test]
fn a_binary_file_is_told_as_one() {
    let folder = folder();
    // The built command itself is a binary file that is always there.
    let bytes = std::fs::read(env!("CARGO_BIN_EXE_gainsay")).expect("the command");
    let head = &bytes[..bytes.len().min(1 << 20)];
    write(folder.path(), "program.pgn", head);
    write(
        folder.path(),
        "counting.pgn",
        (0..=255).collect::<Vec<u8>>(),
    );
    let wide: Vec<u8> = "\u{feff}1. e4 e5 *"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    write(folder.path(), "wide.pgn", wide);
    for name in ["program.pgn", "counting.pgn", "wide.pgn"] {
        let run = run(folder.path(), &["--format", "json", name, "wrong.pgn"]);
        assert_eq!(run.code, Some(2), "{name}");
        one_sentence(&run, name);
        let rules = rules(&run);
        assert!(
            rules == ["illegal-move"],
            "{name}: {} findings",
            rules.len()
        );
    }
    // A game file with a few damaged bytes is still checked.
    write(
        folder.path(),
        "damaged.pgn",
        "1. e4 \u{1}\u{2} e5 2. Ke3 \u{3} *\n",
    );
    let run = run(folder.path(), &["--format", "json", "damaged.pgn"]);
    assert_eq!(rules(&run), ["binary-data", "illegal-move"]);
}

#[test]
fn a_hundred_megabytes_of_opening_braces_are_one_unclosed_comment() {
    let folder = folder();
    write(folder.path(), "braces.pgn", vec![b'{'; 100_000_000]);
    let run = run(
        folder.path(),
        &["--format", "json", "braces.pgn", "wrong.pgn"],
    );
    // More of a game than the memory allows is not checked, and told.
    assert_eq!(run.code, Some(2));
    one_sentence(&run, "braces.pgn");
    assert_eq!(rules(&run), ["unclosed-comment", "illegal-move"]);
}

#[test]
fn a_million_opening_parentheses_are_one_unclosed_side_line() {
    let folder = folder();
    write(folder.path(), "parentheses.pgn", vec![b'('; 1_000_000]);
    let both = run(
        folder.path(),
        &[
            "--memory",
            "1024",
            "--format",
            "json",
            "parentheses.pgn",
            "wrong.pgn",
        ],
    );
    assert_eq!(both.code, Some(1));
    assert_eq!(rules(&both), ["unclosed-side-line", "illegal-move"]);
    // With moves within them, too.
    let deep = format!(
        "1. e4 {}{} e5 *",
        "(1. d4 ".repeat(100_000),
        ")".repeat(100_000)
    );
    write(folder.path(), "deep.pgn", deep);
    let deep = run(
        folder.path(),
        &["--memory", "1024", "--format", "json", "deep.pgn"],
    );
    assert_eq!((deep.code, rules(&deep)), (Some(0), Vec::new()));
    // Where the end is not read, nobody can say that it is missing.
    let little = run(folder.path(), &["--format", "json", "deep.pgn"]);
    assert_eq!((little.code, rules(&little)), (Some(2), Vec::new()));
    one_sentence(&little, "deep.pgn");
}

#[test]
fn twenty_kings_are_no_position() {
    let folder = folder();
    let game =
        "[SetUp \"1\"]\n[FEN \"kkkkkkkk/kkkkkkkk/kkkk4/8/8/8/8/K7 w - - 0 1\"]\n\n1. Ka2 *\n";
    write(folder.path(), "kings.pgn", game);
    let run = run(
        folder.path(),
        &["--format", "json", "kings.pgn", "wrong.pgn"],
    );
    assert_eq!(run.code, Some(1));
    assert_eq!(rules(&run), ["illegal-position", "illegal-move"]);
}

#[test]
fn paths_that_cannot_be_checked_do_not_stop_the_others() {
    let folder = folder();
    std::fs::create_dir(folder.path().join("bare")).expect("a folder");
    write(&folder.path().join("bare"), "shopping.list", "milk");
    #[cfg(unix)]
    std::os::unix::fs::symlink("/nowhere/at/all", folder.path().join("dangling.pgn")).unwrap();
    for path in ["missing.pgn", "bare", "dangling.pgn", "wrong.pgn/below.pgn"] {
        let run = run(folder.path(), &["--format", "json", path, "wrong.pgn"]);
        assert_eq!(run.code, Some(2), "{path}");
        one_sentence(&run, path);
        assert_eq!(rules(&run), ["illegal-move"], "{path}");
    }
}

/// Root may read everything, so as root the command runs as another user.
#[cfg(unix)]
#[test]
fn a_file_without_permission_is_told() {
    use std::os::unix::{
        fs::{MetadataExt, PermissionsExt},
        process::CommandExt,
    };

    let folder = folder();
    let set = |path: &Path, mode: u32| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("a mode");
    };
    write(folder.path(), "closed.pgn", WRONG);
    set(&folder.path().join("closed.pgn"), 0o000);
    set(&folder.path().join("wrong.pgn"), 0o644);
    set(folder.path(), 0o755);
    // A copy, since the folders above the built command may be closed to others.
    let copy = folder.path().join("gainsay");
    std::fs::copy(env!("CARGO_BIN_EXE_gainsay"), &copy).expect("a copy");
    set(&copy, 0o755);
    let root = folder.path().metadata().expect("metadata").uid() == 0;
    let mut command = std::process::Command::new(copy);
    command.current_dir(folder.path()).args([
        "check",
        "--format",
        "json",
        "closed.pgn",
        "wrong.pgn",
    ]);
    if root {
        // The user nobody of every Unix system.
        command.uid(65_534).gid(65_534);
    }
    let run = Run::from(command.output().expect("it runs"));
    assert_eq!(run.code, Some(2), "{run:?}");
    one_sentence(&run, "closed.pgn");
    assert_eq!(rules(&run), ["illegal-move"]);
}

#[test]
fn a_path_that_vanishes_is_told() {
    let folder = folder();
    write(folder.path(), "later.pgn", WRONG);
    let mut child = command(folder.path())
        .args(["check", "wrong.pgn", "-", "later.pgn"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it runs");
    // The first file has been checked when its finding is out; now the command waits
    // for its input, and the paths have long been looked at.
    let mut out = BufReader::new(child.stdout.take().expect("a pipe"));
    let mut line = String::new();
    out.read_line(&mut line).expect("the first finding");
    assert!(line.contains("illegal-move"), "{line}");
    std::fs::remove_file(folder.path().join("later.pgn")).expect("it was there");
    drop(child.stdin.take());
    let rest: Vec<String> = out.lines().map(|line| line.expect("UTF-8")).collect();
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(2));
    let err = String::from_utf8(output.stderr).expect("UTF-8");
    assert!(err.lines().any(|line| line.contains("later.pgn")), "{err}");
    assert!(
        !rest.iter().any(|line| line.contains("later.pgn")),
        "{rest:?}"
    );
}

#[test]
fn invalid_settings_are_told() {
    let folder = folder();
    for settings in [
        "nodes = \"many\"",
        "nodes = 0",
        "fail-on = \"tea\"",
        "langage = \"German\"",
        "\u{0}",
    ] {
        write(folder.path(), "gainsay.toml", settings);
        let run = run(folder.path(), &["wrong.pgn"]);
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{settings}");
        assert!(run.err.starts_with("gainsay: "), "{settings}: {}", run.err);
    }
    let run = run(folder.path(), &["--settings", "missing.toml", "wrong.pgn"]);
    assert_eq!(run.code, Some(2));
    one_sentence(&run, "missing.toml");
}

#[test]
fn absurd_settings_that_were_found_are_lowered_with_a_sentence() {
    let folder = folder();
    write(
        folder.path(),
        "gainsay.toml",
        "nodes = 9223372036854775807\nmemory = 900000000\n",
    );
    write(
        folder.path(),
        "game.pgn",
        "1. e4 {White mates in two.} e5 *\n",
    );
    let run = run(folder.path(), &["--game-nodes", "1000", "game.pgn"]);
    let told = &run.err;
    assert!(told.contains("nodes = 9223372036854775807"), "{told}");
    assert!(told.contains("is taken as 100000000"), "{told}");
    assert!(told.contains("memory = 900000000"), "{told}");
    assert_ne!(run.code, Some(2), "{told}");
}

#[test]
fn formats_that_are_not_read_are_said_to_be_so() {
    let folder = folder();
    write(
        folder.path(),
        "chapter.rtf",
        "\\section{A} 1. e4 e5 2. Ke3 *\n",
    );
    let told = run(folder.path(), &["chapter.rtf"]);
    assert_eq!((told.code, told.out.as_str()), (Some(2), ""));
    one_sentence(&told, ".rtf files are not read");
    let as_text = run(folder.path(), &["--as", "pgn", "chapter.rtf"]);
    assert_eq!(as_text.code, Some(1), "{}", as_text.err);
}
