//! What a Git repository says of a revision. The program `git` itself is asked, as the user has
//! set it up: with the right to read the repository, its worktrees and its partial clones.

use std::{
    ffi::OsStr,
    io::{self, BufRead as _, BufReader, Read as _, Write as _},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use crate::print::name;

/// Why a repository cannot be asked.
#[derive(Debug, thiserror::Error)]
pub(crate) enum GitError {
    #[error("--changed-since needs the program git: {0}")]
    NoGit(io::Error),
    #[error("{} is in no Git repository: --changed-since compares with one", name(.0))]
    NoRepository(PathBuf),
    #[error("there is no revision \"{0}\" here: see \"git log\", or fetch it")]
    NoRevision(String),
    #[error(
        "this clone is too shallow to tell where the branch left \"{0}\": fetch more of the history \
         (git fetch --unshallow; in CI the whole history)"
    )]
    Shallow(String),
    #[error("git {what} failed: {why}")]
    Failed { what: String, why: String },
}

/// A repository with its working tree.
#[derive(Debug)]
pub(crate) struct Repository {
    /// The top folder of the working tree, from the root.
    pub(crate) top: PathBuf,
}

impl Repository {
    /// The repository that a folder lies in.
    pub(crate) fn around(folder: &Path) -> Result<Self, GitError> {
        let top = ask(folder, ["rev-parse", "--show-toplevel"])?
            .ok_or_else(|| GitError::NoRepository(folder.to_owned()))?;
        let top = String::from_utf8_lossy(&top)
            .trim_end_matches('\n')
            .to_owned();
        let top = PathBuf::from(top);
        Ok(Self {
            top: top.canonicalize().unwrap_or(top),
        })
    }

    /// The commit that the working tree went out from: where its branch left that of `revision`,
    /// or the revision itself if they have nothing in common.
    pub(crate) fn base(&self, revision: &str) -> Result<String, GitError> {
        let unknown = || GitError::NoRevision(revision.to_owned());
        let commit = format!("{revision}^{{commit}}");
        let verify = [
            "rev-parse",
            "--verify",
            "--quiet",
            "--end-of-options",
            &commit,
        ];
        let commit = ask(&self.top, verify)?.ok_or_else(unknown)?;
        let commit = String::from_utf8_lossy(&commit).trim().to_owned();
        let shared = ask(&self.top, ["merge-base", &commit, "HEAD"])?;
        let shared = shared.map(|shared| String::from_utf8_lossy(&shared).trim().to_owned());
        if let Some(shared) = shared.filter(|shared| !shared.is_empty()) {
            return Ok(shared);
        }
        let shallow = ask(&self.top, ["rev-parse", "--is-shallow-repository"])?;
        if shallow.is_some_and(|said| said.trim_ascii() == b"true") {
            return Err(GitError::Shallow(revision.to_owned()));
        }
        Ok(commit)
    }

    /// The files of a commit, from the top.
    pub(crate) fn files(&self, commit: &str) -> Result<Vec<PathBuf>, GitError> {
        self.list(&["ls-tree", "-r", "-z", "--name-only", "--full-tree", commit])
    }

    /// The files of a commit that are others in the working tree, or there no more.
    pub(crate) fn changed(&self, commit: &str) -> Result<Vec<PathBuf>, GitError> {
        self.list(&[
            "diff",
            "--name-only",
            "-z",
            "--no-renames",
            "--no-ext-diff",
            commit,
            "--",
        ])
    }

    fn list(&self, words: &[&str]) -> Result<Vec<PathBuf>, GitError> {
        let said = ask(&self.top, words.iter().copied())?.ok_or_else(|| failed(words[0], ""))?;
        let names = said
            .split(|&byte| byte == 0)
            .filter(|name| !name.is_empty());
        Ok(names.map(path_of).collect())
    }

    /// Gives the texts of some files that a commit has, one after the other.
    pub(crate) fn texts(
        &self,
        commit: &str,
        files: &[&Path],
        mut take: impl FnMut(&Path, &[u8]),
    ) -> Result<(), GitError> {
        const WHAT: &str = "cat-file";
        let read = |error: io::Error| failed(WHAT, &error.to_string());
        let mut git = command(&self.top)
            .args([WHAT, "--batch"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .map_err(GitError::NoGit)?;
        let (to, from) = (git.stdin.take(), git.stdout.take());
        let (Some(mut to), Some(from)) = (to, from) else {
            return Err(failed(WHAT, "it has no pipes"));
        };
        let mut from = BufReader::new(from);
        let mut text = Vec::new();
        for file in files {
            let name = file.as_os_str().as_encoded_bytes();
            // No line can hold it.
            if name.contains(&b'\n') {
                continue;
            }
            let asked = [commit.as_bytes(), b":", name, b"\n"].concat();
            to.write_all(&asked)
                .and_then(|()| to.flush())
                .map_err(read)?;
            let mut head = String::new();
            from.read_line(&mut head).map_err(read)?;
            // "<object> blob <size>", or that it is missing.
            let mut words = head.split_whitespace().skip(1);
            let kind = words.next();
            let size = words.next().and_then(|size| size.parse::<usize>().ok());
            let Some(size) = size else { continue };
            text.resize(size, 0);
            from.read_exact(&mut text).map_err(read)?;
            from.read_exact(&mut [0]).map_err(read)?;
            if kind == Some("blob") {
                take(file, &text);
            }
        }
        drop(to);
        git.wait().map_err(read)?;
        Ok(())
    }
}

/// A program that only reads: it starts no other that the repository names.
fn command(folder: &Path) -> Command {
    let mut git = Command::new("git");
    git.arg("-C")
        .arg(folder)
        .args(["-c", "core.fsmonitor=false", "-c", "core.quotePath=false"])
        .env("GIT_OPTIONAL_LOCKS", "0")
        .env("LC_ALL", "C");
    git
}

/// What git says; `None` where it says that there is nothing of that kind.
fn ask<'w>(
    folder: &Path,
    words: impl IntoIterator<Item = &'w str>,
) -> Result<Option<Vec<u8>>, GitError> {
    let words: Vec<&OsStr> = words.into_iter().map(OsStr::new).collect();
    let run = command(folder)
        .args(&words)
        .stdin(Stdio::null())
        .output()
        .map_err(GitError::NoGit)?;
    if run.status.success() {
        return Ok(Some(run.stdout));
    }
    let why = String::from_utf8_lossy(&run.stderr);
    // A repository of somebody else, which git wants to be asked about.
    if why.contains("dubious ownership") {
        let what = words.first().map_or("", |word| word.to_str().unwrap_or(""));
        return Err(failed(what, why.lines().next().unwrap_or_default()));
    }
    Ok(None)
}

fn failed(what: &str, why: &str) -> GitError {
    GitError::Failed {
        what: what.to_owned(),
        why: why.to_owned(),
    }
}

#[cfg(unix)]
fn path_of(name: &[u8]) -> PathBuf {
    use std::os::unix::ffi::OsStrExt as _;
    PathBuf::from(OsStr::from_bytes(name))
}

#[cfg(not(unix))]
fn path_of(name: &[u8]) -> PathBuf {
    PathBuf::from(String::from_utf8_lossy(name).into_owned())
}
