//! Settings: which file holds, what it leaves out of folders, and how that is told.

mod common;

use std::{
    fs,
    path::{Path, PathBuf},
};

use common::{Run, check, command};
use tempfile::TempDir;

fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = TempDir::new().expect("a temporary folder");
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, text).expect("written");
    }
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> Run {
    let output = command(folder).args(arguments).output();
    output.expect("the command runs").into()
}

/// One warning.
const ODD: &str = "1. e4 e5 3. Nf3 *\n";

#[test]
fn those_of_the_checked_folder_hold() {
    let strict = "fail-on = \"warning\"\n";
    let folder = folder(&[
        ("book/gainsay.toml", strict),
        ("book/part/1.pgn", ODD),
        ("loose/1.pgn", ODD),
    ]);
    let folder = folder.path();
    let code = |arguments: &[&str]| check(folder, arguments).code;
    assert_eq!(code(&["book"]), Some(1));
    assert_eq!(code(&["book/part/1.pgn"]), Some(1));
    assert_eq!(code(&["loose"]), Some(0));
    let both = check(folder, &["loose", "book"]);
    assert_eq!(both.code, Some(0));
    assert!(
        both.err
            .contains("book/gainsay.toml are not used in this run"),
        "{}",
        both.err
    );
    // Settings that stand deeper than what is checked are not passed over in silence.
    let all = check(folder, &["."]);
    assert!(
        all.err.contains("book/gainsay.toml are not used"),
        "{}",
        all.err
    );
    // Without any of its own a path takes those of the folder where the command runs.
    assert_eq!(check(&folder.join("book"), &["../loose"]).code, Some(1));
}

#[test]
fn folders_are_searched_for_what_is_wanted() {
    let folder = folder(&[
        (
            "gainsay.toml",
            "exclude = [\"drafts/\", \"*-old.pgn\"]\ninclude = [\"*.pgn\"]\n",
        ),
        ("1.pgn", ODD),
        ("1-old.pgn", ODD),
        ("part/2.pgn", ODD),
        ("part/drafts/3.pgn", ODD),
        ("part/chapter.md", "```pgn\n1. e4 e5 3. Nf3 *\n```\n"),
    ]);
    let folder = folder.path();
    let files = |arguments: &[&str]| {
        let mut all = vec!["--format", "lines"];
        all.extend(arguments);
        let out = check(folder, &all).out;
        let names = out.lines().filter_map(|line| line.split(':').next());
        let mut names: Vec<String> = names.map(str::to_owned).collect();
        names.dedup();
        names
    };
    assert_eq!(files(&["."]), ["1.pgn", "part/2.pgn"]);
    assert_eq!(files(&["part"]), ["part/2.pgn"]);
    // What is named is wanted.
    assert_eq!(files(&["part/drafts/3.pgn"]), ["part/drafts/3.pgn"]);
    assert_eq!(files(&["part/drafts"]), ["part/drafts/3.pgn"]);
    fs::write(folder.join("gainsay.toml"), "exclude = [\"[z-a]\"]\n").expect("written");
    let wrong = check(folder, &["."]);
    assert_eq!(wrong.code, Some(2));
    assert!(
        wrong
            .err
            .contains("gainsay.toml:1:11: the setting \"exclude\" must be a list of patterns"),
        "{}",
        wrong.err
    );
}

#[test]
fn what_holds_is_told_with_its_place() {
    let folder = folder(&[
        (
            "book/gainsay.toml",
            "# ours\nnodes = 5000\n\n[rules]\nfalse-mate = \"hint\"\n",
        ),
        ("book/part/1.pgn", ODD),
    ]);
    let folder = folder.path();
    let told = run(folder, &["settings", "book/part/1.pgn"]);
    assert_eq!((told.code, told.err.as_str()), (Some(0), ""));
    assert!(
        told.out.contains("# Settings file: book/gainsay.toml\n"),
        "{}",
        told.out
    );
    let line = |start: &str| {
        let line = told.out.lines().find(|line| line.starts_with(start));
        line.map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    assert_eq!(
        line("nodes").as_deref(),
        Some("nodes = 5000 # gainsay.toml, line 2")
    );
    assert_eq!(line("memory").as_deref(), Some("memory = 256 # as usual"));
    assert_eq!(
        line("false-mate").as_deref(),
        Some("false-mate = \"hint\" # gainsay.toml, line 5")
    );
    // What is told is a settings file, and says the same.
    fs::write(folder.join("book/gainsay.toml"), &told.out).expect("written");
    let again = run(folder, &["settings", "book/part/1.pgn"]);
    let values = |out: &str| -> Vec<String> {
        let lines = out.lines().filter(|line| !line.starts_with('#'));
        lines
            .map(|line| line.split('#').next().unwrap_or_default().trim().to_owned())
            .collect()
    };
    assert_eq!(values(&again.out), values(&told.out));
    assert_eq!(run(folder, &["settings", "nowhere"]).code, Some(2));
}

#[test]
fn editors_are_given_the_schema_of_this_version() {
    let told = run(Path::new("."), &["schema", "settings"]);
    let shipped =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../editors/vscode/gainsay.schema.json");
    let shipped = fs::read_to_string(shipped).expect("it is shipped");
    assert_eq!(
        shipped, told.out,
        "gainsay schema settings > editors/vscode/gainsay.schema.json"
    );
}

#[test]
fn hooks_name_files_that_nobody_wants() {
    let folder = folder(&[
        (
            "gainsay.toml",
            "exclude = [\"drafts/\"]\nfail-on = \"warning\"\n",
        ),
        ("drafts/1.pgn", ODD),
        ("2.pgn", ODD),
    ]);
    let run = |arguments: &[&str]| check(folder.path(), arguments);
    // What is named is wanted, unless it is said that this is no wish.
    assert_eq!(run(&["drafts/1.pgn"]).code, Some(1));
    for format in ["text", "json"] {
        let hook = run(&["--only-wanted", "--format", format, "drafts/1.pgn"]);
        assert_eq!((hook.code, hook.err.as_str()), (Some(0), ""), "{format}");
        assert!(!hook.out.contains("1.pgn"), "{}", hook.out);
    }
    let both = run(&[
        "--only-wanted",
        "--format",
        "lines",
        "drafts/1.pgn",
        "2.pgn",
    ]);
    assert_eq!((both.code, both.out.lines().count()), (Some(1), 1));
    let missing = run(&["--only-wanted", "drafts/3.pgn"]);
    assert_eq!(missing.code, Some(2));
}
