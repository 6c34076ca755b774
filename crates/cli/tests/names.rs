//! Names of files: nothing in them acts on a terminal or a log, and each file is told by a
//! name under which it can be found again, once.
#![cfg(unix)]

mod common;

use std::{
    ffi::{OsStr, OsString},
    fs,
    os::unix::{ffi::OsStrExt as _, fs::symlink},
};

use common::{Run, check};
use serde_json::Value;
use tempfile::TempDir;

const WRONG: &str = "1. e4 e5 2. Ke3 *\n";

/// A line break with a workflow command of GitHub Actions behind it, an escape sequence that
/// turns a terminal red, and an override of the direction of writing.
const EVIL: &str = "a\n::error title=x::y\u{1b}[31m\u{9b}1m\u{202e}.pgn";

/// Text whose own words are as evil.
const EVIL_TEXT: &str = "[Event \"\u{1b}[31m\u{202e}\"]\n[Event \"\u{1b}]0;x\u{7}\"]\n\n\
    {Long enough to be a text and no binary file, whatever stands in it; and there is a lot \
    more to be said about a position in which nothing at all has happened so far, since none \
    of the thirty-two pieces has left its square, and none will before the next sentence.}\n\
    {The position is as old as the game, and so are most of the opinions about it, of which \
    there are more than anyone could read in a life; the openings have names of towns.}\n\
    {The \u{1b}[31m knight on e\u{9b}4 \u{202e}is pinned. White mates in\u{1b}[1m two.}\n\
    1. e4\u{1b}[31m e5 2. Ke3 ({\u{7}} 2. Qh\u{1b}5) \u{202e} *\n";

fn said(run: &Run) -> [&str; 2] {
    [&run.out, &run.err]
}

#[test]
fn nothing_in_names_and_texts_acts() {
    let folder = TempDir::new().expect("a folder");
    let put = |name: &str, text: &str| fs::write(folder.path().join(name), text).expect("written");
    put(EVIL, EVIL_TEXT);
    let lonely = format!("{EVIL}.epd");
    put(&lonely, "\n");
    let missing = format!("missing{EVIL}");
    symlink(
        "gone\n::error ::z",
        folder.path().join(format!("link{EVIL}")),
    )
    .expect("a link");
    let link = format!("link{EVIL}");
    let binary = format!("binary{EVIL}");
    fs::write(folder.path().join(&binary), [0; 100]).expect("written");
    for format in [
        "text", "lines", "json", "ndjson", "sarif", "junit", "github",
    ] {
        let run = check(
            folder.path(),
            &[
                "--claims", "--boards", "--show", "hint", "--format", format, EVIL, &lonely,
                &missing, &link, &binary, ".",
            ],
        );
        assert_eq!(run.code, Some(2), "{format} {}", run.err);
        assert!(run.out.contains("illegal-move"), "{format} {}", run.out);
        for text in said(&run) {
            for line in text.lines() {
                let acts = |c: char| {
                    c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2028}' | '\u{2029}')
                };
                // XML keeps what its own standard allows; a browser shows it.
                assert!(
                    !line.contains(acts) || format == "junit" && !line.contains('\u{1b}'),
                    "{format}: {line:?}"
                );
                let command = line.trim_start().starts_with("::");
                let ours = format == "github" && line.starts_with("::") && line.contains(" file=");
                assert!(!command || ours, "{format}: {line:?}");
            }
        }
    }
    // An option that a shell made of a name.
    let run = check(folder.path(), &["--\u{1b}[31m\n::error ::x"]);
    assert_eq!(run.code, Some(2));
    assert!(
        !run.err.contains('\u{1b}') && !run.err.contains("\n::"),
        "{:?}",
        run.err
    );
    // JSON holds the name itself.
    let run = check(folder.path(), &["--format", "json", EVIL]);
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(json["files"][0]["path"], EVIL);
}

#[test]
fn a_name_that_is_no_utf_8_can_be_found_again() {
    let folder = TempDir::new().expect("a folder");
    let name = OsStr::from_bytes(b"caf\xe9 \xff\n%.pgn");
    fs::write(folder.path().join(name), WRONG).expect("written");
    let run = check(
        folder.path(),
        &[OsStr::new("--format"), OsStr::new("sarif"), name],
    );
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    let place = &json["runs"][0]["results"][0]["locations"][0]["physicalLocation"];
    let uri = place["artifactLocation"]["uri"].as_str().expect("a URI");
    // RFC 3986, section 2.1, decoded here by hand.
    let mut bytes = Vec::new();
    let mut rest = uri.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next().expect("a digit"), rest.next().expect("a digit")];
            let digits = std::str::from_utf8(&digits).expect("digits");
            bytes.push(u8::from_str_radix(digits, 16).expect("digits"));
        } else {
            assert!(byte.is_ascii_graphic());
            bytes.push(byte);
        }
    }
    let found = folder.path().join(OsStr::from_bytes(&bytes));
    assert_eq!(fs::read_to_string(found).expect("found again"), WRONG);
}

/// The paths of a run with `--format json`.
fn paths(folder: &TempDir, arguments: &[&str]) -> Vec<String> {
    let arguments: Vec<&str> = [&["--format", "json"], arguments].concat();
    let run = check(folder.path(), &arguments);
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    let files = json["files"].as_array().expect("files");
    let path = |file: &Value| file["path"].as_str().expect("a path").to_owned();
    files.iter().map(path).collect()
}

#[test]
fn each_file_is_checked_once_and_named_plainly() {
    let folder = TempDir::new().expect("a folder");
    fs::create_dir(folder.path().join("sub")).expect("a folder");
    for name in ["a.pgn", "sub/b.pgn"] {
        fs::write(folder.path().join(name), WRONG).expect("written");
    }
    symlink("a.pgn", folder.path().join("link.pgn")).expect("a link");
    assert_eq!(paths(&folder, &["."]), ["a.pgn", "sub/b.pgn"]);
    assert_eq!(paths(&folder, &["./sub/.././a.pgn"]), ["sub/../a.pgn"]);
    let twice = ["./a.pgn", "a.pgn", "sub", "./sub/b.pgn", "link.pgn", "."];
    assert_eq!(paths(&folder, &twice), ["a.pgn", "sub/b.pgn"]);
    // A file of the same words is another file.
    fs::copy(folder.path().join("a.pgn"), folder.path().join("c.pgn")).expect("copied");
    assert_eq!(paths(&folder, &["a.pgn", "c.pgn"]), ["a.pgn", "c.pgn"]);
}

#[test]
fn links_that_lead_nowhere_are_told_as_what_they_are() {
    let folder = TempDir::new().expect("a folder");
    let link = |to: &str, name: &str| symlink(to, folder.path().join(name)).expect("a link");
    link("b.pgn", "a.pgn");
    link("c.pgn", "b.pgn");
    link("a.pgn", "c.pgn");
    link("self.pgn", "self.pgn");
    link("b.pgn", "into.pgn");
    link("gone.pgn", "dangling.pgn");
    for (name, words) in [
        ("a.pgn", "leads back to itself"),
        ("self.pgn", "leads back to itself"),
        ("into.pgn", "leads back to itself"),
        ("dangling.pgn", "leads to gone.pgn, which is not there"),
        ("gone.pgn", "no such file or folder"),
    ] {
        let run = check(folder.path(), &[OsString::from(name)]);
        assert_eq!(run.code, Some(2), "{name}");
        assert!(
            run.err.starts_with(&format!("gainsay: {name}: ")) && run.err.contains(words),
            "{name}: {}",
            run.err
        );
    }
}
