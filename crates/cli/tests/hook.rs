//! The script that `gainsay hook` prints, in a repository of Git.
#![cfg(unix)]

mod common;

use std::{
    env,
    ffi::OsString,
    fs,
    os::unix::fs::PermissionsExt as _,
    path::{Path, PathBuf},
    process::Command,
};

use common::Run;
use tempfile::TempDir;

const RIGHT: &str = "[Event \"A\"]\n\n1. e4 e5 2. Nf3 *\n";
const WRONG: &str = "[Event \"A\"]\n\n1. e4 e5 2. Ke3 *\n";

struct Repository(TempDir);

impl Repository {
    fn new() -> Self {
        let it = Self(TempDir::new().expect("a folder"));
        assert_eq!(it.git(&["init", "--quiet"]).code, Some(0));
        let hook = it.run("gainsay", &["hook"]);
        assert_eq!(hook.code, Some(0), "{}", hook.err);
        it.put(".git/hooks/pre-commit", &hook.out);
        let path = it.path().join(".git/hooks/pre-commit");
        fs::set_permissions(path, fs::Permissions::from_mode(0o755)).expect("executable");
        it
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn put(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, text).expect("written");
    }

    /// Runs a program with the command under test on the path.
    fn run(&self, program: &str, arguments: &[&str]) -> Run {
        let built = PathBuf::from(env!("CARGO_BIN_EXE_gainsay"));
        let mut path = OsString::from(built.parent().expect("a folder"));
        path.push(":");
        path.push(env::var_os("PATH").unwrap_or_default());
        let output = Command::new(program)
            .args(arguments)
            .current_dir(self.path())
            .env("PATH", path)
            .env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"))
            .env("GIT_CONFIG_GLOBAL", "/dev/null")
            .output();
        output.expect("it runs").into()
    }

    fn git(&self, arguments: &[&str]) -> Run {
        let who = [
            "-c",
            "user.name=Ada Lind",
            "-c",
            "user.email=ada@example.org",
        ];
        self.run("git", &[&who[..], arguments].concat())
    }

    fn commit(&self, more: &[&str]) -> Run {
        self.git(&[&["commit", "--quiet", "-m", "x"], more].concat())
    }
}

#[test]
fn a_commit_is_kept_back_for_what_is_staged() {
    let repository = Repository::new();
    repository.put("a b/é.pgn", RIGHT);
    repository.put("notes.txt", "1. e4 e5 2. Ke3 *\n");
    repository.git(&["add", "."]);
    let run = repository.commit(&[]);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);

    // Wrong in the index, right in the working tree.
    repository.put("a b/é.pgn", WRONG);
    repository.git(&["add", "."]);
    repository.put("a b/é.pgn", RIGHT);
    let run = repository.commit(&[]);
    assert_ne!(run.code, Some(0));
    let said = format!("{}{}", run.out, run.err);
    assert!(
        said.contains("a b/é.pgn:3:") && said.contains("illegal-move"),
        "{said}"
    );
    assert_eq!(repository.commit(&["--no-verify"]).code, Some(0));

    // And the other way round.
    repository.git(&["add", "."]);
    repository.put("a b/é.pgn", WRONG);
    let run = repository.commit(&[]);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);

    // The part of a commit that names its files.
    let run = repository.commit(&["-a"]);
    assert_ne!(run.code, Some(0), "{}", run.out);
}

#[test]
fn the_settings_of_the_repository_hold() {
    let repository = Repository::new();
    repository.put("a.pgn", WRONG);
    repository.put(".hidden/b.md", "Nothing about chess.\n");
    repository.put("drafts/c.pgn", WRONG);
    let settings = "exclude = [\"drafts/\"]\nknown = \"known.jsonl\"\n";
    repository.put("gainsay.toml", settings);
    repository.run(
        "gainsay",
        &["check", "--write-known", "known.jsonl", "a.pgn"],
    );
    repository.git(&["add", "."]);
    let run = repository.commit(&[]);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);
    // What nobody wants is left out.
    repository.put("drafts/c.pgn", "1. e5 *\n");
    let run = repository.commit(&["-a"]);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);
    // What the list does not know is told.
    repository.put("a.pgn", &WRONG.replace("Ke3", "Qh6"));
    let run = repository.commit(&["-a"]);
    assert_ne!(run.code, Some(0), "{}{}", run.out, run.err);
    // A commit that only takes away is nothing to check.
    repository.git(&["rm", "--quiet", "--force", "a.pgn"]);
    let run = repository.commit(&[]);
    assert_eq!(run.code, Some(0), "{}{}", run.out, run.err);
}
