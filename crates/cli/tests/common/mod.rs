//! Runs the built command.

use std::{
    ffi::OsStr,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) mod frames;

/// The command, not started yet, in `folder`.
pub(crate) fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gainsay"));
    command
        .current_dir(folder)
        .env_remove("NO_COLOR")
        // Tables that tests build are not to fill the user's own folder.
        .env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"))
        .stdin(Stdio::null());
    command
}

/// What a run came to.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl From<Output> for Run {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).expect("results are UTF-8"),
            err: String::from_utf8(output.stderr).expect("messages are UTF-8"),
        }
    }
}

/// Runs `gainsay check` with these arguments.
#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) fn check<S: AsRef<OsStr>>(folder: &Path, arguments: &[S]) -> Run {
    command(folder)
        .arg("check")
        .args(arguments)
        .output()
        .expect("the command runs")
        .into()
}

/// Runs `gainsay check` with these arguments and this standard input.
#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) fn check_input(folder: &Path, arguments: &[&str], input: &[u8]) -> Run {
    let mut child = command(folder)
        .arg("check")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command runs");
    let mut stdin = child.stdin.take().expect("a pipe");
    // It may end before it reads its input.
    let _ = stdin.write_all(input);
    drop(stdin);
    child.wait_with_output().expect("it ends").into()
}

/// The column of the fixtures.
#[allow(dead_code, reason = "not every test file needs it")]
pub(crate) fn column() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/column")
}
