//! Known findings: what was there when the list was written is left out, whatever is edited
//! elsewhere, and what is new is told.

mod common;

use std::{fs, path::Path};

use common::{check, column};
use tempfile::TempDir;

const LIST: &str = "known.jsonl";

/// The invented column with the list of its findings.
fn adopted() -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    for file in fs::read_dir(column()).expect("the column") {
        let path = file.expect("a file").path();
        fs::copy(&path, folder.path().join(path.file_name().expect("a name"))).expect("a copy");
    }
    let written = check(folder.path(), &[".", "--write-known", LIST]);
    assert_eq!(written.code, Some(0), "{}", written.err);
    folder
}

fn edit(folder: &Path, file: &str, how: impl Fn(String) -> String) {
    let path = folder.join(file);
    let old = fs::read_to_string(&path).expect("a text");
    let new = how(old.clone());
    assert_ne!(old, new, "the edit of {file} changes something");
    fs::write(path, new).expect("written");
}

/// The messages that a run with the list tells, and what it says on standard error.
fn told(folder: &Path) -> (Option<i32>, Vec<String>, String) {
    let run = check(folder, &[".", "--known", LIST, "--format", "lines"]);
    let lines = run.out.lines().map(ToOwned::to_owned).collect();
    (run.code, lines, run.err)
}

#[test]
fn three_edits_of_a_column() {
    let folder = adopted();
    let folder = folder.path();
    assert_eq!(told(folder), (Some(0), vec![], String::new()));

    // Lines move, games change places, a file gets another name: nothing of that is new.
    edit(folder, "2-league.pgn", |text| {
        let mut games: Vec<&str> = text.split("\n\n[Event").collect();
        let first = games.remove(0);
        games.reverse();
        games.insert(0, first);
        format!("\n\n{}\n", games.join("\n\n[Event"))
    });
    fs::rename(
        folder.join("5-exercises.pgn"),
        folder.join("9-exercises.pgn"),
    )
    .expect("renamed");
    assert_eq!(told(folder), (Some(0), vec![], String::new()));

    // What is mended is named as gone.
    edit(folder, "1-evenings.pgn", |text| {
        text.replace("12. Qf7#", "12. Qf7+")
    });
    let (code, lines, err) = told(folder);
    assert_eq!((code, lines), (Some(0), vec![]));
    assert!(err.contains("1 known finding is gone"), "{err}");
    assert!(
        err.contains("1-evenings.pgn: false-mate-sign at 12.Qf7#"),
        "{err}"
    );
    let again = check(folder, &[".", "--write-known", LIST]);
    assert_eq!(again.code, Some(0));
    assert_eq!(told(folder), (Some(0), vec![], String::new()));

    // What is new is told, and nothing else: a second false sign like one that is known, too.
    edit(folder, "1-evenings.pgn", |text| {
        text.replace("12. Qf7+", "12. Qf7#")
    });
    let (code, lines, _) = told(folder);
    assert_eq!(code, Some(1));
    assert_eq!(lines.len(), 1, "{lines:?}");
    assert!(lines[0].contains("[false-mate-sign]"), "{lines:?}");
}

#[test]
fn one_known_finding_accounts_for_one() {
    let folder = TempDir::new().expect("a temporary folder");
    let folder = folder.path();
    let game = "[White \"Osk\"]\n\n1. e4+ e5 *\n\n";
    fs::write(folder.join("a.pgn"), game).expect("written");
    assert_eq!(
        check(folder, &["a.pgn", "--write-known", LIST]).code,
        Some(0)
    );
    fs::write(folder.join("a.pgn"), game.repeat(2)).expect("written");
    let run = check(
        folder,
        &[
            "a.pgn",
            "--known",
            LIST,
            "--format",
            "lines",
            "--fail-on",
            "hint",
        ],
    );
    assert_eq!(run.code, Some(1));
    let signs = run.out.matches("[false-check-sign]").count();
    assert_eq!(signs, 1, "{}", run.out);
}

#[test]
fn the_list_grows_by_files_and_stands_in_the_settings() {
    let folder = TempDir::new().expect("a temporary folder");
    let folder = folder.path();
    for name in ["a.pgn", "b.pgn"] {
        fs::write(folder.join(name), "1. e4 e5 2. Ke3 *\n").expect("written");
        assert_eq!(check(folder, &[name, "--write-known", LIST]).code, Some(0));
    }
    fs::write(folder.join("gainsay.toml"), format!("known = \"{LIST}\"\n")).expect("written");
    assert_eq!(check(folder, &["."]).code, Some(0));
    // For once all of them.
    assert_eq!(check(folder, &[".", "--no-known"]).code, Some(1));
    let json = check(folder, &[".", "--format", "json"]).out;
    assert!(
        json.contains("\"accepted\":{\"allowed\":0,\"known\":"),
        "{json}"
    );
    // A part of the files is not missed by those who look at another.
    fs::write(folder.join("b.pgn"), "1. e4 e5 *\n").expect("written");
    assert_eq!(check(folder, &["a.pgn"]).err, "");
    assert!(
        check(folder, &["b.pgn"])
            .err
            .contains("b.pgn: illegal-move")
    );
    assert_eq!(check(folder, &["b.pgn", "--only", "false-mate"]).err, "");
}

#[test]
fn a_list_that_cannot_be_used_is_told() {
    let folder = TempDir::new().expect("a temporary folder");
    let folder = folder.path();
    fs::write(folder.join("a.pgn"), "1. e4 *\n").expect("written");
    let missing = check(folder, &["a.pgn", "--known", LIST]);
    assert_eq!((missing.code, missing.out.as_str()), (Some(2), ""));
    assert!(missing.err.contains("--write-known known.jsonl"));
    fs::write(folder.join(LIST), "{\"known\":1}\n{}\n").expect("written");
    let wrong = check(folder, &["a.pgn", "--known", LIST]);
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.err.contains("known.jsonl:2: "), "{}", wrong.err);
}

#[test]
fn what_is_new_is_not_taken_for_what_is_known() {
    let folder = TempDir::new().expect("a temporary folder");
    let folder = folder.path();
    let new_after = |name: &str, old: &str, new: &str| {
        fs::write(folder.join(name), old).expect("written");
        assert_eq!(
            check(folder, &[name, "--write-known", LIST]).code,
            Some(0),
            "{name}"
        );
        fs::write(folder.join(name), new).expect("written");
        let run = check(folder, &[name, "--known", LIST, "--format", "lines"]);
        run.out.lines().count()
    };
    // A position is mended, and another one is false with the same words.
    let sound = "6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - dm 1;\n";
    let held = "6k1/5pp1/7p/8/8/8/5PPP/R5K1 w - - dm 1;\n";
    let other = "8/8/8/3k4/8/3K4/R7/8 w - - dm 1;\n";
    assert_eq!(new_after("a.epd", held, &format!("{sound}{other}")), 1);
    let game = |fen: &str| format!("[FEN \"{fen}\"]\n\n{{White mates in one.}} *\n\n");
    let [sound, held, other] = [sound, held, other].map(|line| {
        let fen = line
            .split(" dm")
            .next()
            .unwrap_or_default()
            .replace(" -;", " -");
        game(&format!("{fen} 0 1"))
    });
    assert_eq!(
        new_after(
            "a.pgn",
            &format!("{held}{sound}"),
            &format!("{sound}{other}")
        ),
        1
    );
    // The same words of the other side.
    let claim =
        |side: &str| format!("[White \"Osk\"]\n\n1. e4 e5 2. Ke2 {{{side} mates in one.}} *\n");
    assert_eq!(new_after("b.pgn", &claim("White"), &claim("Black")), 1);
    // A move before it is mended: what is known stays so.
    let early = |mv: &str| {
        format!("[White \"Osk\"]\n\n1. {mv} e5 2. Nf3 {{White mates in one.}} Nc6 3. Nc3+ *\n")
    };
    assert_eq!(new_after("c.pgn", &early("a3"), &early("a4")), 0);
}

#[test]
fn no_other_file_is_written_over() {
    let folder = TempDir::new().expect("a temporary folder");
    let folder = folder.path();
    let game = "1. e4+ e5 *\n";
    for name in ["a.pgn", "b.pgn", "notes.txt"] {
        fs::write(folder.join(name), game).expect("written");
    }
    for arguments in [
        ["b.pgn", "--write-known", "a.pgn"],
        ["b.pgn", "--write-known", "b.pgn"],
        ["b.pgn", "--write-known", "notes.txt"],
        ["b.pgn", "--proof", "a.pgn"],
    ] {
        let run = check(folder, &arguments);
        assert_eq!(run.code, Some(2), "{arguments:?}");
        assert_ne!(run.err, "", "{arguments:?}");
        for name in ["a.pgn", "b.pgn", "notes.txt"] {
            let text = fs::read_to_string(folder.join(name)).expect("a text");
            assert_eq!(text, game, "{arguments:?}");
        }
    }
    // A part of the rules would forget the rest.
    let part = ["b.pgn", "--write-known", LIST, "--only", "illegal-move"];
    assert_eq!(check(folder, &part).code, Some(2));
}
